"""What waits for the desk: calls to finish, specials to ask about. The one place of these rules.

Asked of every request there ever was they would take longer each year. So a request and an opening carry
a mark, `waits`, that says whether the rule need be asked about it; a new one has it. `note` puts the
marks right and is called by every writer that may change an answer, in its own transaction. A mark too
many costs a moment, one too few hides work: `manage.py verify` looks for those.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from typing import Any

from django.db import models, transaction
from django.db.models import QuerySet

from quotes.models import Opening, Request, Special

SLICE = 500


# What those who ask for openings that wait read of them.
READ = (
    "position", "label", "answer", "said", "cannot", "sash", "finish", "quantity", "request__caller",
    "request__created_at", "family__name", "family__code", "revision__factory",
)  # fmt: skip


def as_said(opening: Opening) -> dict[str, Any]:
    """What of an opening a factory's answer hangs on."""
    return {
        "measures": opening.said,
        "cannot": opening.cannot,
        "sash": opening.sash,
        "finish": opening.finish,
        "quantity": opening.quantity,
    }


def changed_since(special: Special) -> bool:
    """Whether its opening is another one by now than the one that was asked about."""
    return special.opening is not None and as_said(special.opening) != special.said


def calls(among: QuerySet[Request]) -> QuerySet[Request]:
    """Those without a quote. One that only waits for a factory is a special; one put aside and one that was
    only looked up are none either."""
    at_a_factory = Special.objects.filter(state__in=Special.OPEN).values("request")
    return among.filter(quotes=None, aside_at=None, looked_up=False).exclude(pk__in=at_a_factory)


def begun() -> QuerySet[Any]:
    """Keys among which every request is that has no quote and is not put aside: calls, and what a factory has."""
    marked = Request.objects.filter(waits=True).order_by().values("pk")
    return marked.union(Special.objects.filter(state__in=Special.OPEN).order_by().values("request"))


def unasked(among: QuerySet[Opening]) -> QuerySet[Opening]:
    """Those whose answer is a special and for which nothing has been done yet, but for what was only looked up.

    In an accepted issue its price was agreed without the factory: nothing is left to ask.
    """
    found = among.filter(
        outcome="special", override_part=None, specials=None, request__looked_up=False
    )
    return found.exclude(quote_lines__issue__acceptance__isnull=False)


def outdated(among: QuerySet[Opening]) -> list[Opening]:
    """Those that have become others since their special was priced: the price is for something else."""
    openings = among.order_by()
    return outdated_by(
        specials_of(openings.values("pk")), lambda keys: openings.filter(pk__in=keys)
    )


def specials_of(openings: Any) -> QuerySet[Special]:
    """Of the openings with these keys, the latest of each last, with what tells whether it is outdated."""
    found = Special.objects.filter(opening__in=openings).order_by("pk")
    return found.only("opening", "state", "said")


def outdated_by(
    specials: Iterable[Special], openings: Callable[[Collection[int]], Iterable[Opening]]
) -> list[Opening]:
    """`outdated`, of the openings of these specials; `openings` reads those with such keys, where any is priced."""
    latest = {special.opening_id: special for special in specials}
    # Of an erased one nothing is said any more.
    priced = {
        key: one for key, one in latest.items() if one.state == Special.State.QUOTED and one.said
    }
    return (
        [one for one in openings(priced) if as_said(one) != priced[one.pk].said] if priced else []
    )


def note(*request_pks: int) -> None:
    """Put right the marks of these requests and their openings. Inside the transaction of the change."""
    asked = Request.objects.filter(pk__in=request_pks)
    # What a factory hears of, and what somebody said whose it is, is more than a look-up.
    taken_on = models.Exists(Special.objects.filter(request=models.OuterRef("pk")))
    taken_on |= ~models.Q(customer_chosen_by="")
    asked.filter(taken_on, looked_up=True).update(looked_up=False)
    _mark(asked, calls(asked))
    openings = Opening.objects.filter(request__in=request_pks)
    again = [opening.pk for opening in outdated(openings)]
    _mark(openings, [*unasked(openings).values_list("pk", flat=True), *again])


def _mark(rows: QuerySet[Any], waiting: QuerySet[Any] | list[int]) -> None:
    keys = (
        waiting
        if isinstance(waiting, list)
        else list(waiting.order_by().values_list("pk", flat=True))
    )
    rows.filter(waits=False, pk__in=keys).update(waits=True)
    rows.filter(waits=True).exclude(pk__in=keys).update(waits=False)


def settle() -> None:
    """Take off every mark too many, each night: what was stored before there were marks has them all."""
    marked = Request.objects.filter(models.Q(waits=True) | models.Q(openings__waits=True))
    keys = list(marked.order_by().values_list("pk", flat=True).distinct())
    for start in range(0, len(keys), SLICE):
        with transaction.atomic():
            # Whoever is just taking one of them up is waited for.
            rows = Request.objects.filter(pk__in=keys[start : start + SLICE]).order_by("pk")
            note(*rows.select_for_update(no_key=True).values_list("pk", flat=True))


def hidden() -> Iterator[str]:
    """For `manage.py verify`: what waits without its mark."""
    for request in calls(Request.objects.filter(waits=False)):
        yield f"{request} is a call to finish and has no mark of it"
    unmarked = Opening.objects.filter(waits=False)
    for opening in _each(unasked(unmarked), outdated(unmarked)):
        yield f"{opening} of request {opening.request_id} waits for a factory and has no mark of it"


def _each(*found: Iterable[Opening]) -> Iterator[Opening]:
    for them in found:
        yield from them
