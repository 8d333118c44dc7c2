"""What a signed-in person is: roles are groups of Django's own, named counter, manager, staff and owner.

Which page a role may open is said in one place for all pages: `config.access`. `has_role` is for what
differs within a page.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

ROLES = ("counter", "staff", "manager", "owner")
_MOST_FIRST = ("owner", "manager", "counter", "staff")


def roles_of(user: Any) -> frozenset[str]:
    """The user's roles, asked of the database once a request. A superuser is an owner."""
    if not user.is_authenticated:
        return frozenset()
    if user.is_superuser:
        return frozenset({"owner"})
    if not hasattr(user, "_roles"):
        names = user.groups.filter(name__in=ROLES).values_list("name", flat=True)
        user._roles = frozenset(names)
    return user._roles


def foremost(held: Iterable[str]) -> str:
    """Of these roles the one that may do most; "" of none."""
    roles = set(held)
    return next((role for role in _MOST_FIRST if role in roles), "")


def has_role(user: Any, *roles: str) -> bool:
    """Whether the user has one of these roles; an owner may do everything."""
    return any_of(roles_of(user), roles)


def any_of(held: frozenset[str], roles: Iterable[str]) -> bool:
    """Whether one of these roles is among those held; an owner may do everything."""
    return not held.isdisjoint({*roles, "owner"})
