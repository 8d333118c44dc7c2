"""A writing act is one transaction, and short: what takes its time is worked out before it.

On SQLite every other writer waits for it. A factory's past of years takes seconds to fit, so an act that comes
upon a fit that is missing or stale is undone, the fit worked out and stored, and the act begun again.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

from django.db import connection, transaction

from ordering.expected import fit_and_keep
from ordering.fits import NotFittedError, fitted_outside

Said = ParamSpec("Said")
Done = TypeVar("Done")


def one_act(change: Callable[Said, Done]) -> Callable[Said, Done]:
    """As `transaction.atomic`; the function may be called again with the same arguments, once for each factory
    it asks about, so it changes nothing but the database. Within another act it is a part of that one.
    """

    @wraps(change)
    def act(*args: Said.args, **kwargs: Said.kwargs) -> Done:
        if connection.in_atomic_block:
            with transaction.atomic():
                return change(*args, **kwargs)
        fitted: set[int] = set()
        while True:
            try:
                with fitted_outside(fitted), transaction.atomic():
                    return change(*args, **kwargs)
            except NotFittedError as missing:
                fit_and_keep(missing.factory, missing.as_of)
                fitted.add(missing.factory.pk)

    return act
