"""How long a sign-in lasts, from where it is tried, and what a session knows of it.

A session ends twelve hours after the sign-in, or when nobody has used it for as long as the shop says.
It remembers when (`began`, `seen`), when its owner last proved who they are (`proved`), and whether
they have to take a code into use first (`needs_code`). These are set once at sign-in, so a page asks
the database nothing for them.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from ipaddress import ip_address, ip_network
from typing import Any

from axes.models import AccessAttempt
from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.contrib.auth.models import AnonymousUser, User
from django.contrib.auth.signals import user_logged_in
from django.core.signing import BadSignature, TimestampSigner
from django.db import DatabaseError
from django.db.models import Sum
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from config.logging import sign_ins
from quotes.desk.sign_ins import lacks_code, note_seen, note_sign_in
from quotes.lists.shop import the_shop

# How finely the time of last use is kept: a write now and then, not one a page.
SEEN_EVERY = 300
# Wrong passwords from one address, over all names, before only browsers that are known may go on.
MOST_FROM_ONE_ADDRESS = 30
KNOWN_COOKIE = "__Host-desk_known" if settings.SESSION_COOKIE_SECURE else "desk_known"
KNOWN_DAYS = 90
MOST_KNOWN = 12

_known = TimestampSigner(salt="known browser")


@receiver(user_logged_in)
def _began(sender: Any, request: HttpRequest, user: User, **more: Any) -> None:
    now, session = int(time.time()), request.session
    session["began"] = session["seen"] = session["proved"] = now
    session["idle"] = the_shop().idle_minutes * 60
    session["needs_code"] = lacks_code(user)
    if not session.session_key:
        session.create()
    note_sign_in(user, session.session_key, browser_of(request))


_BROWSERS = ("Firefox", "Edg", "OPR", "Chrome", "Safari")
_SYSTEMS = ("Windows", "Android", "iPhone", "iPad", "Mac", "Linux")


def browser_of(request: HttpRequest) -> str:
    """What the browser calls itself, as far as its owner would know it by: Firefox on Windows."""
    said = request.META.get("HTTP_USER_AGENT", "")
    kind = next((name for name in _BROWSERS if name in said), "")
    system = next((name for name in _SYSTEMS if name in said), "")
    kind = {"Edg": "Edge", "OPR": "Opera"}.get(kind, kind)
    return f"{kind or 'a browser'}{f' on {system}' if system else ''}"


class Presence:
    """Middleware: ends a sign-in that is over; the page then asks for a new one and keeps what was typed."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.is_known = partial(is_known, request)
        if settings.SESSION_COOKIE_NAME in request.COOKIES and SESSION_KEY in request.session:
            self._look(request, int(time.time()))
        return self.get_response(request)

    def _look(self, request: HttpRequest, now: int) -> None:
        session = request.session
        # A session of an earlier version knows none of it, and ends.
        began, seen = session.get("began", 0), session.get("seen", 0)
        idle = session.get("idle", 0)
        if now - began >= settings.SESSION_COOKIE_AGE or now - seen >= idle:
            sign_ins.info("sign-in ran out", extra={"facts": {"user": int(session[SESSION_KEY])}})
            session.flush()
            request.user = AnonymousUser()
        elif now - seen >= min(SEEN_EVERY, idle // 4):
            session["seen"] = now
            # A note for its owner; a page must not fail for it.
            with suppress(DatabaseError):
                note_seen(session.session_key, timezone.now())


def client_address(request: HttpRequest) -> str:
    """Whose failures are counted together: an IPv4 address, or the 64 bits of an IPv6 network.

    Behind `PROXIES` proxies of one's own, the address that the outermost of them saw.
    """
    said = request.META.get("REMOTE_ADDR", "")
    passed = re.findall(r"[^,\s]+", request.META.get("HTTP_X_FORWARDED_FOR", ""))
    if settings.PROXIES and len(passed) >= settings.PROXIES:
        said = passed[-settings.PROXIES]
    try:
        address = ip_address(said)
    except ValueError:
        # Nobody's address, to count by; nothing listens there.
        return "0.0.0.0"  # noqa: S104  # nosec B104
    return str(address if address.version == 4 else ip_network(f"{address}/64", False)[0])


def is_sprayed(request: HttpRequest, username: str) -> bool:
    """Whether so many passwords were wrong from this address that only known browsers may go on.

    Counted over all names, so trying one password with many names ends too. A browser that this
    person has signed in with before is not held up: a shop behind one router keeps working.
    """
    since = timezone.now() - settings.AXES_COOLOFF_TIME
    tried = AccessAttempt.objects.filter(
        ip_address=client_address(request), attempt_time__gte=since
    ).aggregate(count=Sum("failures_since_start"))["count"]
    if (tried or 0) < MOST_FROM_ONE_ADDRESS:
        return False
    user = User.objects.filter(username=username).only("pk").first()
    return user is None or str(user.pk) not in _known_people(request)


def locked_out(request: HttpRequest, response: HttpResponse, credentials: Any) -> HttpResponse:
    """What somebody is told who has typed too many wrong passwords (see AXES_ in the settings)."""
    sign_ins.warning("sign-in locked after too many wrong passwords")
    minutes = int(settings.AXES_COOLOFF_TIME.total_seconds()) // 60
    return render(request, "sign_in_later.html", {"minutes": minutes}, status=429)


def make_known(request: HttpRequest, response: HttpResponse, user: User) -> None:
    """Remember in a signed cookie that this person has signed in with this browser."""
    others = [pk for pk in _known_people(request) if pk != str(user.pk)]
    response.set_cookie(
        KNOWN_COOKIE,
        _known.sign(".".join([*others, str(user.pk)][-MOST_KNOWN:])),
        max_age=KNOWN_DAYS * 86_400,
        httponly=True,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
    )


def is_known(request: HttpRequest) -> bool:
    """Whether somebody of the desk has signed in with this browser before."""
    return bool(_known_people(request))


def _known_people(request: HttpRequest) -> list[str]:
    try:
        said = _known.unsign(request.COOKIES.get(KNOWN_COOKIE, ""), max_age=KNOWN_DAYS * 86_400)
    except BadSignature:
        return []
    return said.split(".")
