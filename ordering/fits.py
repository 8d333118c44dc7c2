"""The stored fit of each factory, so that a process just started answers at once.

Publishing writes it; whoever asks reads it if its stamp is that of everything it was made from: the
past (by the version that each change of it raises), the families and their tables, the days shut, the
estimator itself. Any other fit is as good as none.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date, datetime, timedelta
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

import holidays
import numpy as np
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from ordering import estimator
from ordering.estimator import packed
from ordering.estimator.learned import Learned
from ordering.models import LeadTimeFit, PastVersion
from ordering.reading import half_life, read_and_learn
from quotes.desk.holding import hold
from sizing import workdays
from sizing.models import Factory, Family, Revision

# An import stores its next block within a second: of one that has not for so long nothing more comes.
STORING = timedelta(minutes=1)
# While somebody writes: the factories (keys) that were fitted for it already. None: nobody waits for who asks.
_fitted: ContextVar[Collection[int] | None] = ContextVar("fitted", default=None)


class NotFittedError(Exception):
    """A factory's past has to be fitted first, outside the transaction that asks."""

    def __init__(self, factory: Factory, as_of: date) -> None:
        super().__init__(f"{factory} is not fitted for {as_of}")
        self.factory, self.as_of = factory, as_of


@contextmanager
def fitted_outside(fitted: Collection[int]) -> Iterator[None]:
    """Within it a missing fit raises NotFittedError, but for these factories: what was fitted a moment ago and is
    stale again would be so for ever in a busy shop.
    """
    before = _fitted.set(fitted)
    try:
        yield
    finally:
        _fitted.reset(before)


def learned_of(factory: Factory, as_of: date) -> Learned:
    """What the factory's past says on a day: from the stored fit where it still holds, else fitted anew.

    Raises NotFittedError within `fitted_outside`.
    """
    stored = LeadTimeFit.objects.filter(factory=factory, as_of=as_of, stamp=stamp_of(factory))
    if fit := stored.first():
        return packed.unpacked(bytes(fit.learned))
    fitted = _fitted.get()
    if fitted is not None and factory.pk not in fitted:
        raise NotFittedError(factory, as_of)
    return read_and_learn(factory, as_of)


def fit_anew(factory: Factory, as_of: date) -> Learned:
    """Fit to the past as it is now, and store that in place of what was stored."""
    # Before the past is read: a change of it meanwhile then makes this fit stale, not wrong.
    stamp = stamp_of(factory)
    fitted = read_and_learn(factory, as_of)
    LeadTimeFit.objects.update_or_create(
        factory=factory,
        defaults={"as_of": as_of, "stamp": stamp, "learned": packed.packed(fitted)},
    )
    return fitted


def fit_the_stale(as_of: date) -> int:
    """Fit anew each factory whose stored fit no longer holds; how many."""
    stale = [
        factory
        for factory in Factory.objects.filter(families__isnull=False).distinct().order_by("id")
        if not LeadTimeFit.objects.filter(
            factory=factory, as_of=as_of, stamp=stamp_of(factory)
        ).exists()
    ]
    for factory in stale:
        fit_anew(factory, as_of)
    return len(stale)


@transaction.atomic
def past_changed(families: Iterable[int], *, stored: bool = False) -> None:
    """Past orders of these families (their keys) were written: what was fitted before is stale. `stored`: an import
    of them is over."""
    pasts = PastVersion.objects.filter(family__in=hold_pasts(families))
    pasts.update(number=F("number") + 1, **({"storing_at": None} if stored else {}))


def past_is_stored(families: Iterable[int]) -> None:
    """Past orders of these families are being stored, and more of them will be: what was fitted before holds on until
    they are all there. Inside a transaction."""
    pasts = PastVersion.objects.filter(family__in=hold_pasts(families))
    pasts.update(storing_at=timezone.now())


def end_broken_imports() -> list[Factory]:
    """Let the past that imports broken off have left behind count; the factories whose past it is."""
    left = PastVersion.objects.filter(storing_at__lt=timezone.now() - STORING)
    families = list(left.values_list("family", flat=True))
    past_changed(families, stored=True)
    return list(Factory.objects.filter(families__in=families).distinct().order_by("id"))


def hold_pasts(families: Iterable[int]) -> list[int]:
    """Hold the pasts of these families (their keys) until the transaction ends; their keys, each once."""
    keys = sorted(set(families))
    if not keys:
        return keys
    held = PastVersion.objects.filter(family__in=keys)
    if len(hold(held)) < len(keys):
        PastVersion.objects.bulk_create(
            [PastVersion(family_id=family) for family in keys], ignore_conflicts=True
        )
        hold(held)
    return keys


def stamp_of(factory: Factory) -> str:
    families = list(
        Family.objects.filter(factory=factory)
        .order_by("id")
        .values_list(
            "id", "code", "lead_weeks_min", "lead_weeks_max", "past_version__number",
            "past_version__storing_at",
        )
    )  # fmt: skip
    tables = Revision.objects.filter(family__factory=factory).order_by("id")
    made_from = [
        _estimator(),
        half_life(),
        factory.country,
        factory.region,
        # A past is begun by the first import of it, and changed by the end of that.
        [(*family, number or 0) for *family, number, _storing_at in families],
        list(tables.values_list("id", "digest")),
        [list(map(str, days)) for days in factory.shutdowns.values_list("first_day", "last_day")],
    ]
    # Part of a past was left behind by an import that was killed: no fit of before is of it.
    if broken := [str(at) for *_family, at in families if _is_broken_off(at)]:
        made_from.append(broken)
    return sha256(json.dumps(made_from).encode()).hexdigest()


def _is_broken_off(storing_at: datetime | None) -> bool:
    return storing_at is not None and timezone.now() - storing_at > STORING


@lru_cache(maxsize=1)
def _estimator() -> str:
    """Stands for the code that fits and packs: an upgrade of any of it makes every stored fit stale."""
    modules = [*sorted(Path(estimator.__file__).parent.glob("*.py")), Path(workdays.__file__)]
    code = b"".join(module.read_bytes() for module in modules)
    return f"{sha256(code).hexdigest()} {np.__version__} {holidays.__version__}"
