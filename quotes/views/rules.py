"""What the owner decides of everybody's sign-in: who needs a code, how long it waits, a lost phone."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from quotes.desk import sign_ins as desk
from quotes.desk.shop import keep_shop
from quotes.forms.own import RulesForm
from quotes.lists.shop import the_shop
from quotes.views.own import proven_first


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@proven_first("rules")
def rules(request: HttpRequest) -> HttpResponse:
    """Codes, idle sign-ins, and how long words are kept."""
    form = RulesForm(request.POST or None, instance=the_shop())
    if request.method == "POST" and form.is_valid():
        keep_shop(form.cleaned_data)
        ended = desk.ask_for_codes(but=request.user)
        request.session["needs_code"] = desk.lacks_code(request.user)
        words = f" {ended} sign-ins ended: their people set up a code first." if ended else ""
        messages.success(request, f"The rules are saved.{words}")
        return redirect("rules")
    return render(request, "quotes/rules.html", {"form": form}, status=422 if form.errors else 200)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@proven_first("staff")
def staff_code_off(request: HttpRequest, pk: int) -> HttpResponse:
    """Takes the code off for somebody whose phone is lost."""
    user = get_object_or_404(User, pk=pk)
    name = user.get_full_name() or user.get_username()
    if request.method == "POST":
        desk.turn_off(user, request.user)
        messages.success(request, f"{name} signs in with the password alone now.")
        return redirect("staff")
    context = {"person": name, "must": desk.must_have_code(user)}
    return render(request, "quotes/staff_code_off.html", context)
