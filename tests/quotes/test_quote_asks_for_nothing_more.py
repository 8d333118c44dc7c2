"""A quote's drawing shows what was measured: a question mark at what nobody took looks like something to answer."""

import pytest

from quotes.documents.content import openings_to_make
from quotes.drawing import Words
from quotes.lists.issues import document_of
from tests.quotes import shop

pytestmark = pytest.mark.django_db


def lettering(sheet):
    return [shape.text for shape in sheet.drawing.shapes if isinstance(shape, Words)]


@pytest.fixture(autouse=True)
def tables():
    shop.set_up()


def test_what_was_not_measured_is_not_drawn():
    """Neither for the customer nor for the factory; what was measured is."""
    issue = shop.issued_quote(shop.cottage_opening(), shop.part_opening())
    for special, part in (document_of(issue).openings, openings_to_make(issue.document)):
        assert "?" not in lettering(special) and "47 3/8" in lettering(special)
        assert "Long point of" in " ".join(lettering(part)) and "?" not in lettering(part)
        assert "Long point of" not in " ".join(lettering(special))


def test_a_pane_nobody_measured_stays_a_pane():
    """The window is drawn with both its sashes, whichever of them was measured."""
    issue = shop.issued_quote(
        shop.opening(
            "Den", upper_glass="20 1/4", opening="47 7/8", long_point="48 5/8", sash_weight="9"
        )
    )
    (sheet,) = document_of(issue).openings
    assert "20 1/4" in lettering(sheet) and "Lower glass" in " ".join(lettering(sheet))
