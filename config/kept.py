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
from django.views.decorators.http import require_GET

from config.access import rule_of
from config.trouble import files_of, is_from_here, page_before, to_send_again
from quotes.views.counter import csrf_failed as older_than_sign_in
from quotes.views.kept import keep, kept_of, take

# In the session, beside what was typed: where it was going, which files it had, the page it was typed on.
KEPT = "kept_about"
RAN_OUT = "Your sign-in had run out, so nothing of this was saved. Look at it once more and press Send again."
OLDER = "This page was older than your sign-in, so nothing of it was saved. Look at it once more and press Send again."


class SignInFirst(LoginRequiredMiddleware):
    """Middleware: leads to the sign-in whoever needs one, and keeps what a form had sent until it is sent again."""

    def process_view(
        self, request: HttpRequest, view_func: Any, view_args: Any, view_kwargs: Any
    ) -> HttpResponseBase | None:
        if request.method == "POST" and request.user.is_authenticated:
            kept = request.session.get(KEPT)
            if kept and kept["address"] == request.get_full_path():
                take(request, "form")
                del request.session[KEPT]
        return super().process_view(request, view_func, view_args, view_kwargs)

    def handle_no_permission(self, request: HttpRequest, view_func: Any) -> HttpResponseBase:
        # A page's own script tells what it has to tell by itself.
        by_script = request.headers.get("Sec-Fetch-Mode", "navigate") != "navigate"
        if request.method != "POST" or by_script or not is_from_here(request, rule_of(request)):
            return super().handle_no_permission(request, view_func)
        if not keep(request, "form"):
            return super().handle_no_permission(request, view_func)
        request.session[KEPT] = {
            "address": request.get_full_path(),
            "files": files_of(request),
            "page": page_before(request),
        }
        return redirect_to_login(reverse("kept"))


@never_cache
@require_GET
def kept(request: HttpRequest) -> HttpResponse:
    """What was kept, with a button that sends it where it was going."""
    typed, about = kept_of(request, "form"), request.session.get(KEPT)
    if typed is None or about is None:
        return redirect("home")
    address = escape_leading_slashes(about["address"])
    return to_send_again(request, RAN_OUT, address, typed, about["files"], about["page"])


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A page that is older than the sign-in, which the check of forms refuses: it may be sent again.

    Only where the browser itself says that the form is of this desk.
    """
    answer = older_than_sign_in(request, reason)
    elsewhere = reason.startswith(("Origin checking", "Referer checking"))
    ours = not elsewhere and "Origin" in request.headers and request.user.is_authenticated
    if answer.status_code != 403 or not ours:
        return answer
    address = escape_leading_slashes(request.get_full_path())
    page = page_before(request)
    return to_send_again(request, OLDER, address, request.POST, files_of(request), page, 403)
