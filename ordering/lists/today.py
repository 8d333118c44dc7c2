"""Reads the start of the day: what needs each role now, with a count and the place where it is done."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache, cached_property
from typing import Any

from django.db.models import DateField, DateTimeField, QuerySet
from django.urls import reverse
from django.utils import timezone

from ordering.attention import Need
from ordering.lists.orders import lines_to_send, waiting_quotes
from ordering.lists.watch import Noted, Watched, fetched, first_of_each
from ordering.sending import POSTED
from ordering.sentences import day
from quotes.lists import today as quoting
from quotes.lists.specials import OVERDUE, Waiting, waiting
from quotes.models import Letter
from sizing.models import Revision
from sizing.people import name_of
from sizing.standing import TODAY, Place, StandingQuestion

SHOWN = 4
# A worker looks for mail every few seconds; as long as this none is at work.
TAKEN_UP_IN = timedelta(minutes=10)


@dataclass(frozen=True)
class Line:
    """One thing to do, in words, and where."""

    words: str
    more: str
    url: str


@dataclass(frozen=True)
class Heading:
    """A kind of work: how much of it waits, the first few, and the page where it is done.

    `beside` tells of what is of this kind and waits for somebody else."""

    words: str
    count: int
    lines: Sequence[Line]
    url: str
    place: str
    beside: str = ""


Read = Callable[["_Day"], Heading]


class _Day:
    """What several headings share is read once. `asks`: whether these roles write to factories."""

    def __init__(self, asks: bool) -> None:
        self.asks = asks
        self.today = timezone.localdate()

    @cached_property
    def watched(self) -> tuple[list[Noted], Counter[Need]]:
        return first_of_each(SHOWN)

    @cached_property
    def specials(self) -> list[Waiting]:
        return waiting()

    def since(self, at: datetime) -> str:
        """today at 09:12; yesterday; 4 days ago."""
        local = timezone.localtime(at)
        days = (self.today - local.date()).days
        if days <= 0:
            return f"today at {local:%H:%M}"
        return "yesterday" if days == 1 else f"{days} days ago"


def start_of_day(roles: Collection[str]) -> list[Heading]:
    """The headings of these roles, each once, in the order in which they are worked."""
    wanted: list[Read] = []
    for role, headings in _OF_ROLE.items():
        if role in roles or "owner" in roles:
            wanted += [read for read in headings if read not in wanted]
    shared = _Day(asks=not {"counter", "manager", "owner"}.isdisjoint(roles))
    return [read(shared) for read in wanted]


def not_taken_up() -> datetime | None:
    """When the latest mail was written that a worker should long have tried and none has; None if all is well.

    The latest tells as much as the oldest, and is found without reading what was ever sent.
    """
    rows: tuple[QuerySet, ...] = (Letter.objects.all(), POSTED)
    by_now = timezone.now() - TAKEN_UP_IN
    for written in rows:
        last = written.filter(created_at__lte=by_now).order_by("-pk")
        found = last.values_list("created_at", "attempts", "sent_at").first()
        if found and not found[1] and found[2] is None:
            return found[0]
    return None


def _rows(
    words: str, rows: Callable[..., QuerySet], line: Callable, url: str, place: str, **given: Any
) -> Heading:
    """`given` are the days and moments that `rows` asks for."""
    first = list(_first(rows, *given)(**given))
    count = len(first) if len(first) <= SHOWN else rows(**given).count()
    return Heading(words, count, [line(row) for row in first[:SHOWN]], reverse(url), place)


@cache
def _first(rows: Callable[..., QuerySet], *asks: str) -> StandingQuestion:
    return StandingQuestion(rows(**{name: _PLACES[name] for name in asks})[: SHOWN + 1])


_PLACES = {
    "since": Place("since", DateTimeField()),
    "today": TODAY,
    "until": Place("until", DateField()),
}


def _calls(of: _Day) -> Heading:
    def line(request) -> Line:
        openings = f"{request.count} opening{'' if request.count == 1 else 's'}"
        more = f"{openings}, {of.since(request.created_at)}"
        return Line(request.caller or "no name yet", more, reverse("request", args=[request.pk]))

    since = timezone.now() - quoting.NEW_CALLS
    calls = _rows(
        "Calls to finish", quoting.calls_to_finish, line, "requests", "All of them", since=since
    )
    return replace(calls, url=f"{calls.url}?stands=unquoted")


def _changes(of: _Day) -> Heading:
    def line(asked) -> Line:
        # A next issue may be begun already: what was asked stands with the one it was asked about.
        url = reverse("quote-issue", args=[asked.issue.quote_id, asked.issue.number])
        what = "a question" if asked.is_question else "sent back"
        if asked.taken_back_by:
            what = f"taken back by {name_of(asked.taken_back_by)}"
        more = f"{asked.issue}, {what}, {of.since(asked.at)}"
        return Line(str(asked.issue.quote.customer), more, url)

    return _rows("Quotes asked about", quoting.changes_asked, line, "quotes", "All quotes")


def _drafts(of: _Day) -> Heading:
    def line(issue) -> Line:
        more = f"{issue}, {of.since(issue.created_at)}"
        return Line(str(issue.quote.customer), more, reverse("quote", args=[issue.quote_id]))

    return _rows("Quotes to send", quoting.drafts_to_issue, line, "quotes", "All quotes")


def _lapsing(of: _Day) -> Heading:
    def line(issue) -> Line:
        more = f"{issue}, holds until {day(issue.valid_until, of.today)}"
        return Line(str(issue.quote.customer), more, reverse("quote", args=[issue.quote_id]))

    until = of.today + quoting.LAPSING
    return _rows(
        "Quotes lapsing", quoting.quotes_lapsing, line, "quotes", "All quotes",
        today=of.today, until=until,
    )  # fmt: skip


def _accepted(of: _Day) -> Heading:
    def line(accepted) -> Line:
        more = f"{accepted.quote}, accepted {of.since(accepted.at)}"
        return Line(str(accepted.quote.customer), more, reverse("orders"))

    return _rows("Accepted, to be ordered", waiting_quotes, line, "orders", "Place them")


def _to_send(of: _Day) -> Heading:
    def line(waits) -> Line:
        more = f"{waits.order.number} for {waits.order.customer}"
        return Line(waits.part_number or waits.description, more, reverse("send-to-factories"))

    return _rows("Lines for the factories", lines_to_send, line, "send-to-factories", "Send them")


def _specials(of: _Day) -> Heading:
    def line(one: Waiting) -> Line:
        url = (
            reverse("special", args=[one.special.pk])
            if one.special
            else reverse("special-flag", args=[one.opening.pk])
        )
        return Line(f"{one.caller or 'no name yet'}: {one.name}", one.state, url)

    # What the factory has is under its own heading once it is late.
    ours = [one for one in of.specials if not one.is_with_factory]
    away = len(of.specials) - len(ours)
    return Heading(
        "Specials waiting",
        len(ours),
        [line(one) for one in ours[:SHOWN]],
        reverse("specials"),
        "All specials",
        f"{away} at the factory" if away else "",
    )


def _overdue(of: _Day) -> Heading:
    """Specials whose answer is overdue. What was asked in one letter is one silence."""
    letters: dict[int | None, list[Waiting]] = {}
    for one in of.specials:
        if one.overdue:
            letters.setdefault(one.letter, []).append(one)
    lines = [
        Line(
            f"{first.special} and {len(more)} more" if more else str(first.special),
            f"{first.family.factory}: answer was due on {day(first.due_on, of.today)}",
            reverse("special", args=[first.special.pk]),
        )
        for first, *more in list(letters.values())[:SHOWN]
    ]
    url = f"{reverse('specials')}?state={OVERDUE}"
    return Heading("Answers on specials overdue", len(letters), lines, url, "All of them")


def _watch(
    of: _Day, words: str, needs: Collection[Need], calls_to: str = "", *, asks: bool = True
) -> Heading:
    """Of these kinds, and of calls those to a "factory" or a "customer"."""
    watched, beyond = of.watched
    noted = [
        one
        for one in watched
        if one.item.need in needs or (calls_to and _calls_whom(one) == calls_to)
    ]
    lines = [_watched(one, asks) for one in fetched(noted[:SHOWN])]
    count = len(noted) + sum(beyond[need] for need in needs)
    return Heading(words, count, lines, reverse("watch"), "Watch list")


def _watched(one: Watched, asks: bool) -> Line:
    if one.order:
        words = f"{one.order.number} for {one.order.customer}"
        return Line(words, one.item.why, _place(one, asks))
    if one.question:
        special = one.question.enquiry.special
        return Line(str(special), one.item.why, reverse("special", args=[special.pk]))
    # That a factory was called is written on the watch list, by anybody.
    to_call = one.item.need is Need.CALL
    url = reverse("factory-order", args=[one.sent.pk]) if asks and not to_call else reverse("watch")
    return Line(one.sent.number, one.item.why, url)


def _place(one: Watched, asks: bool) -> str:
    """The order; where its factory owes a word, the factory order, on which that is written."""
    if asks and one.item.need in _OWED and one.line and one.line.factory_order_id:
        return reverse("factory-order", args=[one.line.factory_order_id])
    return reverse("order", args=[one.order.pk])


# What a factory owes a word on.
_OWED = (Need.SILENT, Need.NO_ANSWER, Need.NO_DATE)


def _silent(of: _Day) -> Heading:
    """Who only answers the phone reads of the orders that wait, on the watch list."""
    return _watch(of, "Factories silent", _OWED, "factory", asks=of.asks)


def _asking(of: _Day) -> Heading:
    return _watch(of, "Factories ask or refuse", (Need.ASKS, Need.REFUSED))


def _calls_whom(one: Noted) -> str:
    """Whom somebody has to call, because there is no address to write to."""
    if one.item.need is not Need.CALL:
        return ""
    return "customer" if one.factory_pk is None else "factory"


def _late(of: _Day) -> Heading:
    return _watch(of, "Late risks", (Need.LATE_RISK, Need.NEEDED, Need.ON_ITS_WAY))


def _to_call(of: _Day) -> Heading:
    return _watch(of, "Customers to call", (), "customer")


def _mail(of: _Day) -> Heading:
    return _watch(of, "Mail that fails", (Need.MAIL_FAILS,))


def _tables(of: _Day) -> Heading:
    def line(draft: Revision) -> Line:
        url = reverse("size-table-draft", args=[draft.pk])
        return Line(draft.name, f"revision {draft.number}, {of.since(draft.created_at)}", url)

    return _rows("Size tables to put in force", _drawn_up, line, "size-tables", "Size tables")


def _drawn_up() -> QuerySet[Revision]:
    return Revision.objects.filter(in_force_from=None).select_related("family").order_by("pk")


_OF_ROLE: dict[str, tuple[Read, ...]] = {
    "counter": (_calls, _changes, _drafts, _accepted, _to_send, _lapsing, _to_call, _asking),
    "manager": (_specials, _overdue, _asking, _silent, _late, _changes, _mail, _lapsing, _tables),
    "staff": (_late, _to_call, _silent),
}
