"""In which language a page is written: the reader's where we know it, else what the browser asks for."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from django.http import HttpRequest, HttpResponse
from django.utils.translation import get_language_from_request

from sizing.wording import LANGUAGES, known, speaking

View = Callable[..., HttpResponse]


def visitors_language(request: HttpRequest) -> str:
    """What a visitor nobody knows reads: as the browser asks (RFC 9110, Accept-Language)."""
    return known(get_language_from_request(request).partition("-")[0])


def in_language(view: View) -> View:
    """A page for anybody: in the language that its address names, else in the visitor's."""

    @wraps(view)
    def spoken(
        request: HttpRequest, *args: object, language: str = "", **more: object
    ) -> HttpResponse:
        chosen = language if language in LANGUAGES else visitors_language(request)
        with speaking(chosen):
            response = view(request, *args, **more)
        return marked(response, chosen, varies=not language)

    return spoken


def marked(response: HttpResponse, language: str, *, varies: bool = False) -> HttpResponse:
    """The answer with its language said, and that it hangs on what the browser asked for."""
    response["Content-Language"] = language
    if varies:
        response.headers["Vary"] = ", ".join(
            dict.fromkeys([*filter(None, [response.headers.get("Vary")]), "Accept-Language"])
        )
    return response
