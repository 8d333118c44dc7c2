"""Who is asking: a signed-in user as the writer of events, and pages that need a role."""

from __future__ import annotations

from django.http import HttpRequest

from ordering.events import Who
from sizing.roles import foremost, roles_of


def who_is(request: HttpRequest) -> Who:
    """The signed-in user, with the role that may do most."""
    role = foremost(roles_of(request.user)) or "nobody"
    return Who(request.user.get_username(), role)
