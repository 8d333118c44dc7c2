"""What happens to an order at the shop besides the steps themselves: deposits, remakes, mistakes."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from decimal import Decimal

from django.db.models import Max, QuerySet
from django.utils import timezone

from ordering.events.acting import one_act
from ordering.events.holding import hold_order
from ordering.events.log import MOST_WHY, StaleError, Who, write
from ordering.events.placing import as_said
from ordering.events.telling import SAID, UNCALLED, refusal_letter
from ordering.logged import last_of, state_of
from ordering.models import Event, Notice, Order, OrderLine
from ordering.notices import FOR_CUSTOMERS, Kind
from ordering.replay import check_back, standing
from ordering.states import DESK, Act, Cause, LineState, NotAllowed
from quotes.desk.holding import hold, is_erased, refuse_erased
from quotes.models import Customer
from sizing.box_length import too_long
from sizing.people import name_of
from sizing.prices import MOST_TOTAL, minor_units

# Why nobody needs to be called about an order's earlier dates.
CANCELLED = "it was cancelled"


@one_act
def take_deposit(
    order_pk: int, amount: Decimal, how: str, who: Who, seen: int | None = None
) -> Event:
    """Note money received. Raises NotAllowed unless it is above nothing, in whole minor units; StaleError.

    `seen` is the order's version as the writer had it before them: money that was noted since is told
    first, so that pressing twice counts nothing twice. None is not checked.
    """
    return _note_money(order_pk, Act.DEPOSIT, amount, how, who, seen)


@one_act
def pay_back(order_pk: int, amount: Decimal, how: str, who: Who, seen: int | None = None) -> Event:
    """Note that so much of the deposit was paid back, no more than there is of it; else as `take_deposit`."""
    return _note_money(order_pk, Act.REPAID, amount, how, who, seen)


def _note_money(
    order_pk: int, act: Act, amount: Decimal, how: str, who: Who, seen: int | None
) -> Event:
    order = hold_order(order_pk)
    if amount <= 0 or amount != round(amount, minor_units(order.currency)):
        raise NotAllowed(f"{amount} {order.currency} is no amount that can be paid.")
    if order.deposit_paid + amount >= MOST_TOTAL:
        raise NotAllowed(f"{amount} {order.currency} is more than is ever paid: check the amount.")
    if how.strip() and is_erased(order.customer_id):
        raise NotAllowed(
            f"Customer {order.customer_id} has been erased: the amount is noted, but leave empty how it was paid."
        )
    if seen is not None:
        _check_money_since(order, seen)
    return write(order_pk, act, {}, who, why=how, data={"amount": str(amount)})


def _check_money_since(order: Order, seen: int) -> None:
    since = order.events.filter(act__in=(Act.DEPOSIT, Act.REPAID), number__gt=seen)
    last = since.order_by("number").last()
    if last:
        raise StaleError(
            f"{last.get_act_display()}: {last.data['amount']} {order.currency}, noted meanwhile by {name_of(last.by)} at "
            f"{timezone.localtime(last.at):%H:%M}. If yours is another amount, press again."
        )


@one_act
def make_again(
    line_pk: int,
    count: int,
    cause: Cause,
    why: str,
    who: Who,
    *,
    tells: bool,
    seen: int | None = None,
) -> OrderLine:
    """A new line for pieces that came out wrong or broken: same part, no price, its cause kept.

    `tells`: the customer gets it in writing, with the window of the new line. Raises NotAllowed, StaleError.
    """
    old = OrderLine.objects.select_related("order", "part", "family", "factory").get(pk=line_pk)
    order = hold_order(old.order_id)
    refuse_erased(order.customer_id, NotAllowed)
    number = order.lines.aggregate(last=Max("number"))["last"] + 1
    new = OrderLine.objects.create(
        order=order, number=number, part=old.part, family=old.family, factory=old.factory,
        description=old.description, quantity=count, sold_as=old.sold_as,
        remake_of=old, cause=cause, weeks_min=old.weeks_min, weeks_max=old.weeks_max,
    )  # fmt: skip
    data = {"line": number, "of": old.number, "cause": cause, "tells": tells, **as_said(new)}
    now = state_of(order).lines[old.number]
    if count > now.can_be_made_again and (why_fewer := _why_fewer(now)):
        raise NotAllowed(f"Line {old.number}: {count} cannot be made again: {why_fewer}")
    data |= now.spoiled(count, cause)
    versions = {} if seen is None else {old.number: seen}
    write(order.pk, Act.REMADE, {old.number: count}, who, why=why, data=data, seen=versions)
    new.refresh_from_db()
    return new


def _why_fewer(now: LineState) -> str:
    """Why fewer can be made again than have been made, or came from our shelf; empty: all that were can be."""
    left = f"which leaves {now.can_be_made_again}."
    if now.again:
        return (
            f"{now.again} of it {'is' if now.again == 1 else 'are'} made again already, {left} "
            "What came out wrong a second time is made again on its own line."
        )
    if now.cancelled and not now.made:
        return f"{now.cancelled} of it {'is' if now.cancelled == 1 else 'are'} cancelled, {left}"
    return ""


@one_act
def cancel(
    order_pk: int,
    numbers: Collection[int],
    why: str,
    who: Who,
    *,
    tells: bool,
    no_return: bool = False,
    counts: Mapping[int, int] | None = None,
    seen: Mapping[int, int] | None = None,
) -> Event:
    """Cancel what has not left of these lines, all of them or none; their factories are asked to stop.

    `counts` is {line's number: so many of it}; of a line that is not in it, all that has not left. `tells`:
    the customer gets it in writing. `no_return`: they were told that what is being made can be neither
    returned nor paid back. Raises NotAllowed, StaleError.
    """
    order = hold_order(order_pk)
    now = state_of(order).lines
    most = {n: now[n].can_be_cancelled for n in sorted(set(numbers)) if n in now}
    if not most:
        raise NotAllowed("Tick the lines to cancel first.")
    pieces = most | {n: count for n, count in (counts or {}).items() if most.get(n)}
    for n, count in pieces.items():
        if most[n] and not 1 <= count <= most[n]:
            raise NotAllowed(f"Line {n}: {count} cannot be cancelled; type 1 to {most[n]}.")
    data = {"tells": tells, "no_return": no_return}
    event = write(order_pk, Act.CANCELLED, pieces, who, why=why, data=data, seen=seen)
    order.refresh_from_db(fields=["is_open"])
    if not order.is_open:
        earlier = Notice.objects.filter(event__order=order, factory_order=None)
        _spare(earlier.exclude(event=event), CANCELLED)
    return event


@one_act
def take_back(order_pk: int, number: int, why: str, who: Who) -> Event:
    """Take back an event written by mistake; who was told of it is told so. NotAllowed if later ones build on it."""
    # Held from here on, so that of two who press at once the second is told.
    order = hold_order(order_pk)
    if not order.is_open:
        refuse_erased(order.customer_id, NotAllowed)
    check_back((event.as_happened() for event in order.events.all()), number)
    wrong = order.events.get(number=number)
    pieces: Mapping[int, int] = {int(line): 0 for line in wrong.pieces}
    data = {"event": number, "tells": wrong.notices.filter(SAID, factory_order=None).exists()}
    event = write(order_pk, Act.TAKEN_BACK, pieces, who, why=why, data=data)
    _spare(wrong.notices.all(), "it was taken back")
    if wrong.act == Act.CANCELLED:
        # Its other calls are to be made after all.
        spared = Notice.objects.filter(event__order=order_pk, called_by=_nobody(CANCELLED))
        spared.update(sent_at=None, called_by="")
    return event


def _spare(notices: QuerySet[Notice], why: str) -> None:
    """Nobody need be called about these any more."""
    notices.filter(UNCALLED).update(sent_at=timezone.now(), called_by=_nobody(why))


def _nobody(why: str) -> str:
    return f"nobody: {why}"


@one_act
def tell_refused(order_pk: int, number: int, words: str, who: Who) -> Notice:
    """Write to the customer that the factory can't make a line, with what the desk offers in its place: one letter
    for all that the factory has said so of at once. Raises NotAllowed.
    """
    order = hold_order(order_pk)
    refuse_erased(order.customer_id, NotAllowed)
    if who.role not in DESK:
        raise NotAllowed("Whoever works at the counter writes to them of it.")
    if trouble := too_long(words, MOST_WHY, "What you write to them"):
        raise NotAllowed(trouble)
    state = state_of(order)
    line = state.lines.get(number)
    event = last_of(standing(order.events.all()), Act.REFUSED, number)
    if not (line and line.is_refused and event):
        raise NotAllowed(f"Of line {number} its factory does not say that it can't make it.")
    if event.notices.filter(kind=Kind.REFUSED).exists():
        raise NotAllowed("They were written to about it already: see what happened, below.")
    if not order.email:
        raise NotAllowed(f"{order} has no e-mail address to write to: call them.")
    if Kind.REFUSED in order.unwanted:
        raise NotAllowed("They have chosen to get no mail of what cannot be made: call them.")
    lines = {line.number: line for line in order.lines.select_related("part", "family")}
    return refusal_letter(event, order, lines, state, " ".join(words.split()))


@one_act
def choose_notices(order_pk: int, wanted: set[str]) -> None:
    """Which kinds of notice the customer wants; what is not among the known kinds is not kept. Raises NotAllowed
    for one who has been erased."""
    order = hold_order(order_pk)
    refuse_erased(order.customer_id, NotAllowed)
    order.unwanted = [kind for kind in FOR_CUSTOMERS if kind not in wanted]
    order.save(update_fields=["unwanted"])


def called(notice_pk: int, who: Who) -> bool:
    """Note that somebody was told by phone what had no address to be mailed to, with all there was to say
    of the same order before it; False: told already."""
    last = Notice.objects.filter(pk=notice_pk, to="", sent_at=None).select_related("event").first()
    if last is None:
        return False
    told = Notice.objects.filter(
        pk__lte=notice_pk, to="", sent_at=None, factory_order=last.factory_order
    )
    if last.factory_order_id is None:
        told = told.filter(event__order=last.event.order_id)
    return bool(told.update(sent_at=timezone.now(), called_by=who.name[:150]))


def follow_merge(gone: Customer) -> None:
    """Give the orders of a merged customer to the one it went into. Their log stays as it is."""
    theirs = hold(Order.objects.filter(customer=gone))
    Order.objects.filter(pk__in=[order.pk for order in theirs]).update(customer=gone.merged_into)
