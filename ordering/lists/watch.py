"""Reads the watch list: what of the open work needs somebody, with the reason in each line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from textwrap import shorten
from typing import Any

from django.db.models import Count, OuterRef, Q, QuerySet, Subquery
from django.utils import timezone

from ordering.attention import ANSWER_DAYS, Item, Need, by_help
from ordering.logged import state_of
from ordering.models import FactoryOrder, Notice, Order, OrderLine
from ordering.needs import need_of, to_watch, workdays
from ordering.notices import Kind
from ordering.sentences import day
from ordering.states import Step
from quotes.lists.letters import questions_waiting
from quotes.models import Contact, FactoryQuestion
from quotes.post import WAITING
from sizing.standing import KEYS, TODAY, StandingQuestion

# After so many failures a mail is somebody's business.
MAIL_TRIES = 3
# So many orders that the day's look has not come to yet are looked at by the page itself.
MOST_LOOKED_AT = 50
# A question's first words stand in the list, all of them with its special.
MOST_SHOWN = 240


@dataclass(frozen=True)
class Noted:
    """One item, and the factory that it is about."""

    item: Item
    factory_pk: int | None = None


@dataclass(frozen=True)
class Watched:
    """One item with what it is about: an order's line, a factory order, a notice or a factory's question."""

    item: Item
    line: OrderLine | None = None
    factory_order: FactoryOrder | None = None
    notice: Notice | None = None
    question: FactoryQuestion | None = None

    @property
    def has_left(self) -> bool:
        """Whether its factory is done with it: what has become of it is written on its order, by anybody."""
        return self.item.need is Need.ON_ITS_WAY

    @property
    def is_refused(self) -> bool:
        """Whether its factory can't make it: what becomes of it is settled on its order."""
        return self.item.need is Need.REFUSED

    @property
    def asks(self) -> bool:
        """Whether the factory of an order waits for our word."""
        return self.item.need is Need.ASKS and self.factory_order is not None

    @property
    def sent(self) -> FactoryOrder | None:
        """The factory order, where it is about one."""
        return self.factory_order or (self.notice.factory_order if self.notice else None)

    @property
    def order(self) -> Order | None:
        """The customer's order, where it is about one."""
        if self.sent or self.question:
            return None
        return self.line.order if self.line else self.notice.event.order


@dataclass(frozen=True)
class Asked:
    """Which part of the watch list: these kinds, this factory, and how much of it; None: all."""

    needs: tuple[Need, ...] = tuple(Need)
    factory: int | None = None
    most: int | None = None


def watch_list(asked: Asked | None = None) -> list[Noted]:
    """What needs somebody and is asked for, what helps most first."""
    asked, unseen = asked or Asked(), _unseen()
    kept = _kept(unseen)
    if len(asked.needs) < len(Need):
        kept = kept.filter(need__in=asked.needs)
    if asked.factory:
        kept = kept.filter(factory=asked.factory)
    found = [
        one
        for one in (*_noted(kept[: asked.most]), *_the_rest(unseen))
        if one.item.need in asked.needs and asked.factory in (None, one.factory_pk)
    ]
    return _by_help(found)[: asked.most]


def first_of_each(each: int) -> tuple[list[Noted], Counter[Need]]:
    """So many lines of each kind with all that is no line, what helps most first; and how many lines more
    there are of each kind."""
    unseen = _unseen()
    kept = _kept(unseen)
    counts = kept.order_by().values_list("need").annotate(count=Count("pk"))
    beyond = Counter({Need(need): max(count - each, 0) for need, count in counts})
    lines = [one for need in beyond for one in _noted(kept.filter(need=need)[:each])]
    return _by_help([*lines, *_the_rest(unseen)]), beyond


def asked_for(said: Mapping[str, Any], most: int | None = None) -> Asked:
    """By what narrows the list on its page."""
    needs = (Need(int(said["need"])),) if said["need"] else tuple(Need)
    return Asked(needs, int(said["factory"]) if said["factory"] else None, most)


def fetched(noted: Sequence[Noted]) -> list[Watched]:
    """What these are about, without what has gone meanwhile."""
    keys = [one.item.key for one in noted]
    there = {
        kind: {row.pk: row for row in rows(keys=[key for of, key in keys if of == kind])}
        for kind, rows in _FETCHED.items()
    }
    return [
        Watched(one.item, **{kind: there[kind][key]})
        for one, (kind, key) in zip(noted, keys, strict=True)
        if key in there[kind]
    ]


_THESE: dict[str, QuerySet] = {
    "line": OrderLine.objects.select_related("order__customer").only(
        "number", "factory_order_id", "order__customer__name"
    ),
    "factory_order": FactoryOrder.objects.all(),
    "notice": Notice.objects.select_related("event__order__customer", "factory_order"),
    "question": FactoryQuestion.objects.select_related("enquiry__special"),
}
# By the kind of an item's key, which is the name of what it leads to.
_FETCHED = {
    kind: StandingQuestion(rows.filter(pk__among=KEYS).order_by()) for kind, rows in _THESE.items()
}


# In no order: in that of their keys a database would look through all that are open.
_UNSEEN = StandingQuestion(to_watch(TODAY)[: MOST_LOOKED_AT + 1])
_KEPT = OrderLine.objects.filter(need__isnull=False).order_by("-need_days", "-need", "pk")
_WAITING = StandingQuestion(
    FactoryOrder.objects.order_by()
    .filter(answered_on=None, said_on=None, lines__is_open=True, lines__step=Step.SENT)
    .select_related("factory")
    .annotate(people=Count("lines__order__customer", distinct=True))
)
_THEIR_PHONES = (
    Contact.objects.filter(customer=OuterRef("event__order__customer"))
    .exclude(phone="")
    .order_by("pk")
    .values("phone")
)
_UNSENT = StandingQuestion(
    Notice.objects.filter(Q(to="") | Q(attempts__gte=MAIL_TRIES), WAITING)
    .annotate(phone=Subquery(_THEIR_PHONES[:1]))
    .order_by("pk")
    .values_list(
        "pk", "kind", "to", "attempts", "last_error", "event__order__customer__name",
        "phone", "factory_order__factory__name", "factory_order__factory", "event__order", "factory_order",
    )
)  # fmt: skip
# The factory comes by a question of its own: joined, a database begins with it and reads all its orders.
_SAID = StandingQuestion(
    FactoryOrder.objects.order_by().filter(said_on__isnull=False).prefetch_related("factory")
)
_QUESTIONS = StandingQuestion(
    questions_waiting().select_related("enquiry__special", "enquiry__factory")
)


def _by_help(noted: Iterable[Noted]) -> list[Noted]:
    found = {one.item: one for one in noted}
    return [found[item] for item in by_help(list(found))]


def _unseen() -> list[int]:
    """The orders that the day's look has not come to, if they are few."""
    unseen = list(_UNSEEN(today=timezone.localdate()))
    return unseen if len(unseen) <= MOST_LOOKED_AT else []


def _kept(unseen: list[int]) -> QuerySet[OrderLine]:
    """Lines with a need kept, those of unseen orders left out; in the order of `by_help`."""
    return _KEPT.exclude(order__in=unseen) if unseen else _KEPT.all()


def _noted(kept: QuerySet[OrderLine]) -> Iterator[Noted]:
    said = kept.values_list("pk", "need", "need_why", "need_days", "factory")
    for key, need, why, days, factory in said:
        yield Noted(Item(Need(need), why, days, 1, ("line", key)), factory)


def _the_rest(unseen: list[int]) -> Iterator[Noted]:
    """Lines of unseen orders as they are now, factory orders, notices and what factories ask."""
    today = timezone.localdate()
    if unseen:
        yield from _as_it_is(unseen, today)
    yield from _unanswered(today)
    yield from _notices()
    yield from _questions(today)


def _as_it_is(orders: Iterable[int], today: date) -> Iterator[Noted]:
    of_these = Order.objects.filter(pk__in=orders).prefetch_related(
        "events", "lines__part", "lines__family__factory", "lines__factory", "lines__factory_order"
    )
    for order in of_these:
        state = state_of(order)
        for line in order.lines.all():
            line.order = order
            item = need_of(line, state.lines[line.number], today)
            if item:
                yield Noted(item, line.factory_id)


def _unanswered(today: date) -> Iterator[Noted]:
    for order in _WAITING():
        waits = workdays(order.factory, order.sent_on, today, today)
        if waits <= ANSWER_DAYS:
            continue
        words = f"sent {waits} working days ago and {order.factory} has not answered"
        if order.chased_on:
            words += f", though asked again on {day(order.chased_on, today)}"
        key = ("factory_order", order.pk)
        item = Item(Need.NO_ANSWER, words, waits - ANSWER_DAYS, order.people, key)
        yield Noted(item, order.factory_id)


def _questions(today: date) -> Iterator[Noted]:
    """What a factory asks: of an order, and before it says what a special costs and takes."""
    for order in _SAID():
        waits = workdays(order.factory, order.said_on, today, today)
        words = f"of {order.number}: {' '.join(order.said.split())}"
        why = shorten(words, MOST_SHOWN, placeholder="…")
        yield Noted(Item(Need.ASKS, why, waits, 1, ("factory_order", order.pk)), order.factory_id)
    for asked in _QUESTIONS():
        factory, since = asked.enquiry.factory, timezone.localdate(asked.at)
        words = f"{asked.name}, {factory}, asks about {asked.enquiry.special}: {asked.words}"
        waits = workdays(factory, since, today, today)
        key = ("question", asked.pk)
        why = shorten(words, MOST_SHOWN, placeholder="…")
        yield Noted(Item(Need.ASKS, why, waits, 1, key), factory.pk)


def _notices() -> Iterator[Noted]:
    """Mails that fail; and calls to make, one for all that there is to say of an order."""
    calls: dict[tuple[int | None, int | None], tuple[int, str, list[str], int | None]] = {}
    for (
        pk, kind, to, attempts, error, customer, phone, factory_name, factory, order, sent
    ) in _UNSENT():  # fmt: skip
        if to:
            # Of one that is being tried at this moment there is no error yet.
            words = f"mail to {to} has failed {attempts} times{error and f': {error}'}"
            yield Noted(Item(Need.MAIL_FAILS, words, 1, 1, ("notice", pk)), factory)
            continue
        whom = factory_name or (f"{customer}, {phone}" if phone else customer)
        about = (None, sent) if sent else (order, None)
        said = calls[about][2] if about in calls else []
        # By the last of them: whoever has called has told all of it up to there.
        calls[about] = pk, whom, [*said, Kind(kind).words.lower()], factory
    for pk, whom, said, factory in calls.values():
        words = f"no e-mail address: call {whom} ({', '.join(dict.fromkeys(said))})"
        yield Noted(Item(Need.CALL, words, 1, 1, ("notice", pk)), factory)
