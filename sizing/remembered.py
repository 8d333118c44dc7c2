"""What nearly every page reads and hardly ever changes: remembered by each process for a minute.

A process sees its own changes at once, those of the others when the minute is over. So this is for what is
shown beside the matter (names, choices), never for what an answer, a price or a promise rests on.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from time import monotonic
from typing import Any, TypeVar

from django.db.models import Model
from django.db.models.signals import post_delete, post_save

SECONDS = 60

Read = TypeVar("Read")
_FORGETTING: list[Callable[..., None]] = []


def remembered(*models: type[Model]) -> Callable[[Callable[[], Read]], Callable[[], Read]]:
    """Decorates a reader without arguments whose answer rests on the rows of these models alone.

    Everybody is given the same object: it is read and never changed.
    """

    def decorate(read: Callable[[], Read]) -> Callable[[], Read]:
        @lru_cache(maxsize=1)
        def read_in(minute: int) -> Read:
            return read()

        @wraps(read)
        def recalled() -> Read:
            return read_in(int(monotonic() // SECONDS))

        def forget(**kwargs: Any) -> None:
            read_in.cache_clear()

        for model in models:
            post_save.connect(forget, sender=model, weak=False)
            post_delete.connect(forget, sender=model, weak=False)
        _FORGETTING.append(forget)
        return recalled

    return decorate


def forget_all() -> None:
    """As after a start."""
    for forget in _FORGETTING:
        forget()
