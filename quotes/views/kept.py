"""What was typed into a page whose sign-in had run out, kept until somebody is signed in."""

from __future__ import annotations

import re

from django.http import HttpRequest, QueryDict

MOST = 400_000
# Passwords and codes are never kept nor given back.
SECRET = re.compile(r"password|^again$|^code$")


def keep(request: HttpRequest, name: str) -> bool:
    """Keep what was posted in the session; whether there was room for it."""
    typed = request.POST.copy()
    typed.pop("csrfmiddlewaretoken", None)
    for secret in filter(SECRET.search, list(typed)):
        typed[secret] = ""
    text = typed.urlencode()
    if len(text) <= MOST:
        request.session[f"kept_{name}"] = text
    return len(text) <= MOST


def kept_of(request: HttpRequest, name: str) -> QueryDict | None:
    """What was kept, and stays so."""
    text = request.session.get(f"kept_{name}")
    return None if text is None else QueryDict(text)


def take(request: HttpRequest, name: str) -> QueryDict | None:
    """What was kept, once."""
    found = kept_of(request, name)
    request.session.pop(f"kept_{name}", None)
    return found
