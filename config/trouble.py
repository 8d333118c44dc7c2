"""What is answered when something failed: one clear sentence, and what was typed is given back. The one place.

Django comes here (`handler500`) for whatever no view has dealt with, in a view, a template or a
middleware. A database that is held, full or away is no fault of the desk's: 503, with the seconds
after which it may be tried again. Nothing here asks the database. Passwords and codes are never
given back; files have to be chosen again, as browsers fill in none.
"""

from __future__ import annotations

import errno
import re
import sqlite3
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.db import DatabaseError, InterfaceError
from django.http import HttpRequest, HttpResponse, JsonResponse, QueryDict
from django.middleware.csrf import CsrfViewMiddleware, get_token
from django.template.loader import render_to_string
from django.urls import Resolver404, resolve
from django.utils.http import escape_leading_slashes
from django.views import defaults

from config.access import KEY, LINK, PUBLIC, Rule, rule_of
from quotes.views.kept import SECRET
from quotes.views.languages import marked, visitors_language
from sizing.wording import LANGUAGES, N_, speaking
from sizing.wording import gettext as _


@dataclass(frozen=True)
class Trouble:
    """What somebody is told who meant to write, who meant to read, and whose page goes on by itself."""

    status: int
    seconds: int
    writing: str
    reading: str
    live: str


BUSY = Trouble(
    503, 5,
    N_("Nothing of this was saved: the database was busy with something else. Press Send again."),
    N_("The database was busy with something else, so this page could not be shown. Try again in a moment."),
    N_("The database was busy, so this was not done. What you typed is still here; try again in a moment."),
)  # fmt: skip
FULL = Trouble(
    503, 60,
    N_("Nothing of this was saved: the disk that the database is on is full. Once it has room again, press Send again."),
    N_("The disk that the database is on is full, so this page could not be shown. Try again once it has room."),
    N_("The disk that the database is on is full, so this was not done. What you typed is still here."),
)  # fmt: skip
AWAY = Trouble(
    503, 10,
    N_("The database broke off in the middle, so look first whether this was saved. If it was not, press Send again."),
    N_("The database does not answer, so this page could not be shown. Try again in a moment."),
    N_("The database does not answer. What you typed is still here; look whether it was saved before you send it again."),
)  # fmt: skip
FAILED = Trouble(
    500, 0,
    N_("The desk could not finish this, and nothing of it was saved. Press Send again."),
    N_("The desk could not show this page. Try again in a moment."),
    N_("The desk could not finish this. What you typed is still here."),
)  # fmt: skip
# The view was done, and what came after it failed.
AFTERWARDS = N_(
    "Something failed at the last moment, so look first whether this was saved. If it was not, press Send again."
)

# In megabytes, without files.
MOST_TEXT = settings.DATA_UPLOAD_MAX_MEMORY_SIZE / 2**20
# [field, name of the file] of each that was sent.
Files = Sequence[Sequence[str]]
# What the page sends along by itself.
_NEVER_SHOWN = re.compile(r"page|do|openings|o\d+-key|(version|stood)(-\d+)?|\w+-[A-Z_]+_FORMS")
# PostgreSQL's own letters for what went wrong (its manual, appendix A), by code or by class.
_POSTGRES = {
    "55P03": BUSY, "40001": BUSY, "40P01": BUSY, "57014": BUSY, "53300": BUSY,
    "53100": FULL, "58030": FULL, "57P": AWAY, "08": AWAY,
}  # fmt: skip
_SQLITE = {
    sqlite3.SQLITE_BUSY: BUSY, sqlite3.SQLITE_LOCKED: BUSY, sqlite3.SQLITE_FULL: FULL,
    sqlite3.SQLITE_IOERR: FULL, sqlite3.SQLITE_CANTOPEN: AWAY,
}  # fmt: skip


def what_failed(problem: BaseException | None) -> Trouble:
    """Which trouble an exception comes from; FAILED if it is none of the database's."""
    for one in _chain(problem):
        if isinstance(one, OSError) and one.errno == errno.ENOSPC:
            return FULL
        number = getattr(one, "sqlite_errorcode", None)
        if number is not None and number & 0xFF in _SQLITE:
            return _SQLITE[number & 0xFF]
        letters = getattr(one, "sqlstate", None) or ""
        for known, trouble in _POSTGRES.items():
            if letters.startswith(known):
                return trouble
        # Without letters of the server's there was no server to give any.
        gone = (
            type(one).__module__.startswith("psycopg") and "OperationalError" in type(one).__name__
        )
        if isinstance(one, InterfaceError) or (gone and not letters):
            return AWAY
    return FAILED


def _chain(problem: BaseException | None) -> Iterator[BaseException]:
    """The exception and what it came from; of Django's own database errors the driver's first."""
    for _step in range(10):
        if problem is None:
            return
        if isinstance(problem, DatabaseError | InterfaceError) and problem.__cause__ is not None:
            yield problem.__cause__
        yield problem
        problem = problem.__cause__ or problem.__context__


class Noted:
    """Middleware: notes that the view has answered, so that what fails after it is not told as undone; and says
    more than a bare number where an address does not take what it was asked."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        request.was_answered = response.status_code < 400
        if response.status_code == 405 and not response.content:
            return not_taken(request, response["Allow"])
        return response


def answer(request: HttpRequest) -> HttpResponse:
    """What is sent instead of the page: for a person, for a page's own script or for a program."""
    trouble = what_failed(sys.exc_info()[1])
    rule = _rule(request)
    if rule and KEY in (rule.read, rule.write):
        words = trouble.reading if request.method == "GET" else trouble.live
        response: HttpResponse = to_program(words, trouble.status)
    else:
        chosen = language_of(request)
        with speaking(chosen):
            response = marked(_for_people(request, trouble, rule), chosen)
    if trouble.seconds:
        response["Retry-After"] = str(trouble.seconds)
    response["Cache-Control"] = "no-store, private"
    return response


def to_program(words: str, status: int, headers: dict[str, str] | None = None) -> JsonResponse:
    """What the API refuses has this shape, wherever it is refused (`config.api.schemas.Problem`)."""
    return JsonResponse({"error": words, "problems": []}, status=status, headers=headers)


def _is_program(request: HttpRequest) -> bool:
    """Under /api/ stands one page for people; a browser that opens another address there says that it reads pages."""
    within = request.path_info.startswith("/api/") and request.path_info != "/api/"
    return within and "text/html" not in request.headers.get("Accept", "")


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Django takes a session that the database did not store for one that was ended (handler400), and a body
    that is text alone for a wrong one once it is larger than a page's boxes may be."""
    if isinstance(exception, RequestDataTooBig):
        return too_large(request, MOST_TEXT)
    if what_failed(exception) is FAILED:
        return defaults.bad_request(request, exception)
    return answer(request)


def language_of(request: HttpRequest) -> str:
    """The visitor's language at an address that is open to everybody, English at the desk."""
    rule = _rule(request)
    is_open = rule and not rule.who(request.method or "").isdisjoint(LINK | PUBLIC)
    return visitors_language(request) if is_open else "en"


def not_there(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """No page at this address (handler404), in the language of whoever is not signed in."""
    if _is_program(request):
        return to_program("There is no call at this address: /api/ shows each.", 404)
    return _nothing_here(request, "404.html", 404)


def not_taken(request: HttpRequest, takes: str) -> HttpResponse:
    """The address takes these methods alone. What only a page's button sends to has nothing to show who opens it,
    which says so like any other address without a page."""
    if _is_program(request):
        words = f"This address takes {takes}, not {request.method}: /api/ shows each call."
        return to_program(words, 405, {"Allow": takes})
    page = "404.html" if request.method == "GET" else "405.html"
    response = _nothing_here(request, page, 405, takes=takes)
    response["Allow"] = takes
    return response


def _nothing_here(request: HttpRequest, page: str, status: int, **said: str) -> HttpResponse:
    desk = getattr(request, "user", None) and request.user.is_authenticated
    named = request.resolver_match.kwargs.get("language", "") if request.resolver_match else ""
    visitors = named if named in LANGUAGES else visitors_language(request)
    chosen = "en" if desk else visitors
    context = {"base": "base.html" if desk else "quotes/public_base.html", **said}
    with speaking(chosen):
        response = HttpResponse(render_to_string(page, context, request), status=status)
    return marked(response, chosen)


def too_large(request: HttpRequest, megabytes: float) -> HttpResponse:
    """More was sent than any page takes; it was not read."""
    if _is_program(request):
        words = f"The body is larger than {MOST_TEXT} MB, so it was not read: send it in parts."
        return to_program(words, 413)
    chosen = language_of(request)
    with speaking(chosen):
        response = HttpResponse(render_to_string("413.html", {"most": megabytes}), status=413)
    return marked(response, chosen)


def _rule(request: HttpRequest) -> Rule | None:
    """The rule of the address, also when it failed before the address was looked up."""
    if request.resolver_match is None:
        try:
            request.resolver_match = resolve(request.path_info)
        except Resolver404:
            return None
    return rule_of(request)


def _for_people(request: HttpRequest, trouble: Trouble, rule: Rule | None) -> HttpResponse:
    if request.headers.get("HX-Request") == "true":
        return HttpResponse(_(trouble.live), status=trouble.status, content_type="text/plain")
    writes = request.method == "POST"
    words = trouble.writing if writes else trouble.reading
    if writes and getattr(request, "was_answered", False):
        words = AFTERWARDS
    context: dict[str, Any] = {
        "sentence": _(words),
        "failed": trouble is FAILED,
        "request_id": getattr(request, "id", ""),
        "writes": writes,
        "desk": rule is not None and rule.who(request.method or "").isdisjoint(LINK | PUBLIC),
        "address": escape_leading_slashes(request.get_full_path()),
    }
    if writes and is_from_here(request, rule):
        context["typed"] = _sent(request)
        if rule and rule.write != LINK:
            context["csrf_token"] = get_token(request)
    return HttpResponse(render_to_string("failed.html", context), status=trouble.status)


class _Check(CsrfViewMiddleware):
    def _reject(self, request: HttpRequest, reason: str) -> HttpResponse:
        return HttpResponse(status=403)


def is_from_here(request: HttpRequest, rule: Rule | None) -> bool:
    """Whether the form came from a page of the desk's own: no other's is made ready to be sent again."""
    if rule is None or request.resolver_match is None:
        return False
    if rule.write == LINK:
        return True
    check = _Check(lambda request: HttpResponse())
    check.process_request(request)
    return check.process_view(request, request.resolver_match.func, (), {}) is None


def to_send_again(
    request: HttpRequest,
    sentence: str,
    address: str,
    posted: QueryDict,
    files: Files,
    page: str,
    status: int = 200,
) -> HttpResponse:
    """What somebody of the desk had sent to an address, not done and to be sent there once more; `page` is
    the path of the one it was typed on, or nothing."""
    context = {
        "sentence": sentence,
        "writes": True,
        "desk": True,
        "address": address,
        "typed": _typed(posted, files),
        "page": page,
        "csrf_token": get_token(request),
    }
    return HttpResponse(render_to_string("failed.html", context), status=status)


def page_before(request: HttpRequest) -> str:
    """The path of the desk's page that a form was on, where the browser says so."""
    said = urlsplit(request.headers.get("Referer", ""))
    here = said.netloc == request.get_host() and said.path != request.path
    return escape_leading_slashes(said.path) if here else ""


def files_of(request: HttpRequest) -> Files:
    return [[name, one.name] for name, sent in request.FILES.lists() for one in sent]


def _sent(request: HttpRequest) -> list[dict[str, Any]]:
    try:
        return _typed(request.POST, files_of(request))
    # What could not be read before cannot be read now.
    except Exception:
        return []


def _typed(posted: QueryDict, files: Files) -> list[dict[str, Any]]:
    """Each field that was sent, in its order: what it is called, what it held, and what to do with it."""
    fields = [
        {
            "name": name,
            "label": re.sub(r"[-_]+", " ", name).strip().capitalize(),
            "value": "" if SECRET.search(name) else value,
            "secret": bool(SECRET.search(name)),
            "shown": bool(value.strip()) and not _NEVER_SHOWN.fullmatch(name),
        }
        for name, values in posted.lists()
        for value in values
        if name != "csrfmiddlewaretoken"
    ]
    return fields + [
        {"name": name, "label": name.capitalize(), "value": file, "file": True}
        for name, file in files
    ]
