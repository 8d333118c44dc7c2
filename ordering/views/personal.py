"""What is held on one customer: taken out as JSON or a workbook, or erased while the books stay."""

from __future__ import annotations

import logging

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from ordering.events import ErasingError, erase_customer
from ordering.events.erasing import hindrances
from ordering.lists.personal import as_json, as_workbook, held_of
from quotes.erased import GOES, STAYS
from quotes.models import Customer, Erasure
from quotes.views.own import proven_first
from sizing.columns import XLSX
from sizing.downloads import as_file

_log = logging.getLogger("desk.sign_ins")

FILES = {"json": (as_json, "application/json"), "xlsx": (as_workbook, XLSX)}


@never_cache
@require_safe
@proven_first("customer-data")
def data(request: HttpRequest, pk: int) -> HttpResponse:
    """How much of what there is, and what erasing would take; `as=json` or `as=xlsx` gives all of it."""
    customer = get_object_or_404(Customer, pk=pk)
    wanted = request.GET.get("as")
    if wanted in FILES:
        write, kind = FILES[wanted]
        _log.info(
            "customer's data taken out", extra={"facts": {"customer": pk, "user": request.user.pk}}
        )
        return as_file(f"customer-{pk}.{wanted}", write(customer), kind)
    context = {
        "customer": customer,
        "held": [(words, len(rows)) for words, rows in held_of(customer)],
        "erasure": Erasure.objects.filter(customer=customer).first(),
        "hindrances": hindrances(customer),
        "goes": GOES,
        "stays": STAYS,
    }
    return render(request, "ordering/customer_data.html", context)


@require_POST
@proven_first("customer-data")
def erase(request: HttpRequest, pk: int) -> HttpResponse:
    """Erases for good, once it was said in so many words."""
    customer = get_object_or_404(Customer, pk=pk)
    if request.POST.get("sure") != "yes":
        messages.error(request, "Nothing was erased: tick that you are sure first.")
        return redirect("customer-data", pk)
    try:
        erase_customer(customer.pk, request.user.get_username())
    except ErasingError as error:
        messages.error(request, str(error))
    else:
        _log.warning("customer erased", extra={"facts": {"customer": pk, "user": request.user.pk}})
        messages.success(request, "Erased. Numbers, dates, parts and amounts stay in the books.")
    return redirect("customer-data", pk)
