"""What was typed into a page whose sign-in had run out, kept until somebody is signed in."""

from __future__ import annotations

import re
from typing import Any

from django.http import HttpRequest, QueryDict

MOST = 400_000
# Passwords and codes are never kept nor given back.
SECRET = re.compile(r"password|^again$|^code$")


def keep(request: HttpRequest, name: str, most: int = MOST, **about: Any) -> bool:
    """Keep what was posted, and what else there is to know of it, in the session; whether it is kept.

    `most` is in characters. Nothing is kept of a browser with which nobody of the desk has ever signed in: a
    stranger could fill the sessions with it.
    """
    if not (request.user.is_authenticated or request.is_known()):
        return False
    typed = request.POST.copy()
    typed.pop("csrfmiddlewaretoken", None)
    for secret in filter(SECRET.search, list(typed)):
        typed[secret] = ""
    text = typed.urlencode()
    if len(text) <= most:
        request.session[f"kept_{name}"] = {**about, "typed": text}
    return len(text) <= most


def kept_of(request: HttpRequest, name: str) -> dict[str, Any] | None:
    """What was kept, `typed` as it was posted, and stays so."""
    return _read(request.session.get(f"kept_{name}"))


def take(request: HttpRequest, name: str) -> dict[str, Any] | None:
    """The same, once."""
    return _read(request.session.pop(f"kept_{name}", None))


def _read(kept: dict[str, Any] | None) -> dict[str, Any] | None:
    return kept and {**kept, "typed": QueryDict(kept["typed"])}


def is_from_elsewhere(reason: str) -> bool:
    """Whether the check of forms refused one for where it comes from, in Django's words."""
    return reason.startswith(("Origin checking", "Referer checking"))
