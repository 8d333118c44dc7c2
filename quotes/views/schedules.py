"""Pages of the window schedules: a template out, a filled one in, lines mended, a request made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from quotes.desk.schedules import (
    ScheduleError,
    correct_line,
    discard,
    make_request,
    note_sender,
    take_in,
    work_out,
)
from quotes.find_forms import SchedulesFind
from quotes.forms.counter import revisions_in_force
from quotes.forms.schedule import SenderForm, UploadForm
from quotes.lists.issue_states import quotes_of
from quotes.lists.pages import LINES, SCHEDULES
from quotes.lists.requests import last_family
from quotes.lists.schedules import (
    all_schedules,
    annotated,
    counts_of,
    lines_of,
    measured,
    shown,
)
from quotes.lists.specials import of_request
from quotes.models import Schedule, ScheduleLine
from quotes.schedule import Field, fields_of, template_bytes
from quotes.schedule.read import MOST_TEXT
from sizing import lookup
from sizing.box_length import too_long
from sizing.columns import XLSX
from sizing.downloads import as_file
from sizing.lists import show
from sizing.models import Revision
from sizing.numerals import whole_number
from sizing.remembered import remembered
from sizing.typed import typed
from sizing.workbook import MOST_FILE_BYTES, WorkbookError

A_PAGE = 100
# A page that waits this long in vain for the worker takes the next slice itself.
PATIENCE = 2.0
Attention = ScheduleLine.Attention


def _by_name(revisions: dict[str, Revision]) -> list[tuple[str, str]]:
    return [(code, revision.name) for code, revision in revisions.items()]


@remembered(Revision)
def _families() -> list[tuple[str, str]]:
    """(code, name) of the families with a table in force."""
    return _by_name(revisions_in_force())


def schedules(request: HttpRequest) -> HttpResponseBase:
    """Templates to download, the upload, and the schedules there are."""
    if request.method == "POST":
        revisions = revisions_in_force()
        families = _by_name(revisions)
        form = UploadForm(families, request.POST, request.FILES)
    else:
        families = _families()
        usual = last_family(request.user.get_username())
        form = UploadForm(families, initial={"family": usual})
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["workbook"]
        try:
            taken = take_in(
                # One byte past the limit is enough for the reader to refuse it.
                file.read(MOST_FILE_BYTES + 1),
                file.name,
                revisions[form.cleaned_data["family"]],
                by=request.user.get_username(),
                sender=form.sender,
            )
        except WorkbookError as error:
            form.add_error("workbook", list(error.problems))
        else:
            return redirect("schedule", taken.pk)
    find = SchedulesFind(request.GET)
    return show(
        request,
        "quotes/schedules.html",
        find,
        (SCHEDULES, all_schedules(find.said)),
        status=422 if form.errors else 200,
        form=form,
        families=families,
    )


@require_safe
def template(request: HttpRequest, code: str) -> HttpResponse:
    revision = get_object_or_404(Revision, pk=getattr(revisions_in_force().get(code), "pk", None))
    content = template_bytes(lookup.table_of(revision))
    return as_file(f"window-schedule-{slugify(code)}.xlsx", content, XLSX)


@require_safe
def schedule(request: HttpRequest, pk: int) -> HttpResponseBase:
    """One schedule: its progress while lines wait, then the lines with what needs a look first."""
    found = _get(pk)
    who = {"caller": found.caller, "phone": found.phone, "email": found.email}
    return _shown(request, found, SenderForm(initial=who))


def _shown(request: HttpRequest, found: Schedule, form: SenderForm) -> HttpResponseBase:
    """Its page, with who sent it as noted or as typed."""
    context = _page(request, found) | {"form": form}
    listing = replace(LINES, ready=lambda lines: shown(found, lines))
    lines = (listing, context["found"])
    status = 422 if form.errors else 200
    return show(request, "quotes/schedule.html", None, lines, status=status, **context)


def _get(pk: int) -> Schedule:
    return get_object_or_404(
        Schedule.objects.defer("content").select_related("revision__family", "request__customer"),
        pk=pk,
    )


def _page(request: HttpRequest, found: Schedule) -> dict[str, Any]:
    counts = counts_of(found)
    waiting = dict(counts).get(Attention.WAITING, 0)
    kind = request.GET.get("only", "")
    lines = lines_of(found)
    attention = whole_number(kind, 1)
    if attention is not None:
        lines = lines.filter(attention=attention)
    page = Paginator(lines, A_PAGE).get_page(request.GET.get("page"))
    return {
        "schedule": found,
        "counts": counts,
        "waiting": waiting,
        "done": found.total - waiting,
        "found": lines,
        "page": page,
        "lines": [] if waiting else shown(found, page),
        "measured": measured(fields_of(lookup.table_of(found.revision))),
        "only": kind,
        "quotes": quotes_of(found.request) if found.request else [],
        "specials": of_request(found.request_id) if found.request_id else None,
    }


def progress(request: HttpRequest, pk: int) -> HttpResponse:
    """How far it is, asked by the page every second; a POST works out all the rest at once."""
    found = _get(pk)
    if request.method == "POST":
        while work_out(pk):
            pass
        return redirect("schedule", pk)
    if found.lines.filter(attention=Attention.WAITING).exists():
        since = timezone.now() - (found.worked_at or found.created_at)
        if since.total_seconds() > PATIENCE:
            work_out(pk)
    context = _page(request, found)
    response = render(request, "quotes/schedule_progress.html", context)
    if not context["waiting"]:
        response["HX-Redirect"] = reverse("schedule", args=[pk])
    return response


def line(request: HttpRequest, pk: int, line_pk: int) -> HttpResponse:
    """One line to mend in its place; without JavaScript on a page of its own."""
    found = get_object_or_404(
        ScheduleLine.objects.select_related("schedule__revision__family", "part"),
        pk=line_pk,
        schedule=pk,
    )
    fields = fields_of(lookup.table_of(found.schedule.revision))
    if request.method == "POST":
        try:
            found = correct_line(
                line_pk,
                _cells(request, fields),
                [f.code for f in fields if f.unit and f"cannot-{f.code}" in request.POST],
                left_out="left-out" in request.POST,
                by=request.user.get_username(),
            )
        except ScheduleError as error:
            return _form(request, found, str(error), status=422)
        if not request.htmx:
            return redirect(f"{reverse('schedule', args=[pk])}#line-{line_pk}")
        if found.attention == Attention.UNREADABLE:
            return _form(request, found)
    if "edit" in request.GET or not request.htmx:
        return _form(request, found)
    (seen,) = shown(found.schedule, [found])
    return render(
        request,
        "quotes/schedule_line.html",
        {"seen": seen, "schedule": found.schedule, "swapped": True},
    )


def _cells(request: HttpRequest, fields: Sequence[Field]) -> dict[str, str]:
    """What is typed in each box of a line. Raises ScheduleError."""
    cells = {field.code: typed(request.POST, f"cell-{field.code}") for field in fields}
    for field in fields:
        if trouble := too_long(cells[field.code], MOST_TEXT, field.heading):
            raise ScheduleError(trouble)
    return cells


def _form(
    request: HttpRequest, line: ScheduleLine, trouble: str = "", status: int = 200
) -> HttpResponse:
    """The line's boxes with what is typed and what is wrong with it."""
    finishes = lookup.table_of(line.schedule.revision).finishes
    boxes = [
        {
            "field": field,
            "name": f"cell-{field.code}",
            "value": request.POST.get(f"cell-{field.code}", line.cells.get(field.code, "")),
            "problem": line.problems.get(field.code, ""),
            "cannot": field.code in line.cannot,
            "options": finishes if field.code == "finish" else (),
        }
        for field in fields_of(lookup.table_of(line.schedule.revision))
    ]
    # Where typing begins: the first box with something wrong.
    first = next((box for box in boxes if box["problem"]), boxes[0])
    first["first"] = True
    (seen,) = shown(line.schedule, [line])
    context = {
        "line": line,
        "seen": seen,
        "schedule": line.schedule,
        "boxes": boxes,
        "trouble": trouble,
    }
    page = "quotes/schedule_line_form.html" if request.htmx else "quotes/schedule_line_page.html"
    # htmx swaps nothing in for an answer of 4xx, and the form must come back.
    return render(request, page, context, status=200 if request.htmx else status)


@require_POST
def request_of(request: HttpRequest, pk: int) -> HttpResponse:
    """Make the schedule a request."""
    _get(pk)
    try:
        made = make_request(pk, by=request.user.get_username())
    except ScheduleError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"Request {made.pk} holds {made.openings.count()} openings.")
    return redirect("schedule", pk)


@require_POST
def sender(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Who sent a schedule, where nobody said so as it was brought in or it was somebody else."""
    found = _get(pk)
    form = SenderForm(request.POST)
    if not form.is_valid():
        return _shown(request, found, form)
    try:
        note_sender(pk, form.sender, by=request.user.get_username())
    except ScheduleError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"Sent by {form.sender.caller or 'somebody'}: that is noted.")
    return redirect("schedule", pk)


@require_POST
def discarded(request: HttpRequest, pk: int) -> HttpResponse:
    """Take away a schedule that was brought in by mistake."""
    _get(pk)
    try:
        name = discard(pk)
    except ScheduleError as error:
        messages.error(request, str(error))
        return redirect("schedule", pk)
    messages.success(request, f"{name} is discarded.")
    return redirect("schedules")


@require_safe
def workbook(request: HttpRequest, pk: int) -> HttpResponse:
    """The sender's workbook with the answers."""
    found = get_object_or_404(Schedule.objects.select_related("revision__family"), pk=pk)
    stem = found.name.rsplit(".", 1)[0]
    return as_file(f"{slugify(stem) or 'schedule'}-answered.xlsx", annotated(found), XLSX)
