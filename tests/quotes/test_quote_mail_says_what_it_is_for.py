"""Who gets two quotes by mail tells them apart before opening them, and knows what is due when they accept."""

import pytest

from quotes.desk.drafts import add_line
from quotes.desk.issuing import issue_quote
from quotes.desk.posting import send_quote
from quotes.models import Customer, Letter
from tests.quotes import shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def draft():
    shop.set_up()
    return shop.draft_quote(shop.part_opening(quantity=3), shop.cottage_opening())


def body_of(draft):
    shop.price_specials(draft)
    return send_quote(issue_quote(draft.pk, "ann").pk, "mara@quill.example", "ann") and (
        Letter.objects.get().body
    )


def test_its_lines_are_named(draft):
    """By count and part; a special and a line by hand by their words. Nothing is due where no deposit is asked."""
    add_line(draft.pk, "Box of screws", 2, 4)
    body = body_of(draft)
    part = draft.lines.get(kind="part").part
    assert f"\n- 3 pairs of {part}\n- 1 pair of Otter Hollow jamb liner, special, made to" in body
    assert "\n- 2 pieces of Box of screws\n\n" in body and "due" not in body


def test_of_many_lines_the_first_are_named(draft):
    """The rest as a number: a mail is no list."""
    for number in range(5):
        add_line(draft.pk, f"Box {number}", 1, 4)
    assert "\n- 1 piece of Box 2\n- and 2 more lines\n\n" in body_of(draft)


def test_the_deposit_is_named(draft):
    """With what it all comes to."""
    Customer.objects.update(terms="trade")
    body = body_of(draft)
    sums = draft.quote.issues.get().document["sums"]
    assert f" in all.\nOf this, {sums['deposit']} USD is due when you accept.\n" in body
