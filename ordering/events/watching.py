"""What the product writes by itself, once a day: windows that have really moved, and delays."""

from __future__ import annotations

import logging
from datetime import date, timedelta
from textwrap import shorten

from django.db import OperationalError
from django.utils import timezone

from ordering.attention import TELL_AGAIN_DAYS, is_late, really_moved
from ordering.events.acting import one_act
from ordering.events.holding import hold_order
from ordering.events.log import BY_ITSELF, MOST_WHY, note_needs, write
from ordering.expected import lines_of, window_of
from ordering.logged import state_of
from ordering.models import Event, Order, OrderLine
from ordering.needs import to_watch
from ordering.sentences import day, listed
from ordering.states import Act, OrderState
from sizing.wording import gettext as _
from sizing.wording import speaking

log = logging.getLogger(__name__)


def watch_all(most: int | None = None) -> int:
    """Look at every open order that nobody looked at today, or `most` of them; how many events were written.

    An order is looked at once a day, however many workers there are and however often they start.
    """
    today = timezone.localdate()
    written = 0
    for pk in list(to_watch(today)[:most]):
        try:
            written += len(watch(pk))
        except OperationalError:
            # The database, not the order: whoever called tries again.
            raise
        except Exception:
            # One order's trouble must not keep the customers of all the others waiting.
            log.exception("order %s could not be looked at", pk)
        Order.objects.filter(pk=pk).update(watched_on=today)
    return written


@one_act
def watch(order_pk: int) -> list[Event]:
    """Tell the customer of one order what has moved since they were last told: once, with the reason.

    The new window is told with it, so that the same move is never told twice.
    """
    order = hold_order(order_pk)
    state, today = state_of(order), timezone.localdate()
    lines = list(lines_of(order).filter(is_open=True))
    late, moved, behind = _moves(lines, state, today)
    events = []
    if late:
        latest = max(state.lines[n].told.latest for n in late)
        with speaking(order.customer.language):
            words = _("We had told you {day} at the latest, and it has not left the factory yet.")
            if not any(state.lines[n].sent_on for n in late):
                words = _(
                    "We had told you {day} at the latest, and it has not gone to the factory yet."
                )
            why = words.format(day=day(latest, today))
        events.append(write(order_pk, Act.LATE, late, BY_ITSELF, why=why))
    if moved:
        why = _because(order, [n for n in moved if n not in behind], bool(behind))
        events.append(write(order_pk, Act.WINDOW, moved, BY_ITSELF, why=why))
    if events:
        state, lines = state_of(order), list(lines_of(order).filter(is_open=True))
    # What lines need changes with the days, without anybody writing.
    note_needs(lines, state, today)
    return events


def _moves(
    lines: list[OrderLine], state: OrderState, today: date
) -> tuple[dict[int, int], dict[int, int], set[int]]:
    """{line's number: how many} of what is late, and of what moves; and which of those are later because they have
    not gone to their factory."""
    late: dict[int, int] = {}
    moved: dict[int, int] = {}
    behind = set()
    for line in lines:
        now = state.lines[line.number]
        if not now.has_a_day or now.told is None:
            continue
        window = window_of(line, now, today)
        if is_late(now.told, today):
            late[line.number] = now.going - now.left
        elif really_moved(now.told, window) and not _told_lately(line, today):
            moved[line.number] = now.going - now.left
            if not now.sent_on and window.likely > now.told.likely:
                behind.add(line.number)
    return late, moved, behind


def _told_lately(line: OrderLine, today: date) -> bool:
    return line.told.filter(told_on__gt=today - timedelta(TELL_AGAIN_DAYS)).exists()


def _because(order: Order, at_factories: list[int], behind: bool) -> str:
    """Why windows move: those of these lines with their factories, and of others that lie with us."""
    lines = order.lines.filter(number__in=at_factories).select_related("factory")
    names = sorted({line.factory.name for line in lines})
    said = []
    with speaking(order.customer.language):
        if behind:
            said.append(_("It has not gone to the factory yet, which moves it later."))
        if names:
            words = _(
                "Orders from {factories} are now taking a different time than when we last wrote."
            )
            said.append(words.format(factories=listed(names)))
        # An order of so many factories that not all of them fit says so.
        return shorten(" ".join(said), MOST_WHY, placeholder=" …")
