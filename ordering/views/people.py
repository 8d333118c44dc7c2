"""Who is asking: a signed-in user as the writer of events, and pages that need a role."""

from __future__ import annotations

from django.http import HttpRequest

from ordering.events import Who

ROLES = ("owner", "manager", "counter", "staff")


def who_is(request: HttpRequest) -> Who:
    """The signed-in user, with the role that may do most."""
    user = request.user
    if user.is_superuser:
        return Who(user.get_username(), "owner")
    groups = set(user.groups.values_list("name", flat=True))
    role = next((role for role in ROLES if role in groups), "nobody")
    return Who(user.get_username(), role)
