"""When will it ship? One box, any scrap, one sentence to read out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import partial

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponseBase
from django.utils import timezone
from django.views.decorators.http import require_safe

from ordering.find_forms import WhenFind
from ordering.lists.finding import MOST, find_orders, ordered_from
from ordering.lists.orders import LineView, Told, history, line_views, misses, read_whole
from ordering.lists.own_words import is_own_number, numbered
from ordering.lists.pages import ORDER_SHOWN, ORDERS, WHEN
from ordering.lists.parts_asked import part_answers, parts_nearly
from ordering.lists.past_orders import past_answers
from ordering.models import Order
from ordering.sentences import how_it_stands, listed, together
from quotes.lists.issue_states import with_states
from quotes.lists.people import nearly
from quotes.lists.quotes import find_quotes, quotes_numbered
from quotes.models import Quote
from quotes.scraps import tellings
from quotes.triples import SHORTEST
from sizing.among import in_order
from sizing.lists import SLICE, show, slices
from sizing.rows import Rows, rows_of
from sizing.standing import KEYS, StandingQuestion

# So many orders are answered in full; the rest are named, to be chosen from.
IN_FULL = 3


@dataclass(frozen=True)
class Answer:
    """One order as it is read out."""

    order: Order
    lines: list[LineView]
    history: list[Told]

    @property
    def sentence(self) -> str:
        """Order C-00012 for Mara Quill: all lines in one breath, like ones together."""
        groups: dict[str, list[LineView]] = {}
        alike = self._alike()
        for view in self.lines:
            stands = alike if alike and _waits(view) else view.stands
            groups.setdefault(stands, []).append(view)
        head = f"Order {self.order.number} for {self.order.customer}"
        if len(groups) == 1:
            return f"{head} {next(iter(groups))}."
        said = [f"{_lines(views)} {stands}" for stands, views in groups.items()]
        return f"{head}: {'; '.join(said)}."

    def _alike(self) -> str:
        """What can be said of all lines that are still to leave, in one; empty where they differ, as they do
        when the factory has named another day for each."""
        waiting = [view for view in self.lines if _waits(view)]
        near = together([view.window for view in waiting])
        if near is None:
            return ""
        today = timezone.localdate()
        said = {how_it_stands(view.state, near, today) for view in waiting}
        return said.pop() if len(said) == 1 else ""

    @property
    def open_lines(self) -> list[LineView]:
        return [view for view in self.lines if view.svg or view.refused]

    @property
    def misses(self) -> date | None:
        return misses(self.order, self.lines)

    @property
    def late(self) -> bool:
        return any(view.is_late for view in self.lines)


def _lines(views: list[LineView]) -> str:
    """Which lines a clause is about, which speaks of one."""
    numbers = listed(str(view.line.number) for view in views)
    return f"each of lines {numbers}" if len(views) > 1 else f"line {numbers}"


def _waits(view: LineView) -> bool:
    """Whether all of the line is still to leave the factory, on time as far as the desk knows."""
    state = view.state
    return state.has_a_day and not (state.left or view.is_late)


class _Lines:
    """The lines of all these orders, an order at a time; nothing is read before somebody asks."""

    def __init__(self, orders: Rows) -> None:
        self.orders = orders

    def __iter__(self) -> Iterator[LineView]:
        for some in slices(self.orders.every().iterator(SLICE)):
            read_whole(some)
            for order in some:
                yield from line_views(order)


_SHOWN = StandingQuestion(
    Order.objects.filter(pk__among=KEYS).order_by().select_related("customer").only(*ORDER_SHOWN)
)


def _first_of(orders: Rows, own: int | None) -> list[Order]:
    """As many as are named, and one that tells of the rest. Where the scrap is an order's `own` number that order
    comes first: others hold it in their quote's number or in a phone, and the first one is read out."""
    keys = orders.first(MOST + 1)
    if keys and own:
        keys = list(dict.fromkeys([own, *keys]))
    return in_order(keys, _SHOWN(keys=keys)) if keys else []


def _not_ordered(quotes: QuerySet[Quote]) -> list[Quote]:
    """Of these quotes those without an order: somebody asks when a thing ships that nobody ordered."""
    if quotes.query.is_empty():
        return []
    found = quotes.select_related("customer", "acceptance").filter(acceptance__order=None)
    return with_states(list(found[:IN_FULL]))


def _look_for(scrap: str) -> tuple[Rows, list[Order], list[Quote]]:
    """All orders that are found, the first of them, and where there are none, the quotes that nobody ordered."""
    every = find_orders(scrap)
    found = _first_of(every, numbered(scrap))
    if found or not scrap:
        return every, found, []
    # By what only its quote knows, such as the call's note; looked at where nothing else finds an order.
    short = len(scrap) < SHORTEST or is_own_number(scrap)
    quotes = quotes_numbered(scrap) if short else find_quotes(scrap).every()
    every = rows_of(ordered_from(quotes))
    found = _first_of(every, None)
    return every, found, [] if found else _not_ordered(quotes)


@require_safe
def when(request: HttpRequest) -> HttpResponseBase:
    """The page; with htmx only the answer, as it is typed."""
    find = WhenFind(request.GET)
    scrap = find.said["q"]
    for asked in [scrap, *tellings(scrap)]:
        every, found, waiting = _look_for(asked)
        past = past_answers(asked, IN_FULL, timezone.localdate())
        if found or waiting or past:
            break
    answers = []
    if len(found) <= IN_FULL or request.GET.get("all"):
        read_whole(found)
        answers = [Answer(order, line_views(order), history(order)) for order in found]
    choices = [] if answers else found[:MOST]
    context = {
        "scrap": scrap,
        "asked": asked,
        "answers": answers,
        "choices": choices,
        "choices_drawn": ORDERS.drawn(ORDERS.readied(choices)),
        "more": len(found) > MOST,
        "quotes": waiting,
        "nearly": partial(nearly, asked),
        "parts_nearly": partial(parts_nearly, asked),
        "past": past,
        "parts": [] if found or waiting or past else part_answers(asked, IN_FULL),
    }
    part = request.htmx and not request.htmx.boosted
    template = "ordering/when_answer.html" if part else "ordering/when.html"
    return show(request, template, find, (WHEN, _Lines(every)), (ORDERS, every), **context)
