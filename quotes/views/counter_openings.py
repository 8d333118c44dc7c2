"""One opening of the counter page: its answer as it is typed, its sheet as it is added or changes its family."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from datetime import date
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_POST, require_safe

from quotes.answer_drawing import draw_answer
from quotes.answer_sheet import in_time, sheet_of
from quotes.answering import answer_opening
from quotes.desk.requests import MOST_OPENINGS
from quotes.forms.counter import indexes, revisions_in_force
from quotes.forms.opening import OpeningForm, next_opening, opening_posted
from quotes.models import Opening
from quotes.svg import to_svg
from sizing.lookup import NoTableError, in_force
from sizing.models import Revision
from sizing.numerals import whole_number
from sizing.typed import typed

SIGNED_OUT = "Your sign-in has run out. Press Save to sign in again; what you typed comes along."


def worked(form: OpeningForm, needed_by: date | None = None) -> dict[str, Any]:
    """An opening's form with its answer and drawing; what could not be read stands beside its field."""
    said = form.said()
    answered = answer_opening(said, form.revision)
    sheet = sheet_of(answered)
    if form.is_bound:
        form.show_problems(sheet.problems)
    return {
        "form": form,
        "sheet": sheet,
        "in_time": in_time(answered, needed_by),
        "drawing": to_svg(draw_answer(answered), f"o{form.index}-drawing"),
        "said": said,
    }


@login_not_required
@require_POST
def counter_answer(request: HttpRequest) -> HttpResponse:
    """The answer and the drawing of one opening, for the page to set beside the boxes being typed in."""
    if not request.user.is_authenticated:
        return render(request, "quotes/counter_trouble.html", {"trouble": SIGNED_OUT})
    # The live answer looks up its own family only: it is asked for at every pause in typing.
    family = typed(request.POST, f"o{request.GET.get('o', '')}-family")
    try:
        opening = _one_opening(request, {family: in_force(family)})
    except NoTableError:
        opening = _one_opening(request, revisions_in_force())
        if opening is not None and not opening.not_made:
            opening = None
    if opening is None:
        return HttpResponse(status=204)
    shown = worked(opening, _needed_by(request))
    return render(request, "quotes/counter_answer.html", {**shown, "live": True})


def _needed_by(request: HttpRequest) -> date | None:
    """The day as it is being typed; None of what is no day yet."""
    with suppress(ValueError):
        return date.fromisoformat(request.POST.get("needed_by", ""))
    return None


@login_not_required
@require_POST
def counter_opening(request: HttpRequest) -> HttpResponse:
    """One opening's whole sheet: with the boxes of the family just chosen, or a blank one to add."""
    if not request.user.is_authenticated:
        return render(request, "quotes/counter_trouble.html", {"trouble": SIGNED_OUT})
    revisions = revisions_in_force()
    if not revisions:
        return HttpResponse(status=204)
    if request.POST.get("do") == "add":
        numbers = indexes(request.POST)
        if len(numbers) >= MOST_OPENINGS:
            return HttpResponse(status=204)
        last = opening_posted(request.POST, numbers[-1], revisions, {}) if numbers else None
        opening = next_opening(last, revisions, max(numbers, default=-1) + 1)
        return render(request, "quotes/counter_opening.html", {**worked(opening), "fresh": True})
    chosen = _one_opening(request, revisions)
    if chosen is None:
        return HttpResponse(status=204)
    shown = worked(chosen, _needed_by(request))
    return render(request, "quotes/counter_opening.html", {**shown, "swapped": True})


def _one_opening(request: HttpRequest, revisions: Mapping[str, Revision]) -> OpeningForm | None:
    number = whole_number(request.GET.get("o", ""), 3)
    if number is None or not revisions:
        return None
    key = whole_number(request.POST.get(f"o{number}-key", ""))
    stored: dict[int, Opening] = {}
    if key is not None:
        stored = {
            o.pk: o for o in Opening.objects.filter(pk=key).select_related("revision__family")
        }
    return opening_posted(request.POST, number, revisions, stored)


@require_safe
def counter_parts(request: HttpRequest, revision: int) -> HttpResponse:
    """The part numbers of a table, for the box in which the clerk takes another part."""
    found = get_object_or_404(Revision, pk=revision, in_force_from__isnull=False)
    parts = found.parts.exclude(part_number="")
    return render(request, "quotes/counter_parts.html", {"parts": parts})
