"""The desk's own record, and what a month came to."""

from __future__ import annotations

from datetime import date

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from ordering.find_forms import RecordFind
from ordering.lists.month import month_of
from ordering.lists.pages import RECORD
from ordering.lists.record import LEVEL, record
from ordering.plots import share_plot, width_plot
from quotes.svg import to_svg
from sizing.lists import show


@require_safe
def month(request: HttpRequest) -> HttpResponse:
    """What a month came to; without one asked for, this one."""
    today = timezone.localdate()
    try:
        first = date.fromisoformat(f"{request.GET.get('month', '')}-01")
    except ValueError:
        first = today.replace(day=1)
    # A month before anything or after today comes to nothing, and neither to days that no calendar has.
    first = min(max(first, date(2000, 1, 1)), today.replace(day=1))
    return render(request, "ordering/month.html", {"month": month_of(first), "today": today})


@require_safe
def desk_record(request: HttpRequest) -> HttpResponseBase:
    """How often the windows told have held, how wide they were and how late orders came."""
    find = RecordFind(request.GET)
    kept = record(find.said)
    plots = []
    if kept.months:
        shares = share_plot([(m.name, m.share, m.windows) for m in kept.months], LEVEL)
        widths = width_plot([(m.name, m.width) for m in kept.months])
        plots = [to_svg(shares, "shares"), to_svg(widths, "widths")]
    rows = (kept.months, kept.factories, kept.remakes)
    return show(
        request,
        "ordering/record.html",
        find,
        *zip(RECORD, rows, strict=True),
        record=kept,
        plots=plots,
        level=round(LEVEL * 100),
    )
