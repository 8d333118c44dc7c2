"""Placing an order: of an accepted quote, or typed by hand without one."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from ordering import events
from ordering.forms import HandOrderForm
from ordering.lists.lately import ordered_lately
from ordering.views.people import who_is
from quotes.lists.people import find_customers
from quotes.models import Customer
from sizing.numerals import whole_number


@require_POST
def place(request: HttpRequest, quote: int) -> HttpResponse:
    """The order of an accepted quote; pressed twice it is still one."""
    try:
        order = events.place_from_quote(quote, who_is(request))
    except events.PlacingError as problem:
        messages.error(request, str(problem))
        return redirect("orders")
    messages.success(request, f"{order} is placed.")
    return redirect("order", order.pk)


def by_hand(request: HttpRequest) -> HttpResponse:
    """An order without a quote: first the customer, then the lines."""
    typed = request.POST if request.method == "POST" else request.GET
    customer = _customer_of(typed.get("customer", ""))
    if request.method != "POST" and customer is None:
        scrap = request.GET.get("q", "")[:200]
        found = find_customers(scrap).prefetch_related("contacts")[:20] if scrap.strip() else []
        return render(request, "ordering/by_hand_who.html", {"scrap": scrap, "found": found})
    form = HandOrderForm(request.POST or None, customer=customer)
    if request.method == "POST" and form.is_valid():
        try:
            order = events.place_by_hand(
                form.cleaned_data["customer"].pk, form.lines(), who_is(request),
                page=form.cleaned_data["page"], ship_to=form.cleaned_data["ship_to"],
                needed_by=form.cleaned_data["needed_by"], note=form.cleaned_data["note"],
                their_number=form.cleaned_data["their_number"],
            )  # fmt: skip
        except events.PlacingError as problem:
            form.add_error(None, str(problem))
        else:
            messages.success(request, f"{order} is placed.")
            return redirect("order", order.pk)
    shown = {"form": form, "customer": customer}
    if customer:
        shown["lately"] = ordered_lately(customer.pk)
    status = 422 if form.errors else 200
    return render(request, "ordering/by_hand.html", shown, status=status)


def _customer_of(typed: str) -> Customer | None:
    key = whole_number(typed)
    return None if key is None else Customer.objects.filter(pk=key).first()
