"""What programs are answered of today: of the desk's own lines what their pages say."""

from __future__ import annotations

import re
from datetime import date

from django.db.models import QuerySet
from django.utils import timezone

from ordering.answers import UnknownError, When
from ordering.estimator.lead_time import Window
from ordering.expected import WORKED_OUT_FROM, window_of
from ordering.logged import state_of
from ordering.models import Order, OrderLine
from ordering.sentences import listed
from ordering.states import LineState, Step
from ordering.words import is_own

_WHOLE = re.compile(r"C-[0-9]+")


class WhenNow(When):
    """As of today a line's window holds the factory's own date, and counts what has happened to the line since.

    With `orders` it answers for their lines alone; else for every line, and for the past that was imported.
    """

    def __init__(
        self, as_of: date, level: float = 0.8, orders: QuerySet[Order] | None = None
    ) -> None:
        super().__init__(as_of, level)
        self.orders = orders

    def of_reference(self, reference: str) -> Window:
        line = _own_line(reference, self.orders)
        if line is not None:
            now = state_of(line.order).lines[line.number]
            if why := _why_none(line, now):
                raise UnknownError(f"{reference} {why}.")
            window = window_of(line, now, self.as_of, self.level)
            if window is not None:
                return Window(*window.days, window.basis)
        try:
            if line is None and self.orders is not None:
                raise self.unknown(reference)
            return super().of_reference(reference)
        except UnknownError:
            if not _WHOLE.fullmatch(reference):
                raise
        raise UnknownError(f"{reference} is a whole order: ask for a line of it, {reference}/1.")


def _why_none(line: OrderLine, now: LineState) -> str:
    """Why a line of ours has no day on which it leaves its factory, or has left it for good, as a clause; empty: it
    has one."""
    if now.step is Step.CANCELLED:
        return "was cancelled"
    if line.factory_id is None:
        return "comes from our own shelf, so it leaves no factory"
    if now.step is Step.AGAIN:
        anew = listed(str(one) for one in line.remakes.order_by("number"))
        return f"is made again as {anew}: ask for that"
    if now.is_refused:
        return f"has no date: its factory said on {now.refused_on} that it can't make it"
    if now.is_expected and now.held:
        return "has no date: it is on hold"
    return ""


def _own_line(reference: str, among: QuerySet[Order] | None) -> OrderLine | None:
    if not is_own(reference):
        return None
    order, _, number = reference.removeprefix("C-").partition("/")
    lines = OrderLine.objects.select_related("order", *WORKED_OUT_FROM)
    if among is not None:
        lines = lines.filter(order__in=among)
    return lines.filter(order=int(order), number=int(number)).first()


def when_on(day: date, level: float) -> When:
    """Who answers as of a day: of an earlier one the past alone knows what was known then."""
    return (WhenNow if day == timezone.localdate() else When)(day, level)
