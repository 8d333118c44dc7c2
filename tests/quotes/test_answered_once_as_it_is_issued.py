"""As a quote is issued its openings are answered once for each language that it is written in."""

import pytest

from quotes.desk.issuing import issue_quote
from quotes.documents import opening_sheets
from tests.quotes.shop import cottage_opening, draft_quote, part_opening, price_specials, set_up

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("language", "times"), [("en", 1), ("es", 2)])
def test_once_a_language(language, times, monkeypatch):
    """What speaks against a part is read from the same answers as the paper in English."""
    set_up()
    issue = draft_quote(part_opening(), cottage_opening(), language=language)
    price_specials(issue)
    answered, answer = [], opening_sheets.answer_openings

    def answer_openings(said, revision):
        answered.extend(opening.label for opening in said)
        return answer(said, revision)

    monkeypatch.setattr(opening_sheets, "answer_openings", answer_openings)
    issued = issue_quote(issue.pk, "ann")
    assert answered == ["Kitchen", "Stairs"] * times
    assert issued.document["language"] == language
