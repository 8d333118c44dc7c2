"""What a factory says besides days and shipments: questions, and that it can't make something."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from textwrap import shorten

from django.utils import timezone

from ordering.events.acting import one_act
from ordering.events.factory import answered, by_order, check_seen, own_lines
from ordering.events.holding import hold_factory_order
from ordering.events.log import Who, write
from ordering.events.telling import tell_desk
from ordering.models import Event, OrderLine
from ordering.models.orders import STILL_EXPECTED
from ordering.sentences import listed
from ordering.states import Act, NotAllowed
from quotes.desk.holding import is_erased

# What a factory may write of one order, and how often, on a page that whoever has the link opens.
MOST_SAID, MOST_SAYINGS = 500, 10


@one_act
def say(order_pk: int, words: str, who: Who) -> None:
    """What a factory asks or says besides dates: noted with each order that it is about, mailed to whoever sent the
    factory order, and kept with it until somebody has `dealt_with` it. The same words twice are one. Raises
    NotAllowed.
    """
    order = hold_factory_order(order_pk)
    words = " ".join(words.split())
    if not words:
        raise NotAllowed("Type what you would like to ask or say.", "words")
    if len(words) > MOST_SAID:
        raise NotAllowed(f"Say it in at most {MOST_SAID} letters, or answer the mail of the order.")
    said = Event.objects.filter(
        order__lines__factory_order=order, act=Act.NOTED, data__role=who.role
    )
    if said.filter(why=words).exists():
        return
    if said.values("why").distinct().count() >= MOST_SAYINGS:
        raise NotAllowed("You have written several times: please call us.")
    of_whom = dict(order.lines.order_by("order").values_list("order", "order__customer"))
    about = [pk for pk, customer in of_whom.items() if not is_erased(customer)]
    if not about:
        # Whoever reads this has a link and no business with why.
        raise NotAllowed("All of this order is over, so nothing is noted of it: please call us.")
    for pk in about:
        write(pk, Act.NOTED, {}, who, why=words)
    tell_desk(order, words, who.name)
    order.said = "\n".join(filter(None, [order.said, f"{who.name}: {words}"]))
    order.said_on = order.said_on or timezone.localdate()
    order.save(update_fields=["said", "said_on"])


@one_act
def cannot_make(
    order_pk: int,
    line_pks: Collection[int],
    why: str,
    who: Who,
    seen: Mapping[int, int] | None = None,
) -> list[Event]:
    """A factory says that it can't make these lines: no day of theirs holds from here on, until it gives a date
    after all or the desk has settled with the customer what takes their place. One event an order; whoever sent the
    factory order is mailed what the factory writes itself. Raises NotAllowed, StaleError.
    """
    order = hold_factory_order(order_pk)
    lines = own_lines(order, line_pks)
    why = " ".join(why.split())
    if not lines:
        raise NotAllowed("Tick the lines that can't be made.")
    if not why:
        raise NotAllowed(
            "Say in a few words why it can't be made, or what could be made instead.", "cannot_why"
        )
    if len(why) > MOST_SAID:
        raise NotAllowed(f"Say in at most {MOST_SAID} letters why it can't be made.", "cannot_why")
    check_seen(lines, seen or {})
    events = [
        write(
            group[0].order_id,
            Act.REFUSED,
            {line.number: line.going for line in group},
            who,
            why=why,
        )
        for group in by_order(lines)
    ]
    answered(order)
    if who.role == "factory":
        names = listed(str(line) for line in lines)
        tell_desk(order, f"We can't make {names}: {why}", who.name)
    return events


@one_act
def cannot_make_as_said(
    order_pk: int,
    line_pks: Collection[int],
    shown: str,
    who: Who,
    seen: Mapping[int, int] | None = None,
) -> list[Event]:
    """Take what a factory has said, as it was `shown` to the desk, for its word that it can't make these lines. The
    words are dealt with once nothing of the factory order is expected any more; until then they may be of other
    lines, too. Raises NotAllowed, StaleError.
    """
    if who.role == "factory":
        raise NotAllowed("Tick what you can't make, and say why.")
    why = shorten(shown, MOST_SAID, placeholder=" …")
    events = cannot_make(order_pk, line_pks, why, who, seen)
    if not OrderLine.objects.filter(STILL_EXPECTED, factory_order=order_pk).exists():
        dealt_with(order_pk, shown, who)
    return events


@one_act
def dealt_with(order_pk: int, shown: str, who: Who) -> None:
    """The desk has dealt with what the factory had asked or said as it was `shown`; what came since waits on.

    Raises NotAllowed for anybody else.
    """
    if who.role == "factory":
        raise NotAllowed("Our desk writes that it has dealt with it.")
    order = hold_factory_order(order_pk)
    said, seen = order.said.splitlines(), shown.splitlines()
    if said[: len(seen)] != seen:
        return
    order.said = "\n".join(said[len(seen) :])
    order.said_on = order.said_on if order.said else None
    order.save(update_fields=["said", "said_on"])
