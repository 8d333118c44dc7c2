"""A count of a draft's line that is none is refused in words that say what to type."""

import pytest
from django.urls import reverse

from tests.quotes import shop

pytestmark = pytest.mark.django_db
WORDS = "Type how many, from 1 to 100,000; a line that is not wanted is taken out."


@pytest.mark.parametrize("count", ["", "0", "-2", "two", "100001"])
def test_told_beside_its_box(clerk, liner, count):
    """Whatever is wrong with it, one sentence; the line keeps the count that it had."""
    shop.load_prices()
    issue = shop.draft_quote(shop.part_opening(quantity=3))
    line = issue.lines.get()
    typed = {f"line-{line.pk}-quantity": count, "valid_days": "30", "do": "save"}
    answer = clerk.post(reverse("quote-draft", args=[issue.pk]), typed)
    assert WORDS in answer.text and answer.status_code == 422
    line.refresh_from_db()
    assert line.quantity == 3


def test_told_at_the_top_with_its_line(clerk, liner):
    """Of a hundred lines the wrong one is named where the page comes back, and leads to its box."""
    shop.load_prices()
    windows = shop.part_opening(), shop.part_opening(finish="ash")
    issue = shop.draft_quote(*windows)
    first, second = issue.lines.all()
    typed = {
        f"line-{first.pk}-quantity": "1",
        f"line-{second.pk}-quantity": "0",
        "valid_days": "30",
    }
    answer = clerk.post(reverse("quote-draft", args=[issue.pk]), typed | {"do": "issue"})
    assert f'<a href="#id_line-{second.pk}-quantity">Line 2. {WORDS}</a>' in answer.text
    assert "Not saved yet. Nothing you typed is lost." in answer.text
