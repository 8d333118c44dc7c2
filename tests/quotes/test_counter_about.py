"""A caller's "about 30" goes on being typed, taken for what it is, and asked for again."""

import pytest

from quotes.desk.requests import save_request
from quotes.documents.opening_sheets import sheet_to_make
from quotes.models import Opening
from quotes.said import SaidOpening, SaidRequest
from sizing.lengths import Unit

pytestmark = pytest.mark.usefixtures("liner")


def answer(clerk, **measures) -> str:
    typed = {f"o0-m-{code}": text for code, text in measures.items()}
    sent = {"openings": "0", "o0-family": "otter-liner", "o0-quantity": "1", **typed}
    return clerk.post("/counter/answer/?o=0", sent).content.decode()


def test_it_is_said_beside_its_box(clerk):
    """How far an "about" is taken to reach stands at the box; a number from a tape has nothing there."""
    page = answer(clerk, upper_glass="about 20 1/4", opening="47 7/8")
    assert "About: taken as within 1 in until it is measured." in page
    assert page.count("About: taken as") == 1


def test_nothing_is_lost_by_it(clerk):
    """It is stored as it was typed."""
    sent = {
        "openings": "0",
        "o0-family": "otter-liner",
        "o0-quantity": "1",
        "o0-m-opening": "48 or so",
    }
    clerk.post(
        "/counter/", {**sent, "do": "save", "version": "0", "page": "p" * 32, "caller": "Ann"}
    )
    opening = Opening.objects.get()
    assert opening.said == {"opening": "48 or so"}
    assert opening.answer["outcome"] == "ask"


def test_its_factory_reads_that_it_is_one():
    """Whoever has it flagged all the same sends no "as measured" of what nobody measured."""
    said = SaidOpening("otter-liner", measures={"upper_glass": "16", "opening": "about 48"})
    opening = save_request(SaidRequest("Ann", openings=(said,)), by="mira").openings.get()
    fits = {line.label: line.fit for line in sheet_to_make(opening, "one", Unit.INCH).measures}
    assert fits["Upper glass height"] == "as measured"
    assert fits["Opening height"] == "said as “about”"
