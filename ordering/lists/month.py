"""Reads what a month came to: orders taken, quotes and what became of them, specials, parts that left late."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Count, Exists, F, OuterRef, Q, QuerySet, Sum
from django.utils import timezone

from ordering.models import Order, OrderLine
from ordering.states import Step
from quotes.lists.issue_states import can_be_accepted, has_newer_out
from quotes.models import SENT_BACK, ChangeAsked, Issue, Quote, QuoteLine
from sizing.lists import between

# Lost quotes that are listed one by one, the latest first.
MOST_LISTED = 50


@dataclass(frozen=True)
class Taken:
    """Orders placed in one currency. `unpriced` of them have no total; `worth` is that of the others, as placed.

    Of what has been cancelled since: `gone` orders whole, priced `gone_worth`, and a part of `fewer` others.
    """

    currency: str
    orders: int
    by_hand: int
    unpriced: int
    worth: Decimal
    gone: int
    gone_worth: Decimal
    fewer: int


@dataclass(frozen=True)
class Lost:
    """A quote whose last issue ran out in the month and that nobody accepted."""

    quote: int
    number: str
    customer: str
    total: Decimal
    currency: str
    why: str


@dataclass(frozen=True)
class Left:
    """What left one factory in the month. `late`: after the last day the customer was told; `broken`: after the day
    that the factory had given last."""

    factory: str
    lines: int
    late: int
    broken: int


@dataclass(frozen=True)
class Month:
    """What the month that begins with `first` came to; percents are whole numbers, 0 of nothing."""

    first: date
    taken: list[Taken]
    # Lines that a factory makes, and how many of them are specials.
    made: int
    specials: int
    # Quotes first issued in the month, by what has become of them up to now.
    issued: int
    accepted: int
    open: int
    # Sent back or taken back, and neither answered nor issued anew.
    back: int
    lost: list[Lost]
    lost_count: int
    reasons: list[tuple[str, int]]
    left: list[Left]

    @property
    def before(self) -> date:
        return (self.first - timedelta(days=1)).replace(day=1)

    @property
    def after(self) -> date:
        return _next(self.first)

    @property
    def accepted_percent(self) -> int:
        return round(100 * self.accepted / self.issued) if self.issued else 0

    @property
    def specials_percent(self) -> int:
        return round(100 * self.specials / self.made) if self.made else 0


def month_of(first: date) -> Month:
    """The month that begins on that day, as of today."""
    last = _next(first) - timedelta(days=1)
    orders = Order.objects.filter(placed_on__range=(first, last))
    made = OrderLine.objects.filter(
        order__placed_on__range=(first, last), factory__isnull=False, remake_of=None
    )
    lines = made.aggregate(
        all=Count("pk"), specials=Count("pk", Q(quote_line__kind=QuoteLine.Kind.SPECIAL))
    )
    issued, accepted, still, back = _issued(first, last)
    lost, count, reasons = _lost(first, last)
    return Month(
        first, _taken(orders), lines["all"], lines["specials"], issued, accepted, still, back,
        lost, count, reasons, _left(first, last),
    )  # fmt: skip


def _next(first: date) -> date:
    """The first day of the month after."""
    return (first + timedelta(days=32)).replace(day=1)


def _taken(orders: QuerySet[Order]) -> list[Taken]:
    lines = OrderLine.objects.filter(order=OuterRef("pk")).order_by()
    gone = Q(~Exists(lines.exclude(step=Step.CANCELLED)))
    rows = orders.order_by().values_list("currency")
    counted = rows.annotate(
        orders=Count("pk"),
        by_hand=Count("pk", Q(acceptance=None)),
        unpriced=Count("pk", Q(total=None)),
        worth=Sum("total", default=Decimal(0)),
        gone=Count("pk", gone),
        gone_worth=Sum("total", filter=gone, default=Decimal(0)),
        fewer=Count("pk", Q(Exists(lines.filter(cancelled__gt=0))) & ~gone),
    )
    return [Taken(*row) for row in counted.order_by("-orders", "currency")]


def _issued(first: date, last: date) -> tuple[int, int, int, int]:
    """(quotes first issued in the month, those of them accepted by now, those that can still be, those that wait
    for us)"""
    earlier = Issue.objects.filter(
        quote=OuterRef("quote"), issued_at__isnull=False, number__lt=OuterRef("number")
    )
    firsts = Issue.objects.filter(between("issued_at", first, last)).exclude(Exists(earlier))
    standing = can_be_accepted(timezone.localdate()).filter(quote=OuterRef("quote"))
    back = ChangeAsked.objects.filter(SENT_BACK, issue__quote=OuterRef("quote"))
    told = firsts.aggregate(
        all=Count("pk"),
        accepted=Count("pk", Q(quote__acceptance__isnull=False)),
        open=Count("pk", Q(Exists(standing))),
        back=Count("pk", Q(Exists(back), quote__acceptance=None)),
    )
    return told["all"], told["accepted"], told["open"], told["back"]


def _lost(first: date, last: date) -> tuple[list[Lost], int, list[tuple[str, int]]]:
    """Those listed, how many there are, and how many for which reason."""
    over = min(last, timezone.localdate() - timedelta(days=1))
    lost = Issue.objects.filter(valid_until__range=(first, over), quote__acceptance=None)
    lost = lost.exclude(has_newer_out()).order_by()
    lost = lost.annotate(back=Exists(ChangeAsked.objects.filter(SENT_BACK, issue=OuterRef("pk"))))
    reasons = Counter[str]()
    for why, back, many in lost.values_list("quote__lost_because", "back").annotate(Count("pk")):
        reasons[why or _asked(back) or "not said"] += many
    listed = lost.order_by("-valid_until", "-pk").values_list(
        "quote", "quote__customer__name", "document__sums__total", "quote__currency",
        "quote__lost_because", "back",
    )  # fmt: skip
    return (
        [
            Lost(quote, Quote(pk=quote).number, name, Decimal(total), currency, why or _asked(back))
            for quote, name, total, currency, why, back in listed[:MOST_LISTED]
        ],
        reasons.total(),
        reasons.most_common(),
    )


def _asked(back: bool) -> str:
    return "sent back, and not answered by us" if back else ""


def _left(first: date, last: date) -> list[Left]:
    rows = OrderLine.objects.filter(left_on__range=(first, last), factory__isnull=False).order_by()
    counted = rows.values_list("factory__name").annotate(
        lines=Count("pk"),
        late=Count("pk", Q(left_on__gt=F("told_latest"))),
        broken=Count("pk", Q(left_on__gt=F("promised_on"))),
    )
    return [Left(*row) for row in counted.order_by("factory__name")]
