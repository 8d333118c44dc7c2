"""Signing in: name and password, then a code where the person has taken one into use."""

from __future__ import annotations

import logging
import time
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.crypto import constant_time_compare
from django.utils.decorators import method_decorator
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from config.sign_ins import is_sprayed, make_known
from quotes.desk.sign_ins import has_code, recovery_codes_left, take_code
from quotes.forms.own import CodeForm, SignInForm
from quotes.lists.shop import nobody_yet

MODEL_BACKEND = "django.contrib.auth.backends.ModelBackend"
_log = logging.getLogger("desk.sign_ins")
# Between the password and the code: so long, so many wrong codes.
HALF_LASTS = 300
MOST_CODES = 5


@method_decorator(login_not_required, name="dispatch")
class SignIn(LoginView):
    """Every page leads here while nobody is signed in; on a fresh install, on to the first page."""

    template_name = "sign_in.html"
    authentication_form = SignInForm

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if nobody_yet():
            return redirect("setup")
        return super().dispatch(request, *args, **kwargs)

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if is_sprayed(request, request.POST.get("username", "")):
            return _held_up(request)
        return super().post(request, *args, **kwargs)

    def form_valid(self, form: Any) -> HttpResponse:
        user = form.get_user()
        if not has_code(user):
            response = super().form_valid(form)
            make_known(self.request, response, user)
            return response
        self.request.session["half"] = {
            "user": user.pk,
            # A password changed meanwhile makes this half worthless too.
            "hash": user.get_session_auth_hash(),
            "at": int(time.time()),
            "next": self.get_success_url(),
            "wrong": 0,
        }
        return redirect("sign-in-code")


def _held_up(request: HttpRequest) -> HttpResponse:
    _log.warning("sign-in held up after wrong passwords for many names from one address")
    minutes = int(settings.AXES_COOLOFF_TIME.total_seconds()) // 60
    context = {"minutes": minutes, "place": True}
    return render(request, "sign_in_later.html", context, status=429)


@login_not_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in_code(request: HttpRequest) -> HttpResponse:
    """The second half of a sign-in."""
    half = request.session.get("half", {})
    user = _half_signed_in(half)
    if user is None:
        request.session.pop("half", None)
        return redirect("sign-in")
    form = CodeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        found = take_code(user, form.cleaned_data["code"])
        if found:
            del request.session["half"]
            login(request, user, backend=MODEL_BACKEND)
            if found == "recovery":
                left = recovery_codes_left(user)
                messages.warning(request, f"That recovery code is used up; {left} are left.")
            response = redirect(half["next"])
            make_known(request, response, user)
            return response
        half["wrong"] += 1
        request.session["half"] = half
        if half["wrong"] >= MOST_CODES:
            del request.session["half"]
            messages.error(request, "Too many wrong codes: begin again with your password.")
            return redirect("sign-in")
        form.add_error(
            "code",
            "This is not the present code, or it was used already: wait for the next one in the app.",
        )
    status = 422 if form.errors else 200
    return render(request, "sign_in_code.html", {"form": form}, status=status)


def _half_signed_in(half: dict[str, Any]) -> User | None:
    """Whose password was right a moment ago; None if it is too long ago or no longer counts."""
    if not half or time.time() - half["at"] > HALF_LASTS:
        return None
    user = User.objects.filter(pk=half["user"], is_active=True).first()
    if user is None or not constant_time_compare(half["hash"], user.get_session_auth_hash()):
        return None
    return user
