"""The demo's print says each thing once."""

import pytest

from ordering.management.commands.demo import told
from quotes.answer_sheet import sheet_of
from quotes.answering import answer_opening
from quotes.said import SaidOpening
from tests.quotes.conftest import publish

pytestmark = pytest.mark.django_db

ANSWERS = {
    "question": ({"opening": "47 7/8"}, "Ask for "),
    "special": ({"upper_glass": "16", "lower_glass": "24", "opening": "47 3/8"}, "Special quote"),
}


@pytest.mark.parametrize("measures, begins", ANSWERS.values(), ids=ANSWERS.keys())
def test_no_word_twice(measures, begins):
    """A headline that the answer begins with anyway is left out."""
    said = SaidOpening("otter-liner", measures=measures)
    words = told(sheet_of(answer_opening(said, publish("otter-liner"))))
    assert words.startswith(begins)
    assert words.count(begins.split()[0]) == 1
