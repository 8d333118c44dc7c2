"""What a factory says of its order, on its own page or to somebody at the desk: days, and what has left."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from ordering import events
from ordering.documents.factory_order import openings_of
from ordering.events import Who
from ordering.expected import shut_on
from ordering.forms import FormError, count_of, day_of
from ordering.links import page_of_factory
from ordering.lists.orders import about
from ordering.logged import state_of
from ordering.models import FactoryOrder, OrderLine
from ordering.sentences import at_its_factory
from ordering.states import NotAllowed
from quotes.links import token_of
from quotes.lists.shop import the_shop
from sizing.box_length import too_long
from sizing.numerals import whole_numbers

# Of who answers for a factory.
MOST_NAME = 100


def answering(request: HttpRequest, order: FactoryOrder, who: Who, template: str) -> HttpResponse:
    """The page with the order's lines, by this template; what was posted is written first, in the name of `who`."""
    trouble = ""
    field = ""
    if request.method == "POST":
        try:
            said = _answer(request.POST, order, who)
        except FormError as problem:
            trouble, field = str(problem), problem.field
        except NotAllowed as problem:
            trouble, field = str(problem), problem.box
        except events.StaleError as problem:
            trouble = str(problem)
        else:
            messages.success(request, said)
            return redirect(_next(request, order))
    rows = _rows(order, request.POST if trouble else {})
    proposed = bool(trouble) and _leaves_counts_blank(request.POST, rows)
    if proposed:
        trouble, field = _propose_all(rows), ""
    context = {
        "order": order,
        "rows": rows,
        "any_open": any(row["open"] for row in rows),
        "any_expected": any(row["state"].is_expected for row in rows),
        # Whoever of the desk has the factory on the phone types at once, unless there is something to read first.
        "begins": None
        if trouble or order.said_on or who.role == "factory"
        else next((row["line"].pk for row in rows if row["open"]), None),
        "proposed": proposed,
        "trouble": trouble,
        "trouble_field": field,
        "posted": request.POST if trouble else {},
        "today": timezone.localdate(),
        "shop_name": the_shop().lines[0],
        "link": page_of_factory(order),
        "token": token_of(order.nonce),
    }
    return render(request, template, context, status=422 if trouble else 200)


def _next(request: HttpRequest, order: FactoryOrder) -> str:
    """Where to go once it is written: what takes the place of a line is settled on the customer's order."""
    if request.POST.get("do") != "said":
        return request.path
    line = order.lines.get(pk__in=whole_numbers(_ticked(request.POST))[:1])
    return f"{reverse('order', args=[line.order_id])}#line-{line.number}"


def _rows(order: FactoryOrder, posted: Mapping[str, str]) -> list[dict[str, Any]]:
    """Each line with its state, and in its fields what was typed or what stands."""
    rows = []
    states = {}
    ticked = _ticked(posted)
    lines = order.lines.select_related(
        "order__customer", "part", "quote_line__issue", "remake_of"
    ).order_by("order", "number")
    for line in lines:
        if line.order_id not in states:
            states[line.order_id] = state_of(line.order)
        now = states[line.order_id].lines[line.number]
        waits = now.going - now.left
        stands = now.promised_on.isoformat() if now.promised_on else ""
        rows.append(
            {
                "line": line,
                "state": now,
                "stands_with_them": at_its_factory(now, timezone.localdate()),
                "openings": [] if line.part_number else openings_of(line),
                "waits": waits,
                "open": waits > 0,
                "stands": stands,
                "promised": posted.get(f"date-{line.pk}", stands),
                "count": posted.get(f"count-{line.pk}", ""),
                "proposed": posted.get(f"proposed-{line.pk}", ""),
                "ticked": str(line.pk) in ticked,
            }
        )
    return rows


def _leaves_counts_blank(posted: Mapping[str, str], rows: list[dict[str, Any]]) -> bool:
    """Whether a shipment was sent without any count, of an order that has something to leave."""
    counts = [posted.get(f"count-{row['line'].pk}", "").strip() for row in rows if row["open"]]
    return posted.get("do") == "shipped" and bool(counts) and not any(counts)


def _propose_all(rows: list[dict[str, Any]]) -> str:
    """Fill the boxes with all that is still there, and say so.

    Nothing is taken as shipped that was not on the page as a number when the button was pressed: a
    customer is told that it has left.
    """
    for row in rows:
        if row["open"]:
            row["count"] = row["proposed"] = str(row["waits"])
    pieces = sum(row["waits"] for row in rows)
    return (
        f"Nothing is marked yet, as no count was typed. The boxes now say that all that is still there ({pieces}) "
        "leaves: change what does not, and press “Mark these as shipped”."
    )


def _answer(posted: Mapping[str, str], order: FactoryOrder, who: Who) -> str:
    """Carry out what the page says, whichever of its buttons was pressed; what to say afterwards.

    Somebody types what has left and a new date for the rest, and presses one button: both count.
    """
    if trouble := too_long(posted.get("name", ""), MOST_NAME, "Your name"):
        raise FormError("name", trouble)
    if posted.get("do") == "dealt":
        events.dealt_with(order.pk, posted.get("shown", ""), who)
        return "Kept: what the factory wrote is dealt with. What came since, if anything, stands below."
    if posted.get("do") == "say":
        events.say(order.pk, posted.get("words", ""), who)
        return "Thank you: we have it, and write to you or call."
    lines = list(order.lines.select_related("order"))
    seen = _seen(posted, lines)
    if posted.get("do") == "said":
        (event,) = events.cannot_make_as_said(
            order.pk, whole_numbers(_ticked(posted))[:1], posted.get("shown", ""), who, seen
        )
        return f"Noted: {order.factory} can't make {about(event)}. Settle with the customer what takes its place."
    if posted.get("do") == "cannot":
        events.cannot_make(
            order.pk, whole_numbers(_ticked(posted)), posted.get("cannot_why", ""), who, seen
        )
        return "Thank you: noted that it can't be made."
    do = posted.get("do")
    counts = _counts(posted, lines)
    on = day_of(posted, "on", "The day it left") or timezone.localdate()
    dates = _dates(posted, lines)
    if do == "shipped" and not counts:
        raise NotAllowed("Say how many of which line have left.")
    if do in ("shipped", "have"):
        dates = {pk: day for pk, day in dates.items() if _typed(posted, pk)}
    elif not (dates or counts):
        raise FormError("all", "Give a date for all lines, or for one of them.")
    if do == "have" and not (dates or counts):
        events.acknowledge(order.pk, who)
        return "Thank you: noted that you have the order."
    given, left = events.answer(
        order.pk, who, dates=dates, why=posted.get("why", ""), counts=counts, on=on, seen=seen
    )
    days = {date.fromisoformat(text) for one in given for text in one.data["promised"].values()}
    return f"{_thanks(bool(given), bool(left))} {shut_on(order.factory, days)}".strip()


def _ticked(posted: Mapping[str, str]) -> list[str]:
    """The keys of the lines ticked as what can't be made, as the page sent them."""
    return posted.getlist("cannot") if isinstance(posted, QueryDict) else []


def _seen(posted: Mapping[str, str], lines: list[OrderLine]) -> dict[int, int]:
    """{line's key: its version} as the page had them."""
    return {
        line.pk: count_of(posted, f"version-{line.pk}", "The page")
        for line in lines
        if f"version-{line.pk}" in posted
    }


def _thanks(dated: bool, left: bool) -> str:
    if dated and left:
        return "Thank you: the date and what has left are noted."
    if dated:
        return "Thank you: the date is noted."
    if left:
        return "Thank you: noted what has left."
    return "That date stood already; nothing has changed."


def _counts(posted: Mapping[str, str], lines: list[OrderLine]) -> dict[int, int]:
    """How many of which line have left. What the page proposed counts by the button of shipments alone."""
    said = {line.pk: count_of(posted, f"count-{line.pk}", f"Line {line}") for line in lines}
    return {
        pk: count
        for pk, count in said.items()
        if count and (posted.get("do") == "shipped" or posted.get(f"proposed-{pk}") != str(count))
    }


def _typed(posted: Mapping[str, str], pk: int) -> bool:
    """Whether a line's date was typed: one for all is, its own if it isn't the one that the page came with."""
    own = posted.get(f"date-{pk}", "")
    return bool(posted.get("all", "").strip()) or own != posted.get(f"stood-{pk}", own)


def _refused(lines: list[OrderLine]) -> set[int]:
    states = {line.order_id: state_of(line.order) for line in lines}
    return {line.pk for line in lines if states[line.order_id].lines[line.number].is_refused}


def _dates(posted: Mapping[str, str], lines: list[OrderLine]) -> dict[int, date]:
    """A line's own date, or the one for all."""
    for_all = day_of(posted, "all", "The date for all lines")
    # Whoever has said that a line can't be made does not take that back by a date for the others.
    refused = _refused(lines) if for_all else set()
    found = {}
    for line in lines:
        if line.left_on or not line.is_open:
            continue
        own = day_of(posted, f"date-{line.pk}", f"Line {line}")
        # A date typed for all counts wherever the line's own field was left as it stood.
        stands = own is not None and own == line.promised_on
        goes_along = for_all and line.pk not in refused and (own is None or stands)
        wanted = for_all if goes_along else own
        if wanted:
            found[line.pk] = wanted
    return found
