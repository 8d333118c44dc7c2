"""Factory orders: lines gathered and sent, and the page on which a factory answers without signing in."""

from __future__ import annotations

from textwrap import shorten

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from ordering import events
from ordering.described import given_up
from ordering.documents.factory_order import papers_of
from ordering.events import Who
from ordering.find_forms import FactoryOrdersFind, LinesToSendFind
from ordering.forms import FormError, count_of
from ordering.links import find
from ordering.lists.orders import factory_orders, lines_to_send
from ordering.lists.pages import FACTORY_ORDERS, TO_SEND
from ordering.models import FactoryOrder
from ordering.states import NotAllowed
from ordering.views.factory_answers import answering
from ordering.views.people import who_is
from sizing.downloads import as_file
from sizing.lists import show
from sizing.numerals import whole_numbers


def send(request: HttpRequest) -> HttpResponseBase:
    """Lines that wait for a factory; the ticked ones become one factory order for each factory."""
    find = LinesToSendFind(request.GET)
    waiting = lines_to_send()
    if find.said["factory"]:
        waiting = waiting.filter(factory=find.said["factory"])
    lines = list(waiting)
    # Come from one order's page only its lines are ticked; the others are there to be added.
    order = request.GET.get("order", "")
    gone = {line.pk: given_up(line, timezone.localdate()) for line in lines}
    ticked = [line.pk for line in lines if order in ("", str(line.order_id)) and not gone[line.pk]]
    asked: list[int] = []
    trouble = ""
    if request.method == "POST":
        ticked = whole_numbers(request.POST.getlist("line"))
        asked = whole_numbers(request.POST.getlist("asked"))
        seen = {
            line.pk: count_of(request.POST, f"version-{line.pk}", "The page")
            for line in lines
            if f"version-{line.pk}" in request.POST
        }
        try:
            made = events.send_to_factories(
                ticked, who_is(request), request.POST.get("note", ""), seen, asked
            )
        except (NotAllowed, events.StaleError, FormError) as problem:
            trouble = str(problem)
        else:
            _say_sent(request, made)
            return redirect("factory-orders")
    return show(
        request,
        "ordering/send.html",
        find,
        (TO_SEND, lines),
        status=422 if trouble else 200,
        rows=[{"line": line, "gone": gone[line.pk]} for line in lines],
        trouble=trouble,
        ticked=ticked,
        asked=asked,
        note=request.POST.get("note", ""),
    )


def _say_sent(request: HttpRequest, made: list[FactoryOrder]) -> None:
    """What went out by mail, and what only goes when somebody calls."""
    mailed = [f"{order.number} to {order.factory}" for order in made if order.factory.email]
    called = [f"{order.number} to {order.factory}" for order in made if not order.factory.email]
    if mailed:
        messages.success(request, f"Sent: {', '.join(mailed)}.")
    if called:
        messages.warning(
            request,
            f"To be called, as there is no e-mail address: {', '.join(called)}. The paper to read from is on "
            "the page of each, and the watch list keeps it until somebody has called.",
        )


@require_safe
def factory_order_list(request: HttpRequest) -> HttpResponseBase:
    """Factory orders, the newest first."""
    find = FactoryOrdersFind(request.GET)
    found = factory_orders(find.said)
    return show(request, "ordering/factory_orders.html", find, (FACTORY_ORDERS, found))


def factory_order(request: HttpRequest, pk: int) -> HttpResponse:
    """The same page for the desk: what the factory says by phone is written here."""
    order = get_object_or_404(FactoryOrder.objects.select_related("factory"), pk=pk)
    return answering(request, order, who_is(request), "ordering/factory_order.html")


@require_POST
def chase(request: HttpRequest, pk: int) -> HttpResponse:
    try:
        events.chase(pk, who_is(request))
    except NotAllowed as problem:
        messages.error(request, str(problem))
    else:
        messages.success(request, "The factory is asked again.")
    return redirect("watch")


@require_safe
def paper(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    """A factory order's PDF or workbook."""
    order = get_object_or_404(FactoryOrder, pk=pk)
    return as_file(*next(papers_of(order, ["xlsx" if kind == "xlsx" else "pdf"])))


@login_not_required
@never_cache
def public(request: HttpRequest, token: str) -> HttpResponse:
    """The factory's page: give a date, move it, mark what has shipped."""
    order = _found(token)
    name = " ".join(request.POST.get("name", "").split())
    who = Who(
        shorten(f"{name or 'somebody'} of {order.factory.name}", 150, placeholder="…"), "factory"
    )
    return answering(request, order, who, "ordering/factory_public.html")


def _found(token: str) -> FactoryOrder:
    order = find(FactoryOrder, token)
    if order is None:
        raise Http404("There is no factory order at this address.")
    return order


@login_not_required
@never_cache
@require_safe
def public_paper(request: HttpRequest, token: str) -> HttpResponse:
    """The paper that went with the mail, without what was cancelled since: whoever makes the parts has no mail."""
    return as_file(*next(papers_of(_found(token), ["pdf"])))
