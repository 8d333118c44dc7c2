"""A factory's calendar: the manager writes down when it is shut and what it is short of."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from ordering import events
from ordering.expected import forget
from ordering.forms import FormError, day_of
from ordering.states import NotAllowed
from ordering.views.people import who_is
from sizing.models import Factory
from sizing.numerals import whole_number


def factory_calendar(request: HttpRequest, pk: int) -> HttpResponse:
    """What stands, and a form for each kind; what was typed stays where it can't be taken."""
    factory = get_object_or_404(Factory, pk=pk)
    trouble = field = ""
    if request.method == "POST":
        try:
            said = _write(request, factory)
        except FormError as problem:
            trouble, field = str(problem), problem.field
        except NotAllowed as problem:
            trouble = str(problem)
        else:
            forget()
            messages.success(request, said)
            return redirect("factory-calendar", pk)
    today = timezone.localdate()
    context = {
        "factory": factory,
        "shutdowns": factory.shutdowns.filter(last_day__gte=today),
        "shortages": factory.shortages.filter(until__gt=today).select_related("family"),
        "families": factory.families.order_by("code"),
        "finishes": events.finishes_of(factory),
        "trouble": trouble,
        "trouble_field": field,
        "posted": request.POST if trouble else {},
    }
    status = 422 if trouble else 200
    return render(request, "ordering/factory_calendar.html", context, status=status)


def _write(request: HttpRequest, factory: Factory) -> str:
    """Carry out one of the page's buttons; what to say afterwards."""
    posted = request.POST
    for button, take_out in (("open", events.open_again), ("supplied", events.supplied_again)):
        key = whole_number(posted.get(button, ""))
        if key is not None:
            gone = take_out(factory.pk, key)
            return "It is taken out." if gone else "It was taken out already."
    if posted.get("do") == "short":
        return _short(posted, factory, request)
    first = _needed(posted, "first", "The first day shut")
    last = day_of(posted, "last", "The last day shut") or first
    made = events.shut(factory.pk, first, last, posted.get("note", ""))
    return f"{factory.name} is shut from {made.first_day} to {made.last_day}; new answers count with it."


def _short(posted: QueryDict, factory: Factory, request: HttpRequest) -> str:
    until = _needed(posted, "until", "The day from which it can be made again")
    code = posted.get("family", "")
    family = factory.families.filter(code=code).first() if code else None
    if code and family is None:
        raise FormError("family", f"{factory.name} makes no family “{code[:40]}”; choose one.")
    made = events.short_until(
        factory.pk, until, who_is(request), family, posted.get("finish", ""),
        posted.get("reason", ""),
    )  # fmt: skip
    return f"Nothing of this is started before {made.until}; new answers count with it."


def _needed(posted: QueryDict, name: str, what: str):
    day = day_of(posted, name, what)
    if day is None:
        raise FormError(name, f"{what} is missing; give a date.")
    return day
