"""A long scrap is looked for by some of its triples first; what is found holds all of it, and nothing that does is missed."""

import pytest

from quotes import searched
from quotes.desk.requests import save_request
from quotes.models import Customer, Request
from quotes.said import SaidRequest
from quotes.searched import keys_holding

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]

# Alike in their beginning, in their end, in both, and with the same triples in another order.
SCRAPS = (
    "ada marrow\nada@marrow-mill.example\n8025550142\n18025550142",
    "ada marrow\nada@marrow-hill.example\n8025550242\n18025550242",
    "ida marrow\nida@marrow-mill.example\n8035550142\n18035550142",
    "rowmarada\nmill-marrow@ada.example\n0142555802\n10142555802",
)
NOTES = (
    "Ring the ÉCLAIR bakery, back door",
    "ring the éclair bakery, front door",
    "Éclair, back door",
)


def build():
    for scraps in SCRAPS:
        Customer.objects.create(name=scraps.split("\n")[0], scraps=scraps)
    for place, note in enumerate(NOTES):
        said = SaidRequest("Mara", f"+1 802 555 01{place}2", note=note)
        save_request(said, by="ann")


def scraps_in(texts):
    """Every seventh piece of seven to twelve letters."""
    pieces = [
        line[at : at + length]
        for text in texts
        for line in text.split("\n")
        for length in (7, 8, 9, 10, 12)
        for at in range(len(line) - length + 1)
    ]
    return list(dict.fromkeys(pieces))


@pytest.mark.parametrize(("common", "most"), [(1000, 1000), (1, 1), (1, 3)])
def test_customers(monkeypatch, common, most):
    """Just those whose scraps hold the piece; more than a few are said to be more than a few."""
    monkeypatch.setattr(searched, "COMMON", common)
    monkeypatch.setattr(searched, "quicker_gathered", lambda model: most)
    # The newest rows by which it is told are all there are.
    monkeypatch.setattr(searched, "SAMPLE", 1_000_000)
    # So many that no first keys tell that there can't be more than a few.
    monkeypatch.setattr(searched, "newest", lambda model: 1_000_000)
    pieces = scraps_in(SCRAPS)
    assert len(pieces) > 200
    for piece in pieces:
        wanted = set(Customer.objects.filter(scraps__contains=piece).values_list("pk", flat=True))
        found = keys_holding(Customer, piece)
        assert found == (wanted if len(wanted) <= most else None), piece


def test_two_scraps():
    """Both are held by the same customer, one long and one short."""
    for long, short, names in (
        ("marrow-mill", "802555", ["ada marrow"]),
        ("marrow-mill", "ada", ["ada marrow", "rowmarada"][:1]),
        ("8025550142", "ida", []),
        ("ada@marrow", "5550", ["ada marrow", "ada marrow"]),
    ):
        keys = keys_holding(Customer, long, short)
        named = Customer.objects.filter(pk__in=keys).values_list("name", flat=True)
        assert sorted(named) == names, (long, short)


def test_requests_in_whatever_letters():
    """As a call's scraps are written: capital or small, without accents and without a phone's marks."""
    for scrap, places in (
        ("eclair bakery", [0, 1]), ("ECLAIR BAKERY", [0, 1]), ("Eclair, back", [2]), ("éclair", []),
        ("back door", [0, 2]), ("1802555", [0, 1, 2]), ("5550112", [1]), ("8025550122", [2]),
    ):  # fmt: skip
        keys = keys_holding(Request, scrap)
        found = Request.objects.filter(pk__in=keys).values_list("note", flat=True)
        assert sorted(found) == sorted(NOTES[place] for place in places), scrap
