"""Customers: found, edited, merged."""

from __future__ import annotations

from functools import partial

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from quotes.desk.holding import ErasedError
from quotes.desk.people import MergeError, merge_customers, save_customer
from quotes.find_forms import CustomersFind
from quotes.forms.people import CustomerForm, address_forms, contact_forms
from quotes.lists.pages import CUSTOMERS, THEIR_QUOTES
from quotes.lists.people import find_customers, likely_doubles, nearly
from quotes.lists.shop import the_shop
from quotes.models import Customer
from sizing.lists import Shown, show


@require_safe
def customers(request: HttpRequest) -> HttpResponseBase:
    """Customers by name, found by any scrap."""
    find = CustomersFind(request.GET)
    found = find_customers(find.said["q"])
    if find.said["kind"]:
        found = found.filter(kind=find.said["kind"])
    # Asked by the page only where nobody is found.
    return show(
        request,
        "quotes/customers.html",
        find,
        (CUSTOMERS, found),
        nearly=partial(nearly, find.said["q"]),
    )


def customer(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """One customer, or a new one; saved by a post."""
    stored = get_object_or_404(Customer, pk=pk) if pk else Customer(unit=the_shop().unit)
    if stored.merged_into:
        messages.info(request, f"{stored.name} was merged into {stored.merged_into}.")
        return redirect("customer", stored.merged_into_id)
    data = request.POST if request.method == "POST" else None
    form = CustomerForm(data, instance=stored)
    contacts, addresses = contact_forms(stored, data), address_forms(stored, data)
    # Each is asked by itself, so that every problem shows at once.
    valid = (
        [part.is_valid() for part in (form, contacts, addresses)] if data is not None else [False]
    )
    if all(valid):
        kept = form.save(commit=False)
        people, places = contacts.save(commit=False), addresses.save(commit=False)
        gone = [*contacts.deleted_objects, *addresses.deleted_objects]
        try:
            save_customer(kept, people, places, gone)
        except ErasedError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"{kept.name} is saved.")
            return redirect("customer", kept.pk)
    shown = {
        "form": form,
        "contacts": contacts,
        "addresses": addresses,
        "stored": Customer.objects.get(pk=pk) if pk else None,
        "doubles": likely_doubles(stored) if pk else [],
        "quotes": Shown(THEIR_QUOTES, stored.quotes.order_by("-id")) if pk else None,
        "merges": stored.merges.all() if pk else [],
    }
    status = 422 if data is not None else 200
    return render(request, "quotes/customer.html", shown, status=status)


@require_safe
def customer_double(request: HttpRequest, pk: int, other: int) -> HttpResponse:
    """Two customers side by side, before they are merged."""
    pair = [get_object_or_404(Customer, pk=key, merged_into=None) for key in (pk, other)]
    return render(
        request, "quotes/customer_double.html", {"pair": pair, "kept": pair[0], "gone": pair[1]}
    )


@require_POST
def customer_merge(request: HttpRequest, pk: int, other: int) -> HttpResponse:
    """Merge `other` into `pk`."""
    try:
        kept = merge_customers(pk, other, request.user.get_username())
    except MergeError as error:
        messages.error(request, str(error))
        return redirect("customer", pk)
    messages.success(request, f"Merged into {kept.name}; nothing was lost.")
    return redirect("customer", kept.pk)
