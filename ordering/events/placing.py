"""Places orders: from an accepted quote, once for ever, or by hand with the same checks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID

from django.db import IntegrityError
from django.utils import timezone
from moneyed import Money

from ordering.described import not_made
from ordering.estimator.lead_time import Weeks
from ordering.events.acting import one_act
from ordering.events.log import Who, write
from ordering.links import new_link
from ordering.models import Order, OrderLine, OrderWord
from ordering.states import Act
from ordering.words import words_of
from quotes.allot import round_money
from quotes.desk.accepting import ordered
from quotes.desk.holding import hold, hold_one, refuse_erased
from quotes.documents.content import LineRow, from_plain, show_amount
from quotes.documents.naming import describe, describe_part
from quotes.lists.prices import answered_alone, part_in_force
from quotes.lists.shop import the_shop
from quotes.lists.specials import answers_of
from quotes.models import Acceptance, Address, Customer, Issue, QuoteLine
from sizing.models import Part
from sizing.prices import MOST_TOTAL
from sizing.wording import speaking

MOST_LINES, MOST_PIECES = 400, 10_000


class PlacingError(ValueError):
    """What cannot be ordered: one sentence; `place` is the line it is about, from 0."""

    def __init__(self, sentence: str, place: int | None = None) -> None:
        super().__init__(sentence)
        self.place = place


@one_act
def place_from_quote(quote_pk: int, who: Who) -> Order:
    """The order of an accepted quote; the same order however often it is asked for.

    Raises PlacingError if the quote is not accepted, its customer has been erased, or it holds a part that is not
    made any more.
    """
    meant = Acceptance.objects.filter(quote=quote_pk)
    if not hold(meant):
        raise PlacingError(
            "This quote is not accepted yet: an order needs the customer's word first."
        )
    # Asked once it is held: its customer may have been merged or erased while somebody else had it.
    accepted = meant.select_related("issue__ship_to", "quote__request").get()
    placed = Order.objects.filter(acceptance=accepted).first()
    if placed:
        return placed
    refuse_erased(accepted.quote.customer_id, PlacingError)
    issue, document = accepted.issue, from_plain(accepted.issue.document)
    stored = issue.lines.select_related("part__revision__family__factory").order_by(
        "position", "id"
    )
    _check_made(stored)
    weeks = _weeks_said(issue, stored)
    lines = [
        _quoted(
            line, _in_english(line, row, document.language), document.currency, weeks.get(line.pk)
        )
        for line, row in zip(stored, document.lines, strict=True)
    ]
    order = _new_order(
        accepted.quote.customer,
        who,
        acceptance=accepted,
        currency=document.currency,
        total=document.sums.total,
        deposit_due=document.sums.deposit,
        pickup=issue.pickup,
        ship_to=list(document.ship_to),
        town=issue.ship_to.town if issue.ship_to else "",
        note=issue.note,
        their_number=accepted.their_number,
        needed_by=accepted.quote.request.needed_by if accepted.quote.request else None,
        mailed_to=issue.mailed_to,
    )
    ordered(accepted)
    return _place(order, lines, who)


def _check_made(lines: Iterable[QuoteLine]) -> None:
    """What was accepted after its factory gave it up gets no order, and its customer no day: somebody calls first."""
    for line in lines:
        family = line.part.revision.family if line.part else None
        gone = not_made(line.part.part_number if line.part else "", family, timezone.localdate())
        if gone:
            raise PlacingError(
                f"{line.issue.quote}: {gone}. If {family.factory} makes it all the same, a manager clears the "
                f"day on the page of the size table {family}; if not, call the customer."
            )


def _in_english(line: QuoteLine, row: LineRow, language: str) -> str:
    """The words of a line as desk and factory read them; the customer's are worked out for the page."""
    if language == "en":
        return row.description
    with speaking("en"):
        return describe(line)


def _weeks_said(issue: Issue, lines: Iterable[QuoteLine]) -> dict[int, Weeks]:
    """{quote line's key: the weeks that its factory said for it}, as a special or of its lead time alone."""
    alone = answered_alone(issue.quote.request_id)
    said = {}
    for line in lines:
        part = line.part and (line.part.revision.family_id, line.part.part_number)
        if part in alone:
            said[line.pk] = alone[part]
    said |= answers_of(issue)
    return {line: (one.weeks_min, one.weeks_max) for line, one in said.items()}


def _quoted(line: QuoteLine, description: str, currency: str, weeks: Weeks | None) -> OrderLine:
    revision = line.part.revision if line.part else None
    opening = line.openings.select_related("revision__family__factory").first()
    if revision is None and opening is not None:
        revision = opening.revision
    return OrderLine(
        quote_line=line,
        part=line.part,
        family=revision.family if revision else None,
        factory=revision.family.factory if revision else None,
        description=description[:500],
        quantity=line.quantity,
        sold_as=line.sold_as,
        unit_price=None if line.unit_price is None else Money(line.unit_price, currency),
        weeks_min=weeks[0] if weeks else None,
        weeks_max=weeks[1] if weeks else None,
    )


@dataclass(frozen=True)
class HandLine:
    """A line as typed: a part's number, or words for something from the shop's own shelf."""

    part_number: str
    description: str
    quantity: int
    unit_price: Decimal | None = None


def place_by_hand(
    customer_pk: int,
    lines: Sequence[HandLine],
    who: Who,
    *,
    page: UUID | None = None,
    ship_to: Address | None = None,
    needed_by: date | None = None,
    note: str = "",
    their_number: str = "",
) -> Order:
    """An order without a quote. `page` marks the page it was typed into: sent twice it makes one order.

    Raises PlacingError for a customer who was erased or merged, a part no table in force offers, a quantity out
    of range, or currencies that differ.
    """
    goes = {"pickup": True}
    if ship_to:
        goes = {"ship_to": ship_to.lines, "town": ship_to.town}
    said = {
        "page": page, "needed_by": needed_by, "note": note, "their_number": their_number, **goes,
    }  # fmt: skip
    try:
        return _typed_into(page) or _place_by_hand(customer_pk, lines, who, **said)
    except IntegrityError:
        # The same page came twice at once; the other one was a moment faster.
        if placed := _typed_into(page):
            return placed
        raise


def _typed_into(page: UUID | None) -> Order | None:
    return Order.objects.filter(page=page).first() if page else None


@one_act
def _place_by_hand(
    customer_pk: int,
    lines: Sequence[HandLine],
    who: Who,
    **said: object,
) -> Order:
    # Nobody erases or merges them meanwhile.
    customer = hold_one(Customer.objects.filter(pk=customer_pk))
    if customer.merged_into_id:
        raise PlacingError(
            f"{customer} was merged into {customer.merged_into}: order for that one."
        )
    refuse_erased(customer_pk, PlacingError)
    if not 1 <= len(lines) <= MOST_LINES:
        raise PlacingError(f"An order has between 1 and {MOST_LINES} lines.")
    usual = the_shop().currency
    made = [_by_hand(line, place, usual) for place, line in enumerate(lines)]
    # An amount of nothing is false, and a price all the same.
    currencies = {line.unit_price.currency.code for line in made if line.unit_price is not None}
    if len(currencies) > 1:
        raise PlacingError(f"One order has one currency, not {' and '.join(sorted(currencies))}.")
    currency = next(iter(currencies), usual)
    worth = [
        round_money(line.unit_price.amount * line.quantity, currency)
        for line in made
        if line.unit_price is not None
    ]
    if sum(worth) >= MOST_TOTAL:
        raise PlacingError(
            f"The order comes to {show_amount(sum(worth), currency, True)}: check its quantities and prices."
        )
    total = sum(worth) if len(worth) == len(made) else None
    order = _new_order(customer, who, currency=currency, total=total, **said)
    return _place(order, made, who)


def _by_hand(line: HandLine, place: int, currency: str) -> OrderLine:
    """`currency` is that of a line which no size table prices."""
    if not 1 <= line.quantity <= MOST_PIECES:
        raise PlacingError(f"Line {place + 1}: order between 1 and {MOST_PIECES} pieces.", place)
    if not line.part_number:
        if not line.description.strip():
            raise PlacingError(f"Line {place + 1}: type a part number or say what it is.", place)
        price = None if line.unit_price is None else Money(line.unit_price, currency)
        return OrderLine(
            description=line.description[:500], quantity=line.quantity, unit_price=price
        )
    part = find_part(line.part_number)
    if part is None:
        raise PlacingError(
            f"Line {place + 1}: no size table in force offers “{line.part_number}”; "
            "check the number with the counter page.",
            place,
        )
    family = part.revision.family
    return OrderLine(
        part=part, family=family, factory=family.factory,
        description=describe_part(part)[:500], quantity=line.quantity,
        sold_as=part.revision.sold_as, unit_price=part.price,
    )  # fmt: skip


def find_part(number: str) -> Part | None:
    """The part of that number that a table in force today offers."""
    today = timezone.localdate()
    for part in Part.objects.filter(part_number__iexact=number.strip()).select_related(
        "revision__family__factory", "row"
    ):
        now = part_in_force(part, today)
        if now is not None and now.part_number:
            return now
    return None


def _new_order(customer: Customer, who: Who, mailed_to: str = "", **fields: object) -> Order:
    """Its notices go by mail unless the customer is told by phone; where no contact has an address, to where
    the quote went: the customer reads there.
    """
    last = customer.orders.order_by("-pk").only("unwanted").first()
    by_mail = customer.channel == Customer.Channel.EMAIL
    contact = customer.contacts.exclude(email="").first() if by_mail else None
    known = contact.email if contact else mailed_to
    return Order.objects.create(
        customer=customer,
        email=known if by_mail else "",
        unwanted=last.unwanted if last else [],
        taken_by=who.name,
        placed_on=timezone.localdate(),
        **new_link(),
        **fields,
    )


def _place(order: Order, lines: Iterable[OrderLine], who: Who) -> Order:
    lines = list(lines)
    for number, line in enumerate(lines, 1):
        line.order, line.number = order, number
    OrderLine.objects.bulk_create(lines)
    OrderWord.objects.bulk_create(
        OrderWord(order=order, word=word) for word in words_of(order, lines)
    )
    said = {str(line.number): as_said(line) for line in lines}
    write(order.pk, Act.PLACED, {}, who, data={"lines": said})
    order.refresh_from_db()
    return order


def as_said(line: OrderLine) -> dict[str, object]:
    """What the log needs of a new line."""
    return {"quantity": line.quantity, "made": line.factory_id is not None}
