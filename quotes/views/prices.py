"""The prices page: terms, quantity breaks, freight, tax and margins, each dated; for the manager."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from quotes.days import short_date
from quotes.desk import prices as desk
from quotes.find_forms import PricesFind
from quotes.forms.prices import BreaksForm, FreightForm, MarginForm, TaxForm, TermsForm
from quotes.lists.price_pages import PRICES
from quotes.lists.prices import dated
from quotes.lists.shop import the_shop
from quotes.models import FreightStep, MarginRule, QuantityBreak, TaxRate, Terms
from sizing.lists import show

_FORMS: dict[str, type[forms.BaseForm]] = {
    "terms": TermsForm,
    "breaks": BreaksForm,
    "freight": FreightForm,
    "tax": TaxForm,
    "margins": MarginForm,
}
_ROWS = {
    "terms": Terms,
    "breaks": QuantityBreak,
    "freight": FreightStep,
    "tax": TaxRate,
    "margins": MarginRule,
}


def prices(request: HttpRequest) -> HttpResponseBase:
    """Everything dated there is; a post adds what its form holds."""
    kind = request.POST.get("kind", "")
    usual = _usual()
    made = {name: form(prefix=name, initial=usual) for name, form in _FORMS.items()}
    if request.method == "POST" and kind in _FORMS:
        form = made[kind] = _FORMS[kind](request.POST, prefix=kind)
        if form.is_valid():
            try:
                _add(kind, form)
            except desk.PriceError as error:
                form.add_error(None, str(error))
            else:
                messages.success(request, "It is stored; quotes take it from its day on.")
                return redirect("prices")
    find = PricesFind(request.GET)
    return show(
        request,
        "quotes/prices.html",
        find,
        *zip(PRICES, dated(find.said["on"]).values(), strict=True),
        status=422 if any(form.errors for form in made.values()) else 200,
        today=timezone.localdate(),
        forms=made,
        wrong=[form for form in made.values() if form.errors],
    )


def _usual() -> dict[str, Any]:
    """What a blank form begins with: today, and the shop's own country, currency and unit."""
    shop = the_shop()
    return {
        "in_force_from": timezone.localdate(),
        "country": shop.country,
        "currency": shop.currency,
        "unit": shop.unit,
    }


def _add(kind: str, form: Any) -> None:
    said = form.cleaned_data
    if kind == "terms":
        desk.add_terms(form.save(commit=False))
    elif kind == "tax":
        desk.add_tax_rate(form.save(commit=False))
    elif kind == "margins":
        desk.add_margin(form.save(commit=False))
    elif kind == "breaks":
        desk.add_breaks(said["family"], said["in_force_from"], said["steps"])
    else:
        desk.add_freight_list(
            said["carrier"], said["currency"], said["in_force_from"], said["steps"]
        )


@require_POST
def price_back(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Take back what counts from today or from a later day on, a list as a whole."""
    if kind not in _ROWS:
        raise Http404
    row = get_object_or_404(_ROWS[kind], pk=pk)
    try:
        gone = desk.take_back(row)
    except desk.PriceError as error:
        messages.error(request, str(error))
    else:
        lines = f", all {gone} lines of the list" if gone > 1 else ""
        messages.success(
            request, f"Taken back: {row.list_name}, from {short_date(row.in_force_from)}{lines}."
        )
    return redirect("prices")
