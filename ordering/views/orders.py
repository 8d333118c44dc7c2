"""Orders: the list, and one order with all that may be done to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import partial
from typing import Any

from django.contrib import messages
from django.db.models import prefetch_related_objects
from django.http import HttpRequest, HttpResponse, HttpResponseBase, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from ordering import events
from ordering.find_forms import OrdersFind
from ordering.forms import AgainForm, DepositForm, FormError, count_of, day_of
from ordering.links import page_of
from ordering.lists.lately import ordered_beside
from ordering.lists.money import breaks_lost, freight_changed, owed
from ordering.lists.narrowed import orders_asked_for
from ordering.lists.orders import (
    LineView,
    about,
    history,
    line_views,
    lines_to_send,
    misses,
    waiting_quotes,
)
from ordering.lists.pages import ORDERS, TO_PLACE
from ordering.logged import last_of
from ordering.models import Event, Notice, Order, OrderLine
from ordering.notices import Kind
from ordering.replay import open_acts, standing
from ordering.states import COUNTED, MAY, STAYS, Act, Cause, NotAllowed
from ordering.views.people import who_is
from quotes.desk.holding import nothing_new
from quotes.documents.content import show_price
from quotes.lists.people import nearly
from quotes.models import Customer
from sizing.lists import show
from sizing.numerals import whole_numbers
from sizing.roles import has_role
from sizing.typed import typed

# What a page may write of one line with a count, a day and a reason.
LINE_ACTS = (Act.MAKING, Act.LEFT, Act.ARRIVED, Act.HANDED, Act.HELD, Act.RELEASED)


@require_safe
def orders(request: HttpRequest) -> HttpResponseBase:
    """Open orders, or those that hold a scrap; accepted quotes that wait to be placed stand first."""
    find = OrdersFind(request.GET)
    asked = find.said["q"] or find.narrows
    return show(
        request,
        "ordering/orders.html",
        find,
        (ORDERS, orders_asked_for(find.said)),
        (TO_PLACE, waiting_quotes()),
        asked=asked,
        nearly=partial(nearly, find.said["q"]),
        to_send=0 if asked else lines_to_send().count(),
        may_write=has_role(request.user, "counter", "manager"),
        may_edit=has_role(request.user, "manager"),
    )


@require_safe
def order(request: HttpRequest, pk: int) -> HttpResponse:
    # Whether they were erased comes with the customer.
    found = Order.objects.select_related("customer__erasure")
    return _page(request, get_object_or_404(found, pk=pk))


def _page(
    request: HttpRequest, order: Order, status: int = 200, trouble: str = "", **extra: Any
) -> HttpResponse:
    who = who_is(request)
    views = line_views(order)
    owing = owed(order, views)
    erased, of_desk = hasattr(order.customer, "erasure"), who.role in MAY[Act.DEPOSIT]
    prefetch_related_objects([order], "events__notices")
    lines = [
        {
            "view": view,
            "acts": _acts(view, who.role, extra),
            "made": view.state.can_be_made_again,
            "letter": _refusal_letter(view) if view.refused else None,
        }
        for view in views
    ]
    context = {
        "order": order,
        "lines": lines,
        "owed": owing,
        "breaks_lost": breaks_lost(order, views),
        "freight_changed": freight_changed(order, views),
        "misses": misses(order, views),
        "to_settle": order.deposit_paid
        and not any(view.state.going for view in views)
        and (owing is None or owing.to_pay_back > 0),
        "lately": ordered_beside(order, (view.line for view in views)),
        "history": history(order),
        "link": page_of(order),
        "trouble": trouble,
        "today": timezone.localdate(),
        "erased": nothing_new(order.customer_id) if erased else "",
        "may_write": of_desk and not (erased and not order.is_open),
        "may_book": of_desk,
        # Who reads no mail, or none of this, is called.
        "may_be_told": of_desk and order.email and Kind.REFUSED not in order.unwanted,
        "stays": [act.value for act in STAYS],
        "causes": Cause.choices(),
        "contacts": order.customer.contacts.all(),
        "due": order.deposit_due - order.deposit_paid,
        "to_cancel": _to_cancel(lines, who.role, extra.get("cancelling")),
        **extra,
    }
    return render(request, "ordering/order.html", context, status=status)


def _refusal_letter(view: LineView) -> Notice | None:
    """The letter to the customer that a line can't be made, once it is written."""
    refusal = last_of(standing(view.line.order.events.all()), Act.REFUSED, view.line.number)
    told = refusal.notices.all() if refusal else ()
    return next((notice for notice in told if notice.kind == Kind.REFUSED), None)


def _acts(view: Any, role: str, typed: Mapping[str, Any]) -> list[dict[str, Any]]:
    """What can be written of a line, with what was typed of it if it was refused."""
    refused = typed["typed"] if typed.get("acted") == view.line.number else {}
    most = {
        Act.LEFT: view.state.going - view.state.left,
        Act.ARRIVED: view.state.to_arrive,
        Act.HANDED: view.state.ready,
    }
    return [
        {
            "act": act,
            "most": most.get(act, 0),
            "reason": act is Act.HELD,
            "typed": refused if refused.get("act") == act else None,
        }
        for act in open_acts(view.state, role)
        if act in LINE_ACTS
    ]


def _to_cancel(
    lines: list[dict[str, Any]], role: str, posted: QueryDict | None
) -> dict[str, Any] | None:
    """The lines of which something is left to cancel, with what was ticked of them; those that this role has
    to leave to the manager; and whether one is being made. None: nothing is left to cancel.

    Of several none is ticked unasked: whoever cancels one of them would cancel the rest with it.
    """
    open_, others, made = [], [], False
    for view in (one["view"] for one in lines):
        number = view.line.number
        if Act.CANCELLED in open_acts(view.state, role):
            ticked = posted is not None and str(number) in posted.getlist("line")
            most = view.state.can_be_cancelled
            count = most if posted is None else posted.get(f"count-{number}", most)
            open_.append({"view": view, "ticked": ticked, "count": count})
            made = made or view.state.is_begun
        elif view.state.can_be_cancelled and role in MAY[Act.CANCELLED]:
            others.append(number)
    if posted is None and len(open_) == 1:
        open_[0]["ticked"] = True
    return {"lines": open_, "others": others, "made": made} if open_ or others else None


@require_POST
def line_act(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """Write what happened to one line: the act, how many, on which day, why."""
    line = get_object_or_404(OrderLine.objects.select_related("order"), order=pk, number=number)
    try:
        act = Act(request.POST.get("act", ""))
        if act not in LINE_ACTS:
            raise ValueError
    except ValueError:
        return _page(request, line.order, 422, "Choose what happened to the line.")
    try:
        count = count_of(request.POST, "count", "How many") if act in COUNTED else line.going
        events.write(
            pk,
            act,
            {number: count},
            who_is(request),
            on=day_of(request.POST, "on", "The day"),
            why=typed(request.POST, "why"),
            seen={number: count_of(request.POST, "version", "The page")},
        )
    except (NotAllowed, FormError) as problem:
        return _page(request, line.order, 422, str(problem), typed=request.POST, acted=number)
    except events.StaleError as problem:
        return _page(request, line.order, 409, str(problem), typed=request.POST, acted=number)
    messages.success(request, f"Line {number}: {act.words.lower()}.")
    return redirect("order", pk)


@require_POST
def cancel(request: HttpRequest, pk: int) -> HttpResponse:
    """Cancel what has not left of the ticked lines; factories and, if wanted, the customer are told."""
    order = get_object_or_404(Order.objects.select_related("customer"), pk=pk)
    said = request.POST
    numbers = whole_numbers(said.getlist("line"))
    try:
        counts = {
            n: count_of(said, f"count-{n}", f"How many of line {n}")
            for n in numbers
            if f"count-{n}" in said
        }
        seen = {number: count_of(said, f"version-{number}", "The page") for number in numbers}
        event = events.cancel(
            pk, numbers, said.get("why", ""), who_is(request),
            tells="known" not in said, no_return="no_return" in said, counts=counts, seen=seen,
        )  # fmt: skip
    except (NotAllowed, FormError) as problem:
        return _page(request, order, 422, str(problem), cancelling=said)
    except events.StaleError as problem:
        return _page(request, order, 409, str(problem), cancelling=said)
    said = f"Cancelled: {about(event)}."
    messages.success(request, " ".join([said, *_told(event, order.customer)]))
    return redirect("order", pk)


def _told(event: Event, customer: Customer) -> Iterator[str]:
    """Who is written to about an event, and who has to be called."""
    for notice in event.notices.select_related("factory_order__factory"):
        sent = notice.factory_order
        if not notice.to:
            yield f"Call {sent.factory if sent else customer}: {Kind(notice.kind).words.lower()}."
        elif notice.kind == Kind.RESUMED:
            yield f"{sent.factory} is asked to go on."
        else:
            yield f"{sent.factory} is asked to stop." if sent else f"{customer} is written to."


@require_POST
def again(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """Have pieces of a line made a second time."""
    line = get_object_or_404(OrderLine.objects.select_related("order"), order=pk, number=number)
    form, typed = AgainForm(request.POST), {"remaking": request.POST, "remade": number}
    if not form.is_valid():
        said = " ".join(error for errors in form.errors.values() for error in errors)
        return _page(request, line.order, 422, f"Making line {number} again: {said}", **typed)
    said = form.cleaned_data
    try:
        new = events.make_again(
            line.pk, said["count"], Cause(said["cause"]), said["why"], who_is(request),
            tells="known" not in request.POST, seen=count_of(request.POST, "version", "The page"),
        )  # fmt: skip
    except (NotAllowed, FormError) as problem:
        return _page(request, line.order, 422, str(problem), **typed)
    except events.StaleError as problem:
        return _page(request, line.order, 409, str(problem), **typed)
    event = Event.objects.get(order=pk, act=Act.REMADE, data__line=new.number)
    said = f"It is made again as line {new.number}; send it to the factory."
    messages.success(request, " ".join([said, *_told(event, line.order.customer)]))
    return redirect("order", pk)


@require_POST
def deposit(request: HttpRequest, pk: int) -> HttpResponse:
    """Note money that was received, or paid back."""
    order = get_object_or_404(Order.objects.select_related("customer"), pk=pk)
    form, back = DepositForm(request.POST), request.POST.get("do") == "back"
    if not form.is_valid():
        words = "Payment: type the amount as a number with a point, such as 120.50."
        return _page(request, order, 422, words, received=request.POST)
    said = form.cleaned_data
    over = "" if back or "more" in request.POST else _more_than_owed(order, said["amount"])
    if over:
        return _page(request, order, 422, over, received=request.POST, over=True)
    try:
        seen = count_of(request.POST, "version", "The page")
        note = events.pay_back if back else events.take_deposit
        note(pk, said["amount"], said["how"], who_is(request), seen)
    except (NotAllowed, FormError) as problem:
        return _page(request, order, 422, str(problem), received=request.POST)
    except events.StaleError as problem:
        # With the version of now in it: who presses again means it.
        order.refresh_from_db()
        return _page(request, order, 409, str(problem), received=request.POST)
    messages.success(request, "It is noted as paid back." if back else "The payment is noted.")
    return redirect("order", pk)


def _more_than_owed(order: Order, amount: Decimal) -> str:
    """What is asked before more is noted than the order comes to: a slip of the point is soon typed."""
    owing = owed(order, line_views(order))
    if owing is None or amount <= max(owing.to_pay, 0):
        return ""
    rest = show_price(max(owing.to_pay, Decimal(0)), order.currency)
    return (
        f"Payment: {show_price(amount, order.currency)} {order.currency} is more than the {rest} still to pay. "
        "Mend the amount, or tick that so much was received."
    )


@require_POST
def refused(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """Write to the customer that the factory can't make a line."""
    order = get_object_or_404(Order.objects.select_related("customer"), pk=pk)
    words = typed(request.POST, "words")
    try:
        events.tell_refused(pk, number, words, who_is(request))
    except NotAllowed as problem:
        return _page(request, order, 422, str(problem), offering=words, offered=number)
    messages.success(
        request, f"{order.customer} is written to. Call them all the same if it presses."
    )
    return redirect("order", pk)


@require_POST
def note(request: HttpRequest, pk: int) -> HttpResponse:
    order = get_object_or_404(Order.objects.select_related("customer"), pk=pk)
    words = typed(request.POST, "why").strip()
    if not words:
        return _page(request, order, 422, "The note is empty: type it first.")
    try:
        events.write(pk, Act.NOTED, {}, who_is(request), why=words)
    except NotAllowed as problem:
        return _page(request, order, 422, str(problem))
    return redirect("order", pk)


@require_POST
def take_back(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    order = get_object_or_404(Order.objects.select_related("customer"), pk=pk)
    try:
        event = events.take_back(pk, number, typed(request.POST, "why"), who_is(request))
    except NotAllowed as problem:
        return _page(request, order, 422, str(problem))
    said = "It is taken back; the order is what the rest has made of it."
    messages.success(request, " ".join([said, *_told(event, order.customer)]))
    return redirect("order", pk)
