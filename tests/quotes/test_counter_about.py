"""A caller's "about 30" goes on being typed, taken for what it is, and asked for again."""

import pytest

from tests.quotes.conftest import publish

pytestmark = pytest.mark.usefixtures("tables")


@pytest.fixture
def tables(db):
    return publish("otter-liner")


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
    from quotes.models import Opening

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
