"""Why a window is what it is, in words a clerk can read out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from quotes.counted import weeks_in_words
from quotes.days import long_date, month_name
from sizing.wording import gettext as _
from sizing.wording import ngettext

if TYPE_CHECKING:
    from ordering.estimator.lead_time import FactoryLeadTimes, Shortage
    from ordering.estimator.learned import Declared, Part, Shipped
    from sizing.workdays import Span as DaysOff

ENOUGH = 8  # orders of one part speak for it; fewer, and the next wider group is named
# What orders are added up by: the factory, a family, a class and finish of it, a part of it.
Group = tuple[int | str, ...]
LEANS = 1  # working days of a promise that the likeliest day may be off before the reason is named
SLOWER = 0.08  # on the log scale: a change of 8 % is worth a word


@dataclass
class Basis:
    """What went into one window; `words` gives one line of at most 255 characters."""

    shipped: int
    since: date | None
    kind: str
    weeks: tuple[int, int]
    as_of: date
    promised: date | None = None
    promise_days: int | None = None
    # Working days from the promise, as the factory keeps its promises, to the likeliest day.
    leans: int = 0
    waited: int | None = None
    change: float = 0.0
    shortage: Shortage | None = None
    shut: DaysOff | None = None
    # The weeks were said for just this order.
    for_this: bool = False

    @classmethod
    def of(
        cls,
        factory: FactoryLeadTimes,
        part: Part,
        declared: Declared,
        promised: date | None,
        waited: int | None,
    ) -> Basis:
        shipped, since, kind = factory.like_orders.of(part)
        basis = cls(
            shipped, since, kind, (declared.weeks_min, declared.weeks_max), factory.as_of, promised
        )
        basis.waited = waited
        if shipped:
            basis.change = factory.change
            if promised is not None:
                basis.promise_days = factory.learned.usual_delay
        return basis

    def words(self) -> str:
        parts = self._orders_and_weeks()
        if self.promised:
            day = _("it promised {day}").format(day=long_date(self.promised))
            parts.append(f"{day}{self._promise_record()}")
            if abs(self.leans) > LEANS:
                parts.append(
                    _("orders like this have mostly taken longer")
                    if self.leans > 0
                    else _("orders like this have mostly taken less")
                )
        if self.waited:
            gone = ngettext("{count} working day gone", "{count} working days gone", self.waited)
            parts.append(gone.format(count=self.waited))
        if abs(self.change) >= SLOWER:
            pace = (
                _("{percent} % slower than half a year ago")
                if self.change > 0
                else _("{percent} % quicker than half a year ago")
            )
            parts.append(pace.format(percent=f"{abs(np.expm1(self.change)) * 100:.0f}"))
        if self.shortage:
            reason = f" ({self.shortage.reason})" if self.shortage.reason else ""
            parts.append(_("shortage until {day}").format(day=self.shortage.until) + reason)
        if self.shut:
            parts.append(_("shut {first} to {last}").format(first=self.shut[0], last=self.shut[1]))
        return "; ".join(parts)[:255]

    def for_customers(self) -> str:
        """The same for who knows nothing of the desk's groups and reasons; it stands on a quote, in brackets."""
        took = ngettext(
            "as {count} order like it took", "as {count} orders like it took", self.shipped
        )
        if not self.shipped:
            parts = self._orders_and_weeks()
        elif self.since:
            since = _("{took} since {month}")
            month = _month(self.since, self.as_of)
            parts = [since.format(took=took.format(count=self.shipped), month=month)]
        else:
            parts = [took.format(count=self.shipped)]
        if self.shortage:
            waits = _("what it is made of is short until {day}")
            parts.append(waits.format(day=long_date(self.shortage.until)))
        if self.shut:
            shut = _("the factory is shut from {first} to {last}")
            first, last = map(long_date, self.shut)
            parts.append(shut.format(first=first, last=last))
        return "; ".join(parts)[:255]

    def _orders_and_weeks(self) -> list[str]:
        """Where nothing has shipped yet the weeks stand alone: a customer reads this, and our past is ours."""
        weeks = weeks_in_words(*self.weeks)
        if not self.shipped:
            says = (
                _("The factory says {weeks} for this order")
                if self.for_this
                else _("The factory says it usually takes {weeks}")
            )
            return [says.format(weeks=weeks)]
        says = (
            _("the factory says {weeks} for this order")
            if self.for_this
            else _("the factory says {weeks}")
        )
        return [self._orders(), says.format(weeks=weeks)]

    def _orders(self) -> str:
        of_this = {
            "part": ngettext(
                "{count} order of this part", "{count} orders of this part", self.shipped
            ),
            "weight class and finish": ngettext(
                "{count} order of this weight class and finish",
                "{count} orders of this weight class and finish",
                self.shipped,
            ),
            "family": ngettext(
                "{count} order of this family", "{count} orders of this family", self.shipped
            ),
            "factory": ngettext(
                "{count} order of this factory", "{count} orders of this factory", self.shipped
            ),
        }
        said = of_this[self.kind].format(count=self.shipped)
        if not self.since:
            return said
        return _("{orders} since {month}").format(orders=said, month=_month(self.since, self.as_of))

    def _promise_record(self) -> str:
        if self.promise_days is None:
            return ""
        if self.promise_days == 0:
            return _(", and usually ships on the day")
        days = abs(self.promise_days)
        words = (
            ngettext(
                ", and usually ships {count} working day after",
                ", and usually ships {count} working days after",
                days,
            )
            if self.promise_days > 0
            else ngettext(
                ", and usually ships {count} working day before",
                ", and usually ships {count} working days before",
                days,
            )
        )
        return words.format(count=days)


def _month(day: date, today: date) -> str:
    return month_name(day) + (f" {day.year}" if day.year != today.year else "")


class LikeOrders:
    """Adds up the shipped orders of each part and of each wider group, once for a factory."""

    def __init__(self, parts: list[Part], shipped: Shipped) -> None:
        self._counts: dict[Group, tuple[int, date]] = {}
        rows = (shipped.part.tolist(), shipped.since.tolist(), shipped.count.tolist())
        for number, day, count in zip(*rows, strict=True):
            for _kind, key in _groups(parts[number]):
                before, earliest = self._counts.get(key, (0, day))
                self._counts[key] = (before + count, min(earliest, day))

    def of(self, part: Part) -> tuple[int, date | None, str]:
        """(orders, the first one's day, what they share): the narrowest group with enough of them."""
        for kind, key in _groups(part):
            count, since = self._counts.get(key, (0, None))
            if count >= ENOUGH or (kind == "factory" and count):
                return count, since, kind
        return 0, None, "factory"


def _groups(part: Part) -> list[tuple[str, Group]]:
    groups: list[tuple[str, Group]] = [
        ("family", (part.family,)),
        ("factory", ()),
    ]
    if part.weight_class or part.finish:
        like = (part.family, part.weight_class, part.finish)
        groups.insert(0, ("weight class and finish", like))
    if part.number:
        groups.insert(0, ("part", (part.family, part.number)))
    return groups
