"""The first run: one page for the shop and its owner, then a choice of what to begin with."""

from __future__ import annotations

from io import StringIO

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.core.management import call_command
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from quotes.desk.shop import SetUpError, keep_shop, set_up
from quotes.forms.staff import AccountForm, ShopForm
from quotes.lists.first_steps import first_steps
from quotes.lists.shop import nobody_yet, the_shop
from quotes.logo import LogoError, read_logo
from quotes.models import Shop
from quotes.views.sign_in import MODEL_BACKEND
from sizing.models import Family


@login_not_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def setup(request: HttpRequest) -> HttpResponse:
    """The shop's facts and the first user. Once somebody can sign in, this page is closed for ever."""
    if not nobody_yet():
        return redirect("home")
    shop = ShopForm(request.POST or None, instance=Shop())
    account = AccountForm(request.POST or None)
    if request.method == "POST" and all([shop.is_valid(), account.is_valid()]):
        try:
            user = set_up(shop.cleaned_data, account.account)
        except SetUpError as error:
            messages.error(request, str(error))
            return redirect("sign-in")
        login(request, user, backend=MODEL_BACKEND)
        return redirect("begin")
    status = 422 if shop.errors or account.errors else 200
    return render(
        request, "quotes/setup.html", {"shop_form": shop, "account": account}, status=status
    )


@require_http_methods(["GET", "HEAD", "POST"])
def begin(request: HttpRequest) -> HttpResponse:
    """What to begin with: own workbooks or the demo scenario; and what the shop still lacks."""
    empty = not Family.objects.exists()
    if request.method == "POST":
        if not empty:
            messages.info(request, "There are size tables already, so the demo was not loaded.")
        else:
            call_command("demo", "--without-people", stdout=StringIO())
            messages.success(request, "The demo scenario is loaded: look round.")
        return redirect("home")
    return render(request, "quotes/begin.html", {"empty": empty, "steps": first_steps()})


@require_POST
def shop_logo(request: HttpRequest) -> HttpResponse:
    """Take a picture as the shop's logo, or none any more."""
    sent = request.FILES.get("logo")
    if "none" in request.POST:
        keep_shop({"logo": ""})
        messages.success(request, "The logo is gone.")
    elif sent is None:
        messages.error(request, "Choose a picture first: a PNG or a JPEG.")
    else:
        try:
            keep_shop({"logo": read_logo(sent.read())})
        except LogoError as error:
            messages.error(request, str(error))
        else:
            messages.success(request, "The logo is kept; quotes and links show it from now on.")
    return redirect("shop")


@require_http_methods(["GET", "HEAD", "POST"])
def shop(request: HttpRequest) -> HttpResponse:
    """The shop's facts, for its owner to keep up."""
    form = ShopForm(request.POST or None, instance=the_shop())
    if request.method == "POST" and form.is_valid():
        keep_shop(form.cleaned_data)
        messages.success(request, "The shop is saved. Papers already issued stay as they are.")
        return redirect("shop")
    return render(request, "quotes/shop.html", {"form": form}, status=422 if form.errors else 200)
