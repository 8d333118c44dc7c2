"""Measuring sheets for paper, and the public page on which a customer checks and sends measures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import timedelta
from functools import wraps
from typing import Any

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt

from quotes.answering import Answered, answer_opening
from quotes.desk.requests import StaleError, save_request
from quotes.documents.measuring_sheet import MeasuringSheet, measuring_pdf
from quotes.forms.measuring import MeasuringForm
from quotes.lists.requests import said_opening
from quotes.lists.shop import the_shop
from quotes.measuring import SENT_BY, check_of, places, sheet_cautions, sheet_drawing
from quotes.models import Opening, Request
from quotes.pace import within
from quotes.svg import to_svg
from quotes.views.languages import in_language
from sizing import lookup
from sizing.models import Revision
from sizing.table import said_in
from sizing.wording import LANGUAGES, language, speaking
from sizing.wording import gettext as _

MOST_BYTES = 20_000
# From one address: checks in ten minutes, sendings in an hour. From all together, kept by the desk itself:
MOST_CHECKS, MOST_SENT, MOST_SENT_BY_ALL = 60, 12, 120


def measuring(request: HttpRequest) -> HttpResponse:
    """The families with their blank sheets and the addresses of their public pages."""
    states = [state for state in lookup.family_states() if state.now]
    return render(request, "quotes/measuring.html", {"states": states, "site": settings.SITE_URL})


def measuring_filled(request: HttpRequest, pk: int) -> HttpResponse:
    """One opening's sheet with what was said of it, to be checked at the window."""
    found = get_object_or_404(
        Opening.objects.select_related("request", "revision__family", "family"), pk=pk
    )
    revision = found.revision or lookup.in_force(found.family.code)
    with speaking(found.request.speaks):
        answered = answer_opening(said_opening(found), revision)
        said = found.request
        return _paper(
            request, revision, answered, (said.caller, said.phone, found.label, str(found.quantity))
        )


def _of_family(
    view: Callable[[HttpRequest, Revision], HttpResponse],
) -> Callable[..., HttpResponse]:
    """The view of a family's table in force; whoever comes by an old address reads that it is not made any more."""

    @wraps(view)
    def answer(request: HttpRequest, code: str) -> HttpResponse:
        try:
            return view(request, lookup.in_force(code))
        except lookup.NotMadeError as gone:
            context = {"family": gone.family.name, "shop": the_shop()}
            return render(request, "quotes/measure_gone.html", context, status=410)
        except lookup.NoTableError as error:
            raise Http404(str(error)) from None

    return answer


@login_not_required
@in_language
@_of_family
def measuring_blank(request: HttpRequest, revision: Revision) -> HttpResponse:
    if not within("measuring-sheet", request, MOST_CHECKS, 600):
        return _too_many(request, {})
    return _paper(request, revision, None, ("", "", "", ""))


def _paper(
    request: HttpRequest, revision: Revision, answered: Answered | None, known: Sequence[str]
) -> HttpResponse:
    table, shop = lookup.table_of(revision), the_shop()
    names = (_("Name"), _("Phone"), _("Which window"), _("How many like this"))
    content = measuring_pdf(
        MeasuringSheet(
            family=table.name,
            shop=shop.lines,
            drawing=sheet_drawing(table, answered),
            places=places(table, answered.said.measures if answered else None),
            rows=list(zip(names, known, strict=True)),
            finishes=tuple(said_in(language(), table, finish) for finish in table.finishes),
            finish=said_in(language(), table, answered.said.finish) if answered else "",
            cautions=sheet_cautions(table),
            address=settings.SITE_URL + _links(table.code, request)["page"],
        ),
        shop.paper_size,
    )
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="measuring-{table.code}.pdf"'
    return response


# No cookie takes part and nobody's right is used, so there is nothing to forge; the page works for
# somebody who refuses cookies.
@csrf_exempt
@login_not_required
@never_cache
@in_language
@_of_family
def measure(request: HttpRequest, revision: Revision) -> HttpResponse:
    """Measures in, a friendly check out; sent, they become a request of the desk."""
    table = lookup.table_of(revision)
    cautions = sheet_cautions(table)
    context: dict[str, Any] = {"revision": revision, "table": table, "cautions": cautions}
    if request.method != "POST":
        context["form"] = MeasuringForm(table)
        return _page(request, context)
    if int(request.META.get("CONTENT_LENGTH") or 0) > MOST_BYTES:
        context["form"] = MeasuringForm(table)
        context["trouble"] = _("That was more text than this page takes. Send less, or call us.")
        return _page(request, context, 413)
    sending = request.POST.get("do") == "send"
    form = context["form"] = MeasuringForm(table, request.POST, sending=sending)
    if not within("measuring-check", request, MOST_CHECKS, 600):
        return _too_many(request, context)
    valid = form.is_valid()
    answered = answer_opening(form.opening, revision)
    form.show_problems(answered.problems)
    if sending and valid and not answered.problems:
        return _send(request, form, context)
    context["check"] = check_of(answered)
    context["answered"] = answered
    return _page(request, context, 422 if form.errors else 200)


def _send(request: HttpRequest, form: MeasuringForm, context: dict[str, Any]) -> HttpResponse:
    lately = Request.objects.filter(
        taken_by=SENT_BY, created_at__gte=timezone.now() - timedelta(hours=1)
    )
    if lately.count() >= MOST_SENT_BY_ALL or not within("measuring-send", request, MOST_SENT, 3600):
        return _too_many(request, context)
    try:
        save_request(form.said, by=SENT_BY, page=form.cleaned_data["page"])
    except StaleError:
        # Sent, gone back to, changed and sent again: that is another window.
        save_request(form.said, by=SENT_BY)
    return redirect(_links(form.table.code, request)["sent"])


@login_not_required
@in_language
@_of_family
def measure_sent(request: HttpRequest, revision: Revision) -> HttpResponse:
    shown = {"revision": revision, "links": _links(revision.family.code, request)}
    return render(request, "quotes/measure_sent.html", shown)


def _links(code: str, request: HttpRequest) -> dict[str, Any]:
    """The addresses of a family's page, sent page and sheet, and the page in each language.

    They name the language where it was chosen, and where it is not the one that papers are usual in.
    """
    chosen = request.resolver_match.kwargs.get("language", "") if request.resolver_match else ""
    named = chosen or ("" if language() == LANGUAGES[0] else language())

    def at(name: str, named: str) -> str:
        return reverse(f"{name}-in", args=[named, code]) if named else reverse(name, args=[code])

    return {
        "page": at("measure", named),
        "sent": at("measure-sent", named),
        "sheet": at("measure-sheet", named),
        "languages": [(one, at("measure", one)) for one in LANGUAGES],
    }


def _too_many(request: HttpRequest, context: dict[str, Any]) -> HttpResponse:
    context["trouble"] = _(
        "This page was used very often just now. Wait a few minutes and try again; "
        "what you typed is still here."
    )
    if "revision" not in context:
        return HttpResponse(context["trouble"], status=429, content_type="text/plain")
    response = _page(request, context, 429)
    response["Retry-After"] = "600"
    return response


def _page(request: HttpRequest, context: dict[str, Any], status: int = 200) -> HttpResponse:
    drawing = sheet_drawing(context["table"], context.get("answered"))
    sending = request.POST.get("do") == "send"
    context |= {
        "drawing": to_svg(drawing, "where"),
        "heading": _("Not sent yet. What you typed is still here.")
        if sending
        else _("Not checked yet. What you typed is still here."),
        "links": _links(context["revision"].family.code, request),
        "family_name": context["table"].name,
    }
    return render(request, "quotes/measure.html", context, status=status)
