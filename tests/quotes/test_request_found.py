"""Requests are found by any scrap."""

import pytest

from quotes.desk.requests import save_request
from quotes.lists.requests import find_requests
from quotes.said import SaidOpening, SaidRequest
from tests.quotes.counter_page import words_of


@pytest.fixture
def three(liner):
    openings = (SaidOpening("otter-liner", label="turret north", measures={"opening": "47"}),) * 2
    ann = SaidRequest("Ann Lowe", "(802) 555-0131", "ann@lowe.example", openings=openings)
    ben = SaidRequest("Ben Marrow", "802.555.0164", note="calls back after four")
    return [save_request(said, by="mira") for said in (ann, ben, SaidRequest("Zoë Ünal"))]


CASES = {
    "name": ("lowe", "Ann Lowe"),
    "two words in any order": ("marrow ben", "Ben Marrow"),
    "phone as written": ("(802) 555-0131", "Ann Lowe"),
    "phone's last digits": ("5550164", "Ben Marrow"),
    "e-mail": ("ann@lowe", "Ann Lowe"),
    "note": ("back after", "Ben Marrow"),
    "window": ("turret", "Ann Lowe"),
    "letters with marks": ("Zoë", "Zoë Ünal"),
}


@pytest.mark.parametrize("scrap, caller", CASES.values(), ids=CASES.keys())
def test_found_by(three, scrap, caller):
    """One scrap finds the one request it belongs to, once."""
    assert [r.caller for r in find_requests(scrap)] == [caller]


def test_found_by_number(three):
    """A request's own number finds it."""
    assert three[1] in find_requests(str(three[1].pk))


def test_nothing_found(clerk, three):
    """A scrap of nobody says so and what to try."""
    assert "No request holds “Quill”" in words_of(clerk.get("/requests/", {"q": "Quill"}))


def test_list_counts_openings(clerk, three):
    """The list shows each caller with the number of openings, the newest first."""
    shown = words_of(clerk.get("/requests/"))
    assert shown.index("Zoë Ünal") < shown.index("Ben Marrow") < shown.index("Ann Lowe")
    assert "Ann Lowe (802) 555-0131 2 2 to ask" in shown
