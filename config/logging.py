"""Log lines: one JSON object a line on standard error, each with the id of the request it belongs to.

A line names the address's pattern, never the address: a link's token is a permission. No names, no
mail addresses, no words that somebody typed; a person is the number of their user. Of an exception
it keeps the type and the places in the code, not its message, which may quote what was typed.
"""

from __future__ import annotations

import json
import logging
import re
import secrets
import time
import traceback
from collections.abc import Callable
from contextvars import ContextVar
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth.signals import user_logged_in, user_logged_out, user_login_failed
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponse

ROOT = Path(__file__).resolve().parent.parent
_current: ContextVar[str] = ContextVar("request_id", default="")
# An id that a proxy in front gave already is kept, so that its lines and ours can be put together.
_SOUND_ID = re.compile(r"[A-Za-z0-9-]{8,64}\Z")
# Whatever looks like a token or a mail address, wherever it came from.
_SECRET = re.compile(r"[\w.+%-]+@[\w-]+(?:\.[\w-]+)+|[A-Za-z0-9_-]{32,}")

requests = logging.getLogger("desk.requests")
sign_ins = logging.getLogger("desk.sign_ins")


class Lines(logging.Formatter):
    """Writes a record as one JSON object; `extra={"facts": {...}}` adds its own keys."""

    def format(self, record: logging.LogRecord) -> str:
        line: dict[str, Any] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "from": record.name,
            "words": _words(record),
        }
        if _current.get():
            line["request"] = _current.get()
        line.update(getattr(record, "facts", {}))
        if record.exc_info and record.exc_info[0]:
            kind, _, trace = record.exc_info
            line["exception"] = f"{kind.__module__}.{kind.__qualname__}"
            line["where"] = [_place(frame) for frame in traceback.extract_tb(trace)]
        return json.dumps(line, ensure_ascii=False)


def _words(record: logging.LogRecord) -> str:
    words = record.getMessage()
    request = getattr(record, "request", None)
    if isinstance(request, HttpRequest):
        words = words.replace(request.path, route_of(request))
    return _SECRET.sub("…", words)


def _place(frame: traceback.FrameSummary) -> str:
    path = Path(frame.filename)
    name = path.relative_to(ROOT) if path.is_relative_to(ROOT) else path
    return f"{name}:{frame.lineno} {frame.name}"


def route_of(request: HttpRequest) -> str:
    """The address's pattern; an address that is none is not repeated."""
    if request.resolver_match:
        return f"/{request.resolver_match.route}"
    # Stylesheets and scripts are answered before an address is looked up.
    is_static = request.path.startswith(settings.STATIC_URL)
    return settings.STATIC_URL if is_static else "(no such address)"


class RequestLog:
    """Middleware, the outermost: gives the request its id and writes its line."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        given = request.headers.get("X-Request-Id", "")
        request.id = given if _SOUND_ID.match(given) else secrets.token_hex(8)
        mark, began = _current.set(request.id), time.perf_counter()
        try:
            response = self.get_response(request)
            response["X-Request-Id"] = request.id
            facts = {
                "method": request.method if request.method in _METHODS else "other",
                "address": route_of(request),
                "status": response.status_code,
                "ms": round((time.perf_counter() - began) * 1000, 1),
                "user": _user_of(request),
            }
            requests.info("request", extra={"facts": facts})
            return response
        finally:
            _current.reset(mark)


_METHODS = {"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"}


def _user_of(request: HttpRequest) -> int | None:
    """The user's number, if the page has asked who it is; the log asks the database nothing."""
    known = getattr(request, "_cached_user", None)
    return known.pk if known is not None else None


@receiver(user_logged_in)
def _signed_in(sender: Any, user: Any, **more: Any) -> None:
    sign_ins.info("signed in", extra={"facts": {"user": user.pk}})


@receiver(user_logged_out)
def _signed_out(sender: Any, user: Any, **more: Any) -> None:
    sign_ins.info("signed out", extra={"facts": {"user": user.pk if user else None}})


@receiver(user_login_failed)
def _refused(sender: Any, **more: Any) -> None:
    sign_ins.warning("sign-in refused")


LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"lines": {"()": "config.logging.Lines"}},
    "handlers": {"lines": {"class": "logging.StreamHandler", "formatter": "lines"}},
    "root": {"handlers": ["lines"], "level": "WARNING"},
    "loggers": {
        "desk": {"level": "INFO"},
        "django": {"handlers": [], "level": "WARNING"},
        # What was refused is in the request's own line.
        "django.request": {"level": "ERROR"},
        # These two would write addresses with their tokens, and the names that people typed.
        "django.server": {"handlers": [], "propagate": False},
        "axes": {"handlers": [], "propagate": False},
    },
}
