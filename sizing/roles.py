"""Who may open a page: roles are groups of Django's own, named counter, manager, staff and owner."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse

View = Callable[..., HttpResponse]


def has_role(user: Any, *roles: str) -> bool:
    """Whether the user is in one of the groups; an owner and a superuser may do everything."""
    if not user.is_authenticated:
        return False
    return user.is_superuser or user.groups.filter(name__in=[*roles, "owner"]).exists()


def needs_role(*roles: str) -> Callable[[View], View]:
    """A view for these roles only. Somebody else, signed in, is told so (403)."""

    def wrap(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not has_role(request.user, *roles):
                raise PermissionDenied(f"This page is for {' or '.join(roles)}.")
            return view(request, *args, **kwargs)

        return guarded

    return wrap
