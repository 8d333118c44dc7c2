"""The rows of a list, as its page and its files ask for them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from sizing.standing import keys_at_once


@dataclass(frozen=True)
class Rows:
    """What is found, in the list's order: `first(count)` gives the first keys, `every()` the question for all.

    Where the first follow from keys that are known, or from a standing question, `every` is put together for
    files alone: for a page that takes as long as the answer.
    """

    first: Callable[[int], list[Any]]
    every: Callable[[], QuerySet]


def rows_of(found: QuerySet) -> Rows:
    """Of a question that is put together anyway."""
    return Rows(lambda count: first_keys(found, count), lambda: found)


def first_keys(found: QuerySet, count: int) -> list[Any]:
    if found.query.is_empty():
        return []
    return keys_at_once(found.values_list("pk")[:count])
