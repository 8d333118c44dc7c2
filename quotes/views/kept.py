"""What was typed into a page whose sign-in had run out, kept until somebody is signed in."""

from __future__ import annotations

from django.http import HttpRequest, QueryDict

MOST = 400_000


def keep(request: HttpRequest, name: str) -> bool:
    """Keep what was posted in the session; whether there was room for it."""
    typed = request.POST.copy()
    typed.pop("csrfmiddlewaretoken", None)
    text = typed.urlencode()
    if len(text) <= MOST:
        request.session[f"kept-{name}"] = text
    return len(text) <= MOST


def take(request: HttpRequest, name: str) -> QueryDict | None:
    """What was kept, once."""
    text = request.session.pop(f"kept-{name}", None)
    return None if text is None else QueryDict(text)
