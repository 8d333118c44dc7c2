"""Pages of the size tables: read them, bring a new one, see what it changes, put it in force."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.formats import date_format
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from sizing import lookup, tables
from sizing.columns import XLSX
from sizing.difference import difference, summary
from sizing.downloads import as_file
from sizing.forms import FactoryForm, InForceForm, NotMadeForm, UploadForm
from sizing.listing import change_lines, measure_notes, row_texts, size_lines
from sizing.lists import show
from sizing.models import Factory, Family, Revision
from sizing.numerals import whole_number
from sizing.pages import FAMILIES, FamiliesFind, PartsFind, families, parts_asked_for, parts_listing
from sizing.roles import has_role
from sizing.workbook import workbook_bytes


@require_safe
def size_tables(request: HttpRequest) -> HttpResponseBase:
    """Every family with the revision in force, the next one and the draft; the upload form below."""
    return _overview(request, UploadForm())


def _overview(request: HttpRequest, form: UploadForm, status: int = 200) -> HttpResponseBase:
    find = FamiliesFind(request.GET)
    return show(
        request,
        "sizing/size_tables.html",
        find,
        (FAMILIES, families(find.said)),
        status=status,
        factories=Factory.objects.order_by("name"),
        form=form,
        may_change=has_role(request.user, "manager"),
    )


@require_POST
def upload(request: HttpRequest) -> HttpResponseBase:
    form = UploadForm(request.POST, request.FILES)
    if not form.is_valid():
        return _overview(request, form, 422)
    name = form.cleaned_data["workbook"].name
    states = lookup.family_states(code=form.table.code)
    before = states[0].draft if states else None
    draft = tables.store_draft(form.table, name, form.warnings)
    instead = f" in place of the one from {before.source or 'before'}" if before else ""
    messages.success(
        request, f"{name} is kept as a draft{instead}. Nothing changes until you put it in force."
    )
    return redirect("size-table-draft", draft.pk)


@require_http_methods(["GET", "HEAD", "POST"])
def size_table(request: HttpRequest, code: str) -> HttpResponseBase:
    """A family's table as it counts today, or another of its revisions (?revision=number); a POST says
    from which day on it is not made any more."""
    states = lookup.family_states(code=code)
    if not states:
        raise Http404(f"No family {code}.")
    state = states[0]
    form = NotMadeForm(request.POST or None, initial={"not_made_from": state.family.not_made_from})
    if request.method == "POST" and form.is_valid():
        family = tables.stop_offering(state.family, form.cleaned_data["not_made_from"])
        messages.success(request, _not_made(family))
        return redirect("size-table", code)
    revision = _asked_for(request, state)
    table = lookup.table_of(revision) if revision else None
    find = PartsFind(request.GET)
    parts = parts_asked_for(table, find.said) if table else []
    return show(
        request,
        "sizing/size_table.html",
        find,
        (parts_listing(table, code), parts),
        state=state,
        revision=revision,
        table=table,
        lines=size_lines(table, parts) if table else [],
        notes=measure_notes(table) if table else [],
        may_change=has_role(request.user, "manager"),
        today=timezone.localdate(),
        form=form,
        status=422 if form.errors else 200,
    )


def _not_made(family: Family) -> str:
    if family.not_made_from is None:
        return f"{family} is made, and offered."
    day = date_format(family.not_made_from, lookup.DAY)
    return f"{family} is not made any more from {day}: from then on nobody is offered it."


def _asked_for(request: HttpRequest, state: lookup.FamilyState) -> Revision | None:
    number = whole_number(request.GET.get("revision", ""), 9)
    if number is None:
        return state.now
    found = get_object_or_404(state.family.revisions, number=number)
    # Nobody at the counter should quote from what doesn't count yet.
    if found.in_force_from is None and not has_role(request.user, "manager"):
        raise Http404("A draft is for the manager.")
    return found


@require_safe
def download(request: HttpRequest, pk: int) -> HttpResponse:
    """A revision as the workbook that reads back the same."""
    revision = get_object_or_404(Revision.objects.select_related("family"), pk=pk)
    name = f"{revision.family.code} revision {revision.number}.xlsx".replace(" ", "-")
    return as_file(name, workbook_bytes(lookup.table_of(revision)), XLSX)


@require_safe
def example(request: HttpRequest) -> HttpResponse:
    """An invented family's workbook, to be written over by whoever has none yet."""
    file = settings.BASE_DIR / "fixtures" / "otter-liner.xlsx"
    return as_file("example-family.xlsx", file.read_bytes(), XLSX)


def draft(request: HttpRequest, pk: int) -> HttpResponse:
    """What a draft changes; a POST puts it in force from the day given."""
    found = Revision.objects.select_related("family").filter(pk=pk).first()
    if found is None:
        messages.error(request, "This draft was replaced or discarded in the meantime.")
        return redirect("size-tables")
    if found.in_force_from:
        return redirect("size-table", found.family.code)
    form = InForceForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            done = tables.put_in_force(found, form.cleaned_data["on"], request.user.get_username())
        except tables.TableError as error:
            form.add_error("on", str(error))
        else:
            messages.success(
                request,
                f"{done.name}, revision {done.number}, is in force from {done.in_force_from.day} {done.in_force_from:%B %Y}.",
            )
            return redirect("size-table", found.family.code)
    status = 422 if form.errors else 200
    return render(request, "sizing/draft.html", _draft_page(found, form), status=status)


def _draft_page(found: Revision, form: InForceForm) -> dict:
    new = lookup.table_of(found)
    present = lookup.family_states(code=found.family.code)[0]
    # A revision that counts from a later day is what the draft really takes the place of.
    against = present.next or present.now
    old = lookup.table_of(against) if against else None
    change = difference(old, new)
    parts = change_lines(change, new.weight_unit)
    return {
        "draft": found,
        "table": new,
        "against": against,
        "change": change,
        "summary": summary(change),
        "parts": parts,
        "has_classes": any(part.weight_class for part in parts),
        "has_finishes": any(part.finish for part in parts),
        "rows_new": row_texts(change.rows_new, new),
        "old_columns": old.columns if old else (),
        "rows_gone": row_texts(change.rows_gone, new),
        "rows_changed": [row_texts((row.before, row.after), new) for row in change.rows_changed],
        "form": form,
    }


@require_POST
def discard(request: HttpRequest, pk: int) -> HttpResponse:
    found = Revision.objects.filter(pk=pk).first()
    try:
        if found is None:
            raise tables.TableError("This draft was replaced or discarded already.")
        tables.discard_draft(found)
    except tables.TableError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, "The draft is discarded. The table in force is as it was.")
    return redirect("size-tables")


@require_POST
def take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """A revision whose day has not come is a draft again."""
    found = get_object_or_404(Revision.objects.select_related("family"), pk=pk)
    try:
        draft = tables.take_back(found)
    except tables.TableError as error:
        messages.error(request, str(error))
        return redirect("size-table", found.family.code)
    messages.success(
        request, f"{draft} is taken back: it is a draft again, and counts from no day."
    )
    return redirect("size-table-draft", draft.pk)


def factory(request: HttpRequest, pk: int) -> HttpResponse:
    """Whom the desk writes to at a factory, and whose holidays it keeps."""
    found = get_object_or_404(Factory, pk=pk)
    form = FactoryForm(request.POST or None, instance=found)
    if request.method == "POST" and form.is_valid():
        tables.set_factory(Factory.objects.get(pk=pk), **form.cleaned_data)
        messages.success(request, f"{found.name} is saved.")
        return redirect("size-tables")
    status = 422 if form.errors else 200
    return render(request, "sizing/factory.html", {"factory": found, "form": form}, status=status)
