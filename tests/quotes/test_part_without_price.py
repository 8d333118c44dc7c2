"""A part that its table has no price for: told at the counter, and the way on is said wherever it stops somebody."""

from dataclasses import replace

import pytest
from django.urls import reverse

from fixtures.build import liner
from quotes.desk import issuing
from quotes.desk.drafts import QuoteError
from sizing.tables import import_workbook
from tests.quotes import shop
from tests.quotes.counter_page import page, words_of

pytestmark = pytest.mark.django_db
WAY = "has no price in its size table: ask the factory by a special quote for its opening"


@pytest.fixture(autouse=True)
def unpriced():
    """The liner in force, without a price for the part that these openings come out as."""
    table = liner()
    parts = tuple(
        replace(part, price=None) if part.part_number == "OHL-05LS" else part
        for part in table.parts
    )
    import_workbook(replace(table, parts=parts), "test", [], shop.SINCE, "ann")


def test_the_counter_says_it(clerk):
    """Under Price stands that there is none and who is asked for it."""
    told = {"m-upper_glass": "20 1/4", "m-lower_glass": "20 1/4", "m-opening": "47 7/8",
            "m-sash_weight": "9", "finish": "slate"}  # fmt: skip
    said = words_of(clerk.post("/counter/answer/?o=0", page(told)))
    assert (
        "Price None in the size table: a special quote asks Otter Hollow Millwork for it." in said
    )


def test_the_draft_and_issuing_say_the_way_on(clerk):
    """The draft doesn't claim that a price has moved, and the refusal names the part and what can be done."""
    issue = shop.draft_quote()
    said = clerk.get(reverse("quote", args=[issue.quote_id])).content.decode()
    assert f"OHL-05LS {WAY}" in said and "Prices have moved" not in said
    with pytest.raises(QuoteError, match=f"Line 1, OHL-05LS, {WAY}"):
        issuing.issue_quote(issue.pk, "ann")
