"""One's own sign-in: the code besides the password, recovery codes, where one is signed in.

What changes how somebody signs in asks for the password again, unless it was typed in the last ten
minutes (`proven_first`).
"""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import wraps
from typing import Any

import segno
from django.contrib import messages
from django.contrib.auth import authenticate
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import NoReverseMatch, reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django_otp.plugins.otp_totp.models import default_key

from quotes.desk import sign_ins as desk
from quotes.forms.own import FirstCodeForm, PasswordAgainForm
from quotes.lists.shop import the_shop

PROOF_LASTS = 600

View = Callable[..., HttpResponse]


def is_proven(request: HttpRequest) -> bool:
    """Whether this session's owner has typed their password in the last ten minutes."""
    return time.time() - request.session.get("proved", 0) < PROOF_LASTS


def prove(request: HttpRequest, password: str) -> bool:
    """Whether this is the password of whoever is signed in; wrong ones count as at sign-in."""
    if not password:
        return False
    user = authenticate(request, username=request.user.get_username(), password=password)
    if user is None or user.pk != request.user.pk:
        return False
    request.session["proved"] = int(time.time())
    return True


def proven_first(back: str) -> Callable[[View], View]:
    """A view that asks for the password first; `back` is the page to go on from afterwards.

    A page with a number in its address is gone back to by the same number.
    """

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if is_proven(request):
                return view(request, *args, **kwargs)
            request.session["proving_for"] = _page(back, kwargs)
            return redirect("own-again")

        return guarded

    return guard


def _page(name: str, kwargs: dict[str, Any]) -> str:
    try:
        return reverse(name, kwargs=kwargs)
    except NoReverseMatch:
        return reverse(name)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def again(request: HttpRequest) -> HttpResponse:
    """The password once more, before something that matters."""
    form = PasswordAgainForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        if prove(request, form.cleaned_data["password"]):
            messages.info(
                request, "Thank you. Please go on; you are not asked again for ten minutes."
            )
            return redirect(request.session.pop("proving_for", "own"))
        form.add_error("password", "This is not your password: type it again.")
    return render(
        request, "quotes/own_again.html", {"form": form}, status=422 if form.errors else 200
    )


@never_cache
@require_safe
def own(request: HttpRequest) -> HttpResponse:
    """What there is to one's sign-in."""
    context = {
        "has_code": desk.has_code(request.user),
        "must": desk.must_have_code(request.user),
        "left": desk.recovery_codes_left(request.user),
        "sign_ins": desk.open_sign_ins(request.user),
        "here": request.session.session_key,
    }
    return render(request, "quotes/own.html", context)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@proven_first("own-code")
def code(request: HttpRequest) -> HttpResponse:
    """Takes an app into use: a picture to scan, then a first code; the recovery codes are shown once."""
    if desk.has_code(request.user):
        return redirect("own")
    key = request.session.setdefault("code_key", default_key())
    form = FirstCodeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        made = desk.turn_on(request.user, key, form.cleaned_data["code"])
        if made:
            del request.session["code_key"]
            request.session["needs_code"] = False
            return render(request, "quotes/own_codes.html", {"codes": made, "fresh": True})
        form.add_error(
            "code",
            "This is not the app's present code: check that the phone's clock is right and type the next one.",
        )
    address = desk.app_address(request.user, key, the_shop().name)
    context = {
        "form": form,
        "picture": segno.make(address, error="m").svg_data_uri(scale=5, border=4, light="white"),
        "secret": desk.secret_words(request.user, key),
        "must": request.session.get("needs_code"),
    }
    return render(request, "quotes/own_code.html", context, status=422 if form.errors else 200)


@require_POST
@proven_first("own")
def code_off(request: HttpRequest) -> HttpResponse:
    """No code any more, unless the shop asks for one."""
    if desk.must_have_code(request.user):
        messages.error(request, "The shop asks people in your role for a code: it stays on.")
    else:
        desk.turn_off(request.user, request.user)
        messages.success(request, "Your password alone signs you in from now on.")
    return redirect("own")


@never_cache
@require_POST
@proven_first("own")
def recovery(request: HttpRequest) -> HttpResponse:
    """New recovery codes, shown this once."""
    if not desk.has_code(request.user):
        return redirect("own-code")
    made = desk.new_recovery_codes(request.user)
    return render(request, "quotes/own_codes.html", {"codes": made})


@require_POST
@proven_first("own")
def elsewhere(request: HttpRequest) -> HttpResponse:
    """Ends one's sign-ins everywhere but here."""
    count = desk.end_sign_ins(request.user, but=request.session.session_key)
    messages.success(
        request, f"Signed out everywhere else: {count} ended. You stay signed in here."
    )
    return redirect("own")
