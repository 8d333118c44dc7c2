"""Answers who asks "when?": as of one day, for orders of the past and for parts to be ordered."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any

from ordering.estimator.lead_time import FactoryLeadTimes, Shortage, Window
from ordering.estimator.learned import Learned
from ordering.fits import learned_of
from ordering.models import PastOrder
from ordering.models import Shortage as StoredShortage
from sizing.models import Factory, Family


class UnknownError(LookupError):
    """There is no window to answer by that reference or family: one sentence."""


def lead_times(factory: Factory, as_of: date, learned: Learned | None = None) -> FactoryLeadTimes:
    """One factory's lead times as of a day; `learned` is what its past says where that is at hand."""
    learned = learned or learned_of(factory, as_of)
    return FactoryLeadTimes(learned, tuple(_shortages(factory, as_of)))


def _shortages(factory: Factory, as_of: date) -> Iterator[Shortage]:
    stored = StoredShortage.objects.filter(factory=factory, said_on__lte=as_of, until__gt=as_of)
    for said in stored.select_related("family"):
        family = said.family.code if said.family else None
        yield Shortage(said.until, family, said.finish or None, said.reason)


class When:
    """Answers questions as of one day; keeps the lead times of the last few factories it was asked about."""

    def __init__(self, as_of: date, level: float = 0.8, most: int = 8) -> None:
        self.as_of, self.level, self.most = as_of, level, most
        self._kept: OrderedDict[int, FactoryLeadTimes] = OrderedDict()
        self._families: dict[int, tuple[str, Factory]] = {}

    def of_factory(self, factory: Factory) -> FactoryLeadTimes:
        if factory.pk not in self._kept:
            self._kept[factory.pk] = lead_times(factory, self.as_of)
            while len(self._kept) > self.most:
                self._kept.popitem(last=False)
        self._kept.move_to_end(factory.pk)
        return self._kept[factory.pk]

    def of_reference(self, reference: str) -> Window:
        """Raises UnknownError for an order that is unknown or was placed after the as-of day."""
        order = PastOrder.objects.filter(reference=reference, ordered_on__lte=self.as_of).first()
        if order is None:
            raise self.unknown(reference)
        left = order.shipped_on
        if left and left <= self.as_of:
            return Window(left, left, left, f"left the factory on {left}")
        if order.family_id not in self._families:
            found = Family.objects.select_related("factory").get(pk=order.family_id)
            self._families[order.family_id] = (found.code, found.factory)
        code, factory = self._families[order.family_id]
        return self.of_factory(factory).of_open(
            code, order.part_number, order.quantity, order.ordered_on, order.promised_on,
            self.level, order.weeks,
        )  # fmt: skip

    def unknown(self, reference: str) -> UnknownError:
        return UnknownError(
            f"No order “{reference}” is known on {self.as_of}; check the reference, "
            "or ask by family, part_number and order_on."
        )

    def of_part(self, family: str, number: str, on: date, quantity: float | None = None) -> Window:
        """Raises UnknownError for an unknown family."""
        found = Family.objects.select_related("factory").filter(code=family).first()
        if found is None:
            codes = ", ".join(Family.objects.order_by("code").values_list("code", flat=True)[:20])
            raise UnknownError(f"No family “{family}” here; there are: {codes or 'none yet'}.")
        return self.of_factory(found.factory).of_part(family, number, on, quantity, self.level)


def answer_lines(requests: Iterable[dict[str, Any]], when: When) -> Iterator[dict[str, Any]]:
    """One answer for each request of the `when` command; a request that fails says why."""
    for request in requests:
        answer: dict[str, Any] = {"id": request.get("id")}
        try:
            window = _ask(request, when)
        except (UnknownError, ValueError) as problem:
            yield answer | {"error": str(problem)}
            continue
        days = {
            name: getattr(window, name).isoformat() for name in ("earliest", "likely", "latest")
        }
        yield answer | days | {"basis": window.basis}


def _ask(request: dict[str, Any], when: When) -> Window:
    reference = request.get("reference")
    if reference not in (None, ""):
        return when.of_reference(str(reference))
    family = request.get("family")
    if family in (None, ""):
        raise ValueError("Give a reference, or family, part_number and order_on.")
    said = request.get("order_on")
    try:
        day = when.as_of if said in (None, "") else date.fromisoformat(str(said))
    except ValueError:
        raise ValueError(f"order_on “{said}” is no date; write it as YYYY-MM-DD.") from None
    quantity = request.get("quantity")
    if quantity is not None and not (isinstance(quantity, int | float) and 0 < quantity < 1e6):
        raise ValueError(f"quantity “{quantity}” is no number above 0; mend it or leave it out.")
    return when.of_part(str(family), str(request.get("part_number") or ""), day, quantity)
