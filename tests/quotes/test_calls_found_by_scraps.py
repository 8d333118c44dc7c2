"""A call is found by its caller, phone, e-mail and note however they are written, as its customer is."""

from dataclasses import replace

import pytest

from quotes.desk.erasing import forget_call
from quotes.desk.requests import save_request
from quotes.desk.schedules import Sender, correct_line, make_request, take_in
from quotes.lists.quotes import find_quotes
from quotes.lists.requests import find_requests
from quotes.models import Customer, Quote, Request
from quotes.said import SaidOpening, SaidRequest
from quotes.schedule.columns import LABEL
from sizing.lookup import in_force
from tests.quotes import shop
from tests.quotes.sheets import HEADINGS, grid, with_cell

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]

INES = SaidRequest(
    "Inés Robledo",
    "(802) 555-0142",
    "Ines.Robledo@Peñón.example",
    "Café at the old mill\nrings back after four",
    openings=(SaidOpening("otter-liner", label="Küche", measures={"opening": "47"}),),
)
JEAN = SaidRequest("Jean O'Hara", "+44 (0)20 7946 0018", note="red barn")
WU = SaidRequest("Wu", note="window over the stairs")


def build():
    shop.load_liner()
    for said in (INES, JEAN, WU):
        save_request(said, by="mira")


def callers(scrap: str) -> list[str]:
    return [call.caller for call in find_requests(scrap)]


@pytest.mark.parametrize(
    ("scrap", "caller"),
    [
        ("ines robledo", "Inés Robledo"), ("INÉS", "Inés Robledo"), ("Robledo, Inés", "Inés Robledo"),
        ("cafe", "Inés Robledo"), ("café", "Inés Robledo"), ("mill rings", "Inés Robledo"),
        ("cafe ines 50142", "Inés Robledo"), ("robledo@penon", "Inés Robledo"), ("@peñón", "Inés Robledo"),
        ("802 555 0142", "Inés Robledo"), ("802.555.0142", "Inés Robledo"), ("50142", "Inés Robledo"),
        ("+1 802-555-0142", "Inés Robledo"), ("1 802 555 0142 ines", "Inés Robledo"),
        ("küche", "Inés Robledo"), ("Küche robledo", "Inés Robledo"), ("KUCHE 50142", "Inés Robledo"), ("ku", "Inés Robledo"),
        ("ohara", "Jean O'Hara"), ("o'hara", "Jean O'Hara"), ("O’Hara, Jean", "Jean O'Hara"),
        ("ohara jean", "Jean O'Hara"), ("020 7946 0018", "Jean O'Hara"), ("+44 20 7946 0018", "Jean O'Hara"), ("7946 0018", "Jean O'Hara"),
        ("wu", "Wu"),
    ],
)  # fmt: skip
def test_found(scrap, caller):
    """Name, phone, e-mail and note with and without accents and marks, a window as it was labelled: just the one."""
    assert callers(scrap) == [caller]


@pytest.mark.parametrize(
    "scrap", ["nobody", "ines barn", "802 555 0199", "'; --", "%", "back red", "tku", "cafe ch"]
)
def test_not_found(scrap):
    """Every word must fit the same call."""
    assert callers(scrap) == []


def test_lines_of_a_note_keep_apart():
    """The end of a line joins no two words."""
    assert callers("millrings") == []


def test_a_call_without_a_name_is_found_by_its_number():
    """A bare number is the request's own, too."""
    call = save_request(SaidRequest(), by="mira")
    assert call in find_requests(str(call.pk))
    assert call.scraps == ""


def test_another_caller_is_found_and_the_one_before_no_more():
    """It was somebody else who called, with another number and another matter."""
    call = Request.objects.get(caller=INES.caller)
    window = replace(INES.openings[0], key=call.openings.get().pk, label="Turret")
    said = SaidRequest(
        "Zoë Ünal", "802 555 0177", "zoe@lorne.example", "Blue shed",
        openings=(window,),
    )  # fmt: skip
    save_request(said, by="mira", pk=call.pk, version=call.version)
    for scrap in ("zoe unal", "5550177", "zoe@lorne", "shed", "turret"):
        assert callers(scrap) == ["Zoë Ünal"], scrap
    for scrap in ("ines", "robledo", "5550142", "penon", "cafe", "kuche"):
        assert callers(scrap) == [], scrap


def test_an_erased_call_is_not_found():
    """Nothing of it is left to find it by but its number."""
    call = Request.objects.get(caller=INES.caller)
    assert forget_call(call.pk, call.created_at)
    for scrap in ("ines", "robledo", "5550142", "penon", "cafe", "kuche"):
        assert callers(scrap) == [], scrap
    call.refresh_from_db()
    assert call.scraps == ""


def test_a_call_from_a_schedule_is_found():
    """By whoever sent the schedule."""
    sender = Sender("Dupré Frères", "802 555 0160", "office@dupre.example")
    rows = grid(HEADINGS, with_cell("Quantity", 3))
    schedule = take_in(rows, "s.xlsx", in_force("otter-liner"), by="ann", sender=sender)
    make_request(schedule.pk, by="ann")
    for scrap in ("dupre freres", "1-802-555-0160", "office@dupre", "kitchen"):
        assert callers(scrap) == ["Dupré Frères"], scrap
    line = schedule.lines.get()
    correct_line(line.pk, {**line.cells, LABEL: "Turret"}, [], left_out=False, by="ann")
    assert (callers("turret"), callers("kitchen")) == (["Dupré Frères"], [])


@pytest.mark.parametrize("scrap", ["cafe", "CAFÉ", "cafe mill"])
def test_a_quote_is_found_by_the_note_of_its_call(scrap):
    """With the accents as they were noted, or without."""
    call = Request.objects.get(caller=INES.caller)
    customer = Customer.objects.create(name="Robledo Homes")
    quote = Quote.objects.create(customer=customer, currency="USD", request=call)
    assert list(find_quotes(scrap).every()) == [quote]
