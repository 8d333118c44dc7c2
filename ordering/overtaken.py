"""Which notices have ceased to be so while they waited to be sent. Pure: knows no Django and no database.

What happened stays so. A day that is still to come, what is ready, what is to be made or stopped does
not: a notice of it that waited long enough would be untrue, or come after the one that set it right.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from ordering.notices import Kind
from ordering.replay import replay, standing
from ordering.states import Act, Happened

# What these tell is when something is expected.
OF_DAYS = frozenset({Kind.CONFIRMED, Kind.MOVED, Kind.DELAYED})
# Each sets a message right, and is the only word of it.
SETS_RIGHT = frozenset({Kind.RIGHTED, Kind.RESUMED})


def overtaken(kind: Kind, number: int, log: Sequence[Happened], told: Collection[int]) -> str:
    """Why a notice need not go any more, in words for the desk; empty: it goes.

    It is of the event `number` in an order's `log`; `told` are the numbers of the events of which the
    customer has a notice.
    """
    stands = standing(log)
    of = next((event for event in stands if event.number == number), None)
    if of is None:
        return "it was taken back"
    if kind in (Kind.CANCELLED, Kind.STOPPED, Kind.RIGHTED):
        return ""
    state = replay(log)
    lines = {n: state.lines[n] for n in _about(of)}
    if not any(line.going for line in lines.values()):
        return "all of it was cancelled"
    if kind is Kind.LEFT and not any(line.to_arrive for line in lines.values()):
        return "none of it is on its way any more"
    if kind is Kind.READY and not any(line.ready > 0 for line in lines.values()):
        return "none of it waits at our dock any more"
    if kind is Kind.REFUSED and not any(line.is_refused for line in lines.values()):
        if any(line.is_expected for line in lines.values()):
            return "the factory makes it after all"
        return "nothing of it is still to be made"
    if kind in OF_DAYS:
        anew = {
            int(n)
            for event in stands
            if event.number > number and event.number in told
            for n in event.data.get("windows", ())
        }
        waits = [line for n, line in lines.items() if line.awaits_factory and n not in anew]
        if not any(line.is_expected for line in waits):
            return "the factory can't make it" if waits else "newer word of it was written since"
    return ""


def _about(event: Happened) -> list[int]:
    """The lines that an event tells of: those it names, the new one of a remake, all that were placed."""
    if event.act is Act.REMADE:
        return [event.data["line"]]
    return list(event.pieces) or [int(n) for n in event.data.get("lines", ())]


def never_left(attempts: int, sent: bool, dropped: bool) -> bool:
    """Whether nobody can have read a mail: it did not go, and no attempt at it may have gone unnoticed. The
    attempt at which it was dropped spoke to no server."""
    return not sent and attempts <= dropped
