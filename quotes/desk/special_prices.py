"""Prices a factory's answer, puts it into the quote and tells the customer. One transaction each."""

from __future__ import annotations

from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from quotes.days import long_date
from quotes.desk.drafts import QuoteError, draft
from quotes.desk.quoting import begin_quotes
from quotes.desk.special_letters import note, tell_priced, write_customer
from quotes.desk.specials import EnquiryError, close, locked
from quotes.documents.content import show_price
from quotes.documents.naming import name_of
from quotes.enquiries import margin_of, price_with, why_checked
from quotes.letters.customer import refused_letter
from quotes.lists.prices import weeks_answered
from quotes.lists.shop import the_shop
from quotes.lists.specials import margin_on
from quotes.models import Enquiry, QuoteLine, Special
from quotes.worklist import changed_since
from sizing.wording import speaking

State = Special.State


def suggested_price(special: Special, enquiry: Enquiry) -> Decimal | None:
    """The price by the margin rule in force; None without a rule, or where the currencies differ."""
    currency = special.revision.currency
    rule = margin_on(special.family, currency, timezone.localdate())
    cost = enquiry.unit_cost
    if rule is None or cost is None or cost.currency.code != currency:
        return None
    return price_with(rule.percent, cost.amount, currency)


@transaction.atomic
def price(
    special_pk: int, unit_price: Decimal | None, *, by: str, is_manager: bool, why: str = ""
) -> Special:
    """Price an answered special: by the rule (None) or by hand. What a manager need not check goes
    straight into the quote. Raises EnquiryError."""
    special = locked(special_pk)
    enquiry = special.enquiry
    if special.state not in (State.ANSWERED, State.TO_CHECK) or enquiry is None:
        raise EnquiryError(
            f"{special} is {special.get_state_display()}: there is nothing to price."
        )
    _check_stands(special, enquiry)
    by_hand = unit_price is not None
    if unit_price is None:
        unit_price = suggested_price(special, enquiry)
    if unit_price is None:
        raise EnquiryError("No margin rule fits the factory's price: type the price by hand.")
    currency = special.revision.currency
    cost = enquiry.unit_cost
    same = cost is not None and cost.currency.code == currency
    if by_hand and same and unit_price < cost.amount:
        # Mostly a digit that was left out. Who means it changes the price in the draft.
        ours, theirs = (
            f"{show_price(one, currency)} {currency}" for one in (unit_price, cost.amount)
        )
        raise EnquiryError(
            f"{ours} is less than the factory's {theirs}: type another price. One below its cost "
            "is typed into the quote itself."
        )
    amount = cost.amount if same else None
    percent = None if amount is None else margin_of(unit_price, amount)
    rule = margin_on(special.family, currency, timezone.localdate())
    check = why_checked(unit_price, special.quantity, amount, rule, currency)
    special.unit_price, special.margin_percent = unit_price, percent
    shown = f"{show_price(unit_price, currency)} {currency} per {special.revision.sold_as}"
    note(special, by, "priced by hand" if by_hand else "priced by the margin rule",
         "; ".join(word for word in (shown, why.strip()) if word))  # fmt: skip
    if check and not is_manager:
        special.state = State.TO_CHECK
        special.save()
        note(special, by, "left for the manager", check)
        return special
    if check:
        note(special, by, "checked", check)
    return _into_quote(special, enquiry, by)


@transaction.atomic
def check(special_pk: int, *, by: str) -> Special:
    """The manager's word on a price that had to be checked: it goes into the quote."""
    special = locked(special_pk)
    if special.state != State.TO_CHECK or special.enquiry is None:
        raise EnquiryError(
            f"{special} is {special.get_state_display()}: there is nothing to check."
        )
    _check_stands(special, special.enquiry)
    note(special, by, "checked")
    return _into_quote(special, special.enquiry, by)


def _check_stands(special: Special, enquiry: Enquiry) -> None:
    """The answer must still be about this opening, and must still hold."""
    if special.opening is None:
        raise EnquiryError("Its opening was taken out of the request: put the special aside.")
    if changed_since(special):
        raise EnquiryError("The measures have changed since the factory was asked: ask again.")
    if enquiry.valid_until and enquiry.valid_until < timezone.localdate():
        raise EnquiryError(
            f"The factory's price held until {long_date(enquiry.valid_until)}: ask again."
        )


def _into_quote(special: Special, enquiry: Enquiry, by: str) -> Special:
    try:
        begin_quotes(special.request_id, by)
        line = _line_of(special)
        draft(line.issue_id)
    except QuoteError as error:
        raise EnquiryError(str(error)) from None
    line.unit_price = special.unit_price
    line.factory_cost = enquiry.unit_cost
    line.factory_valid_until = enquiry.valid_until
    line.margin_percent = special.margin_percent
    with speaking(line.issue.quote.customer.language):
        line.lead_words = weeks_answered(enquiry)
    line.save()
    special.line, special.state = line, State.QUOTED
    special.save()
    enquiry.closed_at = timezone.now()
    enquiry.save(update_fields=["closed_at"])
    note(special, by, "put into the quote", str(line.issue))
    tell_priced(special.request_id, by)
    return special


def _line_of(special: Special) -> QuoteLine:
    line = QuoteLine.objects.select_related("issue__quote__customer").filter(
        kind=QuoteLine.Kind.SPECIAL,
        openings=special.opening,
        issue__issued_at=None,
        issue__quote__request=special.request_id,
    ).first()  # fmt: skip
    if line is None:
        # A clerk's flag on an opening that the table answers: its line is a part's, not a special's.
        raise QuoteError(
            "The quote has a part for this opening: take the chosen part out of the request first."
        )
    return line


@transaction.atomic
def tell_refused(special_pk: int, *, by: str) -> Special:
    """Write the customer that it can't be made, and put the special aside."""
    special = locked(special_pk)
    if special.state != State.REFUSED or special.enquiry is None:
        raise EnquiryError(f"{special} is {special.get_state_display()}, not refused.")
    with speaking(special.request.speaks):
        what = special.revision.name
        if special.opening:
            what = f"{name_of(special.opening)}, {what}"
        subject, body = refused_letter(
            special.request.caller, the_shop().lines, what, special.enquiry.remarks
        )
    write_customer([special], "refused", subject, body, by)
    return close(special.pk, by=by, why="the factory can't make it")
