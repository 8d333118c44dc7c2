"""An issued quote is frozen; a change makes the next issue and shows what changed."""

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest
from django.utils import timezone
from moneyed import Money

from fixtures.build import liner
from quotes.desk import drafts, issuing, quoting
from quotes.desk.drafts import Head, QuoteError
from quotes.lists.issue_states import state_of
from quotes.lists.issues import changed_since_last, document_of, moved_prices
from quotes.models import FreightStep
from sizing.tables import import_workbook
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    shop.set_up()


def dearer_liner(by):
    """The liner's next table, each price raised, in force from today."""
    table = liner()
    parts = tuple(replace(p, price=p.price and p.price + by) for p in table.parts)
    import_workbook(replace(table, parts=parts), "next", [], timezone.localdate(), "ann")


@pytest.mark.parametrize(
    "change",
    [
        lambda issue: quoting.take_lines(issue),
        lambda issue: drafts.change_head(issue.pk, Head(None, True, None, "new words", 9)),
        lambda issue: drafts.add_line(issue.pk, "more", 1, Decimal(1)),
        lambda issue: drafts.remove_line(issue.lines.first().pk),
        lambda issue: drafts.change_line(
            issue.lines.first().pk, quantity=9, unit_price=None, description="", taxable=False
        ),
        lambda issue: issuing.issue_quote(issue.pk, "ben"),
    ],
    ids=["take lines", "head", "add", "remove", "line", "issue again"],
)
def test_an_issued_quote_refuses_every_change(change):
    """Nothing of an issued quote can be changed, and its document stays word for word."""
    issue = shop.issued_quote()
    before = issue.document
    with pytest.raises(QuoteError, match="frozen"):
        change(issue)
    issue.refresh_from_db()
    assert issue.document == before


def test_a_new_table_changes_no_issued_quote():
    """Prices that rise tomorrow leave what was issued today as it was, and are flagged."""
    issue = shop.issued_quote()
    before = document_of(issue)
    dearer_liner(Decimal("5.00"))
    assert document_of(issue) == before
    assert moved_prices(issue) == ["OHL-05LS was quoted at 78.60 USD, its list price is now 83.60."]


def test_the_next_issue_starts_as_the_last_and_shows_what_changes():
    """Issue 2 has issue 1's lines; each change is a sentence."""
    first = shop.issued_quote(shop.part_opening(), shop.cottage_opening())
    second = drafts.next_issue(first.quote_id)
    assert changed_since_last(second) == []
    line = second.lines.first()
    drafts.change_line(line.pk, quantity=3, unit_price=None, description="", taxable=True)
    drafts.add_line(second.pk, "Drop-off", 1, Decimal("12.50"))
    changed = changed_since_last(second)
    assert "OHL-05LS: quantity was 1, now 3." in changed
    assert "1 x Drop-off: new." in changed
    assert any(sentence.startswith("Total: was 258.60 USD, now ") for sentence in changed)


def test_what_is_taken_out_is_named_in_the_order_of_the_quote():
    """Page, paper and mail are made by different processes and say the same."""
    labels = ["Attic", "Bath", "Cellar", "Den", "Entry", "Flat", "Garage"]
    first = shop.issued_quote(*map(shop.cottage_opening, labels), shop.part_opening("Hall"))
    second = drafts.next_issue(first.quote_id)
    for line in second.lines.filter(kind="special"):
        drafts.remove_line(line.pk)
    out = [f"Opening {n}, {label}: taken out." for n, label in enumerate(labels, 1)]
    assert changed_since_last(second)[: len(out)] == out


def test_beginning_the_next_issue_twice_gives_one_draft():
    """Two clerks who press at once work on the same draft."""
    issue = shop.issued_quote()
    assert drafts.next_issue(issue.quote_id) == drafts.next_issue(issue.quote_id)


def test_lines_taken_anew_take_the_price_in_force():
    """The next issue quotes today's price once its lines are taken anew."""
    issue = shop.issued_quote()
    dearer_liner(Decimal("5.00"))
    second = drafts.next_issue(issue.quote_id)
    assert second.lines.get().unit_price == Decimal("78.60")
    quoting.take_lines(second)
    assert second.lines.get().unit_price == Decimal("83.60")
    assert moved_prices(second) == []


def test_an_older_issue_says_that_it_was_replaced():
    """Once issue 2 is out, issue 1 tells so."""
    first = shop.issued_quote()
    second = drafts.next_issue(first.quote_id)
    assert state_of(first).word == "open"
    issuing.issue_quote(second.pk, "ann")
    assert (state_of(first).word, state_of(first).sentence) == ("replaced", "Replaced by issue 2.")


def test_it_lapses_the_day_after_it_held():
    """Good through its last day, lapsed on the next."""
    issue = shop.issued_quote()
    assert state_of(issue, issue.valid_until).word == "open"
    assert state_of(issue, issue.valid_until + datetime.timedelta(days=1)).word == "lapsed"


def test_a_line_without_a_price_is_not_issued():
    """A special that waits for the factory holds the issue back, and the sentence says which line."""
    issue = shop.draft_quote(shop.part_opening(), shop.cottage_opening())
    with pytest.raises(QuoteError, match="Line 2 has no price yet"):
        issuing.issue_quote(issue.pk, "ann")


def test_what_nobody_pays_is_not_issued():
    """An eight-digit number slipped into the price: nothing could show the order that would come of it."""
    issue = shop.draft_quote()
    drafts.add_line(issue.pk, "cord", 101, Decimal("99999999"))
    with pytest.raises(QuoteError, match=r"The quote comes to 10,\d+,\d+,\d+\.\d\d USD: check"):
        issuing.issue_quote(issue.pk, "ann")
    issue.refresh_from_db()
    assert issue.issued_at is None


def test_freight_to_be_asked_is_not_issued():
    """What is over every parcel limit is not issued until its freight is agreed."""
    FreightStep.objects.update(length=10 * shop.INCH)
    issue = shop.draft_quote()
    drafts.change_head(issue.pk, Head(None, False, None, "", 30))
    with pytest.raises(QuoteError, match="goes by truck"):
        issuing.issue_quote(issue.pk, "ann")
    drafts.change_head(issue.pk, Head(None, False, Decimal("85.00"), "", 30))
    assert document_of(issuing.issue_quote(issue.pk, "ann")).sums.freight == Decimal("85.00")


def test_a_factory_price_that_ends_sooner_ends_the_quote():
    """A special's quote holds no longer than the factory's price for it."""
    issue = shop.draft_quote(shop.cottage_opening())
    shop.price_specials(issue)
    soon = timezone.localdate() + datetime.timedelta(days=6)
    issue.lines.update(factory_valid_until=soon, factory_cost=Money("100", "USD"))
    assert issuing.issue_quote(issue.pk, "ann").valid_until == soon
