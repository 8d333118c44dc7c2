"""Writes drafts of quotes: what stands in them besides what their request says. One transaction each.

An issued quote is frozen: everything that changes one takes a draft (`draft`) and refuses the rest.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.db.models import Max

from quotes import worklist
from quotes.desk.holding import hold, refuse_erased
from quotes.lists.issue_states import acceptance_in_words
from quotes.models import (
    Acceptance,
    Address,
    Issue,
    LineOpening,
    Quote,
    QuoteLine,
    Request,
    Special,
)


class QuoteError(ValueError):
    """What cannot be done to a quote: one sentence, what and how to mend it."""


def draft(issue_pk: int) -> Issue:
    """The issue, locked for writing. Raises QuoteError once it has been issued, or its customer erased."""
    issue = _held(issue_pk)
    refuse_erased(issue.quote.customer_id, QuoteError)
    return issue


def _held(issue_pk: int) -> Issue:
    # The quote is what everybody locks: an acceptance and a new issue never pass each other. Read only then,
    # so that nothing is written back as it was before.
    of_quote = Issue.objects.values("quote").get(pk=issue_pk)["quote"]
    quote = Quote.objects.select_for_update().get(pk=of_quote)
    issue = Issue.objects.get(pk=issue_pk)
    issue.quote = quote
    if issue.issued_at is not None:
        raise QuoteError(f"{issue} is issued and frozen: make the next issue to change it.")
    return issue


def refuse_accepted(quote: Quote) -> None:
    """Raises QuoteError after acceptance. Asked of the database: it may have come a moment ago."""
    accepted = Acceptance.objects.filter(quote=quote).first()
    if accepted:
        raise QuoteError(f"{acceptance_in_words(accepted)}: changes now go through the order.")


@transaction.atomic
def next_issue(quote_pk: int) -> Issue:
    """The draft that follows the last issue, with its lines; the one already begun if there is one.

    Raises QuoteError after acceptance, as what was accepted is not changed by a quote, or after an erasure.
    """
    quote = Quote.objects.select_for_update().get(pk=quote_pk)
    last = quote.issues.order_by("-number").first()
    if last.issued_at is None:
        return last
    refuse_erased(quote.customer_id, QuoteError)
    refuse_accepted(quote)
    fresh = Issue.objects.create(
        quote=quote,
        number=last.number + 1,
        ship_to=last.ship_to,
        pickup=last.pickup,
        freight=last.freight,
        discount_percent=last.discount_percent,
        discount_by=last.discount_by,
        note=last.note,
        valid_days=last.valid_days,
    )
    for line in last.lines.all():
        openings = list(line.openings.all())
        line.pk, line.issue = None, fresh
        line._state.adding = True
        line.save()
        LineOpening.objects.bulk_create(LineOpening(line=line, opening=o) for o in openings)
    return fresh


@transaction.atomic
def discard_draft(issue_pk: int) -> Quote | None:
    """Take away a draft that was never issued; the quote, or None if the draft was all there was of it.

    What was issued stays as it is. Raises QuoteError if the draft holds what stands nowhere else.
    """
    hold(Request.objects.filter(quotes__issues=issue_pk))
    issue = _held(issue_pk)
    if Special.objects.filter(line__issue=issue).exists():
        raise QuoteError(
            f"{issue} holds a special's price that stands nowhere else: take out the other lines, "
            "or issue it."
        )
    quote = issue.quote
    issue.delete()
    if quote.issues.exists():
        return quote
    quote.delete()
    if quote.request_id:
        worklist.note(quote.request_id)
    return None


@dataclass(frozen=True)
class Head:
    """What a draft says besides its lines."""

    ship_to: Address | None
    pickup: bool
    freight: Decimal | None
    note: str
    valid_days: int


@transaction.atomic
def change_head(issue_pk: int, head: Head) -> Issue:
    """Say where a draft's goods go and what else stands above its lines. Raises QuoteError."""
    issue = draft(issue_pk)
    if head.ship_to and head.ship_to.customer_id != issue.quote.customer_id:
        raise QuoteError("That address is another customer's: choose one of this customer.")
    issue.ship_to, issue.pickup, issue.freight = head.ship_to, head.pickup, head.freight
    issue.note, issue.valid_days = head.note, head.valid_days
    issue.save()
    return issue


@transaction.atomic
def give_discount(issue_pk: int, percent: Decimal | None, by: str) -> None:
    """Percent off list for this quote alone, in the place of the customer's terms; None: as the terms say.

    Whoever gave it first stays named as long as it is not changed.
    """
    issue = draft(issue_pk)
    if percent != issue.discount_percent:
        issue.discount_percent = percent
        issue.discount_by = "" if percent is None else by
        issue.save()


@transaction.atomic
def add_line(
    issue_pk: int, description: str, quantity: int, unit_price: Decimal | None
) -> QuoteLine:
    """A line made by hand, last of all."""
    issue = draft(issue_pk)
    last = issue.lines.aggregate(last=Max("position"))["last"]
    return QuoteLine.objects.create(
        issue=issue,
        position=0 if last is None else last + 1,
        kind=QuoteLine.Kind.HAND,
        description=description,
        quantity=quantity,
        unit_price=unit_price,
    )


@transaction.atomic
def change_line(
    line_pk: int, *, quantity: int, unit_price: Decimal | None, description: str, taxable: bool
) -> None:
    """Change a line of a draft. The price and words of a part come from its table and stay."""
    draft(QuoteLine.objects.values("issue").get(pk=line_pk)["issue"])
    line = QuoteLine.objects.filter(pk=line_pk).first()
    if line is None:
        raise QuoteError("A line was taken out meanwhile: look at the draft again.")
    line.quantity, line.taxable = quantity, taxable
    if line.kind != QuoteLine.Kind.PART:
        line.unit_price, line.description = unit_price, description
    line.save()


@transaction.atomic
def remove_line(line_pk: int) -> None:
    """Take a line out of a draft; its openings stay in the request. Raises QuoteError once it is issued."""
    line = QuoteLine.objects.get(pk=line_pk)
    draft(line.issue_id)
    line.delete()
