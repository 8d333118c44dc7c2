"""Whoever did something is kept by their sign-in name; people read the person's own name."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypeVar

from django.contrib.auth.models import User

from sizing.remembered import remembered

Row = TypeVar("Row", bound=Any)


@remembered(User)
def names() -> dict[str, str]:
    """{sign-in name: the person's own name} of everybody at the desk; who has none goes by the sign-in name."""
    known = User.objects.values_list("username", "first_name", "last_name")
    return {sign_in: f"{first} {last}".strip() or sign_in for sign_in, first, last in known}


def name_of(sign_in_name: str) -> str:
    """The name of whoever signs in so; of nobody's, the text itself."""
    return names().get(sign_in_name) or sign_in_name


def signed(rows: Iterable[Row], by: str = "taken_by") -> list[Row]:
    """The rows, each with the name of whoever signs in as its field `by` says, as `by`."""
    found = list(rows)
    for row in found:
        row.by = name_of(getattr(row, by))
    return found
