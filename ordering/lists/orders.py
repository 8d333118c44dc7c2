"""Reads orders: one with its lines and history, those waiting to be placed or sent, factory orders."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from html import escape
from typing import Any

from django.db.models import Count, Exists, OuterRef, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.safestring import SafeString

from ordering.attention import is_late, is_missed
from ordering.bar import draw_bar
from ordering.described import described, given_up
from ordering.expected import WORKED_OUT_FROM, window_of
from ordering.logged import last_of, state_of
from ordering.models import Event, FactoryOrder, Notice, Order, OrderLine
from ordering.models.orders import AWAITS_FACTORY
from ordering.replay import standing
from ordering.sentences import day, how_it_stands, it, pieces, refusal, window_in_words
from ordering.states import COUNTED, Act, LineState, Step, Window
from quotes.cells import beside, theirs
from quotes.cells import day as on_day
from quotes.documents.content import show_amount
from quotes.models import Acceptance
from quotes.svg import to_svg
from sizing.lists import between, escaped
from sizing.people import name_of
from sizing.standing import KEYS, StandingQuestion, keep_with
from sizing.wording import gettext as _
from sizing.wording import ngettext


@dataclass(frozen=True)
class LineView:
    """One line as it is shown: its state, its window and the clause that is read out."""

    line: OrderLine
    state: LineState
    window: Window | None
    stands: str
    svg: str

    @property
    def name(self) -> str:
        return self.line.part_number or self.description

    @property
    def description(self) -> str:
        return described(self.line)

    @property
    def counted(self) -> str:
        """The pieces still wanted; of a line that is cancelled or made again whole, what it was."""
        count = self.state.wanted or self.state.going or self.state.quantity
        return pieces(count, self.line.sold_as, self.name)

    @property
    def given_up(self) -> str:
        """Of a line that is to be sent yet and that its factory makes no more: since when, as a clause."""
        return given_up(self.line, timezone.localdate())

    @property
    def fewer(self) -> str:
        """How many of it are not wanted any more, while others are."""
        count = self.state.cancelled if self.state.going else 0
        words = ngettext("{count} more was cancelled.", "{count} more were cancelled.", count)
        return words.format(count=count) if count else ""

    @property
    def stands_alone(self) -> str:
        return it(self.stands)

    @property
    def on_their_page(self) -> str:
        """What the customer was told last and reads on their page, where that is not between the same days."""
        if not (self.window and self.state.told):
            return ""
        today = timezone.localdate()
        told = self.state.told.still_to_come(today)
        same = (told.earliest, told.latest) == (self.window.earliest, self.window.latest)
        return "" if same else window_in_words(told, today)

    @property
    def refused(self) -> str:
        """Of what its factory can't make: who says so since when, as a clause."""
        today = timezone.localdate()
        return refusal(self.line.factory, self.state, today) if self.state.is_refused else ""

    @property
    def asked_about(self) -> str:
        """What its factory has asked or said of it and waits for our word on; nothing once it has left."""
        sent = self.line.factory_order
        return sent.said if sent and sent.said_on and self.state.awaits_factory else ""

    @property
    def is_late(self) -> bool:
        told = self.state.told
        return bool(told and self.window and told.latest < self.window.likely)


@dataclass(frozen=True)
class Told:
    """One event in the order's history."""

    event: Event
    about: str
    words: str
    taken_back: bool
    who: str

    @property
    def notices(self) -> list[Notice]:
        """What the event had somebody told: the customer, factories."""
        return list(self.event.notices.all())

    @property
    def day(self) -> str:
        return day(self.event.on)

    @property
    def happened(self) -> str:
        return _(Act(self.event.act).words).lower()

    @property
    def drawn(self) -> SafeString:
        """7 Dec 2026: promised by the factory for 11 January 2027, line 1: why (who). "When?" shows dozens."""
        what: Any = beside(self.happened, self.words) if self.words else self.happened
        if self.words and self.event.act == Act.SENT:
            what = SafeString(f'{self.happened} <span class="day">{escape(self.words)}</span>')
        if self.taken_back:
            what = SafeString(f"<s>{escaped(what)}</s>, taken back")
        said = beside(what, *filter(None, [self.about]), between=", ")
        if self.event.why:
            said = beside(said, theirs(self.event.why), between=": ")
        who = SafeString(f'<span class="faint">({theirs(self.who)})</span>')
        return beside(f"{on_day(self.event.on)}:", said, who)


_LINES = StandingQuestion(
    OrderLine.objects.filter(order__pk__among=KEYS)
    .order_by("number")
    .select_related(*WORKED_OUT_FROM)
)
_EVENTS = StandingQuestion(Event.objects.filter(order__pk__among=KEYS).order_by("number"))


def read_whole(orders: Iterable[Order]) -> None:
    """Lines and events, kept with the orders that have not been read so far, for whoever asks next."""
    kept = {"lines", "events"}
    bare = [
        one
        for one in orders
        if not kept <= one.__dict__.get("_prefetched_objects_cache", {}).keys()
    ]
    if bare:
        keys = [order.pk for order in bare]
        keep_with(bare, "lines", _LINES(keys=keys))
        keep_with(bare, "events", _EVENTS(keys=keys))


def line_views(order: Order, told: bool = False) -> list[LineView]:
    """The order's lines as of today. `told`: the window last told instead of today's, until that is over (for a
    customer)."""
    read_whole([order])
    state, log = state_of(order), standing(order.events.all())
    today = timezone.localdate()
    found = []
    for line in order.lines.all():
        now = state.lines[line.number]
        if told and now.has_a_day and not is_late(now.told, today):
            window = now.told and now.told.still_to_come(today)
        else:
            window = window_of(line, now, today)
        stands = how_it_stands(
            now,
            window,
            today,
            pickup=order.is_picked_up,
            held_because=_last_why(log, Act.HELD, line.number),
            handed_on=_last_day(log, Act.HANDED, line.number),
        )
        beside = None if told else now.told
        svg = ""
        if window and now.step not in (Step.HELD, Step.CANCELLED, Step.AGAIN):
            bar = draw_bar(window, today, now.promised_on, beside)
            svg = to_svg(bar, f"line-{order.pk}-{line.number}")
        found.append(LineView(line, now, window, stands, svg))
    return found


def misses(order: Order, views: Iterable[LineView]) -> date | None:
    """The day before which it is likeliest not to have left its factory whole, if that is not before the day on
    which the customer needs it. What has no day, as it is on hold, is later still."""
    last = max((view.window.likely for view in views if view.window), default=None)
    return last if last and is_missed(order.needed_by, last) else None


def _last_why(log: list[Event], act: Act, number: int) -> str:
    event = last_of(log, act, number)
    return event.why if event else ""


def _last_day(log: list[Event], act: Act, number: int) -> date | None:
    event = last_of(log, act, number)
    return event.on if event else None


def history(order: Order) -> list[Told]:
    """What happened, the newest first."""
    read_whole([order])
    events = list(order.events.all())
    stands = {event.number for event in standing(events)}
    acts = {event.number: Act(event.act).words.lower() for event in events}
    return [
        Told(
            event,
            about(event),
            _words(event, acts),
            event.number not in stands,
            name_of(event.by),
        )
        for event in reversed(events)
    ]


def about(event: Event) -> str:
    """The lines that an event is about, with how many of each where it is pieces that it happened to."""
    if event.pieces and event.act not in COUNTED:
        words = ngettext("line {numbers}", "lines {numbers}", len(event.pieces))
        return words.format(numbers=", ".join(event.pieces))
    words = _("{count} of line {number}")
    return ", ".join(
        words.format(number=number, count=count) for number, count in event.pieces.items()
    )


def _words(event: Event, acts: Mapping[int, str]) -> str:
    data = event.data
    if event.act in (Act.PROMISED, Act.MOVED):
        said = {number: day(date.fromisoformat(text)) for number, text in data["promised"].items()}
        if len(set(said.values())) == 1:
            words = _("to {day}") if event.act == Act.MOVED else _("for {day}")
            return words.format(day=next(iter(said.values())))
        return "; ".join(
            _("line {number} for {day}").format(number=number, day=said[number])
            for number in sorted(said, key=int)
        )
    if event.act in (Act.DEPOSIT, Act.REPAID):
        return show_amount(Decimal(data["amount"]), event.order.currency, code=True)
    if event.act == Act.SENT:
        return data.get("factory_order", "")
    if event.act == Act.REMADE:
        return _("as line {number}").format(number=data["line"])
    if event.act == Act.TAKEN_BACK:
        return f"“{acts[data['event']]}”"
    return ""


def open_with_parts_of(revision: int) -> QuerySet[Order]:
    """Orders with a part of that edition of a size table which has not reached its customer, the newest first."""
    lines = OrderLine.objects.filter(is_open=True, part__revision=revision).order_by()
    return Order.objects.filter(is_open=True, pk__in=lines.values("order")).order_by("-pk")


# Put together once: every page of orders has it at hand, also where something else is looked for.
_WAITING = (
    Acceptance.objects.filter(waits=True, order=None)
    .select_related("quote__customer", "issue")
    .order_by("at")
)


def waiting_quotes() -> QuerySet[Acceptance]:
    """Accepted quotes that no order was made of yet, the oldest first."""
    return _WAITING.all()


def lines_to_send() -> QuerySet[OrderLine]:
    """Lines that wait to go to a factory, by factory, then by age."""
    return (
        OrderLine.objects.filter(is_open=True, step=Step.PLACED, factory__isnull=False)
        .select_related("order__customer", "factory", "part", "family")
        .order_by("factory__name", "order", "number")
    )


def factory_orders(said: Mapping[str, Any]) -> QuerySet[FactoryOrder]:
    """Those that stand so, of the factory, sent on these days, the newest first."""
    found = FactoryOrder.objects.filter(
        between("sent_on", said["since"], said["until"], moments=False)
    )
    if said["factory"]:
        found = found.filter(factory=said["factory"])
    there = OrderLine.objects.filter(AWAITS_FACTORY).order_by()
    if said["stands"] == "done":
        found = found.exclude(Exists(there.filter(factory_order=OuterRef("pk"))))
    elif said["stands"]:
        # Asked of the lines that are open, which are few, not of each factory order there ever was.
        found = found.filter(pk__in=there.values("factory_order"))
    if said["stands"] == "unanswered":
        found = found.filter(answered_on=None)
    return found.order_by("-id")


def counted(found: QuerySet[FactoryOrder]) -> QuerySet[FactoryOrder]:
    """The factory orders with how many lines they have, and how many of them are still there."""
    # Counted apart for each row shown: joined, the lines of all there are would be counted first.
    lines = OrderLine.objects.filter(factory_order=OuterRef("pk")).order_by()
    lines = lines.values("factory_order").annotate(count=Count("pk")).values("count")
    there = lines.filter(AWAITS_FACTORY)
    return found.annotate(
        line_count=Coalesce(Subquery(lines), 0), open_count=Coalesce(Subquery(there), 0)
    )
