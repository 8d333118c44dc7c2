"""Requests as a list, and what one is besides its openings: whose call it is, and whether anything came of it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from quotes.desk.holding import ErasedError
from quotes.desk.people import choose_customer
from quotes.desk.requests import put_aside, take_up
from quotes.find_forms import RequestsFind
from quotes.lists.pages import REQUESTS
from quotes.lists.people import find_customers, likely_callers
from quotes.lists.requests import requests_asked_for
from quotes.models import Customer, Request
from quotes.views.quotes import to_quote
from sizing.lists import show
from sizing.numerals import whole_number

MOST_SHOWN = 20


@require_safe
def requests(request: HttpRequest) -> HttpResponseBase:
    """Requests, newest first, found by any scrap."""
    find = RequestsFind(request.GET)
    return show(request, "quotes/requests.html", find, (REQUESTS, requests_asked_for(find.said)))


@require_http_methods(["GET", "HEAD", "POST"])
def request_customer(request: HttpRequest, pk: int) -> HttpResponse:
    """Whose call it is: one of those it may be, found by any scrap, or somebody new. With `quote` in the
    address it was asked on the way to one, and goes on there."""
    stored = get_object_or_404(Request.objects.select_related("customer"), pk=pk)
    if request.method == "POST":
        said = request.POST.get("customer", "")
        key, chosen = whole_number(said), None
        if key is not None:
            chosen = get_object_or_404(Customer, pk=key, merged_into=None)
        by = request.user.get_username()
        try:
            done = choose_customer(pk, chosen.pk if chosen else None, by, is_new=said == "new")
        except ErasedError as error:
            messages.error(request, str(error))
            return redirect("request-customer", pk)
        whose = f"the call of {done.customer}" if done.customer else "nobody's call yet"
        messages.success(request, f"Request {pk} is {whose}.")
        return to_quote(request, done) if "quote" in request.GET else redirect("request", pk)
    scrap = request.GET.get("q", stored.caller).strip()[:200]
    likely = [] if stored.customer else likely_callers(stored)
    every = find_customers(scrap).exclude(pk__in=[one.customer.pk for one in likely])
    found = every.prefetch_related("contacts")[:MOST_SHOWN] if scrap else []
    context = {"stored": stored, "scrap": scrap, "found": found, "likely": likely}
    return render(request, "quotes/request_customer.html", context)


@require_POST
def request_aside(request: HttpRequest, pk: int) -> HttpResponse:
    """Nothing came of it, or something did after all."""
    get_object_or_404(Request, pk=pk)
    if request.POST.get("do") == "again":
        take_up(pk)
        messages.success(request, f"Request {pk} is a call to finish again.")
    else:
        put_aside(pk, request.user.get_username())
        messages.success(request, f"Request {pk} is put aside: nothing came of it.")
    return redirect("request", pk)
