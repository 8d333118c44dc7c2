"""What was sent from a page whose sign-in had run out: it waits until somebody signs in, to be sent again.

Pages that put what was typed back into their own boxes keep it themselves (`Rule.asks_itself`).
"""

from __future__ import annotations

from typing import Any

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import escape_leading_slashes
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from config.access import rule_of
from config.trouble import files_of, is_from_here, page_before, to_send_again
from quotes.views.counter import csrf_failed as older_than_sign_in
from quotes.views.kept import is_from_elsewhere, keep, kept_of, take

RAN_OUT = "Your sign-in had run out, so nothing of this was saved. Look at it once more and press Send again."
OLDER = "This page was older than your sign-in, so nothing of it was saved. Look at it once more and press Send again."


class SignInFirst(LoginRequiredMiddleware):
    """Middleware: leads to the sign-in whoever needs one, and keeps what a form had sent until it is sent again."""

    def process_view(
        self, request: HttpRequest, view_func: Any, view_args: Any, view_kwargs: Any
    ) -> HttpResponseBase | None:
        if request.method == "POST" and request.user.is_authenticated:
            waiting = kept_of(request, "form")
            if waiting and waiting["address"] == request.get_full_path():
                take(request, "form")
        return super().process_view(request, view_func, view_args, view_kwargs)

    def handle_no_permission(self, request: HttpRequest, view_func: Any) -> HttpResponseBase:
        # A page's own script tells what it has to tell by itself.
        by_script = request.headers.get("Sec-Fetch-Mode", "navigate") != "navigate"
        ours = (
            request.method == "POST" and not by_script and is_from_here(request, rule_of(request))
        )
        if ours and keep(
            request, "form",
            address=request.get_full_path(), files=files_of(request), page=page_before(request),
        ):  # fmt: skip
            return redirect_to_login(reverse("kept"))
        return super().handle_no_permission(request, view_func)


@never_cache
@require_safe
def kept(request: HttpRequest) -> HttpResponse:
    """What was kept, with a button that sends it where it was going."""
    found = kept_of(request, "form")
    if found is None:
        return redirect("home")
    address = escape_leading_slashes(found["address"])
    return to_send_again(request, RAN_OUT, address, found["typed"], found["files"], found["page"])


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A page that is older than the sign-in, which the check of forms refuses: it may be sent again.

    Only where the browser itself says that the form is of this desk.
    """
    answer = older_than_sign_in(request, reason)
    told = "Origin" in request.headers and not is_from_elsewhere(reason)
    if answer.status_code != 403 or not (told and request.user.is_authenticated):
        return answer
    address = escape_leading_slashes(request.get_full_path())
    page = page_before(request)
    return to_send_again(request, OLDER, address, request.POST, files_of(request), page, 403)
