"""The watch list, the desk's record, and the shop's own words for notices."""

from __future__ import annotations

from datetime import date

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from ordering import events
from ordering.events.fields import sample_values
from ordering.events.telling import text_for, text_of
from ordering.events.texts import keep_text, usual_text
from ordering.find_forms import RecordFind, WatchFind
from ordering.forms import TextForm
from ordering.lists.month import month_of
from ordering.lists.pages import NOTICE_TEXTS, RECORD, WATCH
from ordering.lists.record import LEVEL, record
from ordering.lists.watch import asked_for, watch_list
from ordering.models import NoticeText
from ordering.notices import FIELDS, FOR_FACTORIES, KINDS, Kind, Text, filled, left_out
from ordering.plots import share_plot, width_plot
from ordering.views.people import who_is
from quotes.models import Customer
from quotes.svg import to_svg
from sizing.lists import MOST_COUNTED, show
from sizing.people import name_of
from sizing.roles import has_role
from sizing.wording import LANGUAGES, speaking


@require_GET
def watch(request: HttpRequest) -> HttpResponseBase:
    """What of the open work needs somebody."""
    find = WatchFind(request.GET)
    may_write = has_role(request.user, "counter", "manager")
    # A file has all of it.
    most = None if "as" in request.GET else MOST_COUNTED + 1
    watched = watch_list(asked_for(find.said, most))
    return show(
        request, "ordering/watch.html", find, (WATCH[may_write], watched), may_write=may_write
    )


@require_POST
def called(request: HttpRequest, pk: int) -> HttpResponse:
    if events.called(pk, who_is(request)):
        messages.success(request, "Noted that they were called.")
    else:
        messages.info(request, "Somebody had called already.")
    return redirect("watch")


@require_GET
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


@require_GET
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


@require_GET
def texts(request: HttpRequest) -> HttpResponseBase:
    own = {(str(text.kind), text.language): text for text in NoticeText.objects.all()}
    kinds = []
    for kind in KINDS:
        for language in _languages(kind):
            changed = own.get((kind.value, language))
            subject = text_of(kind, language, changed).subject
            kinds.append(
                (kind, language, subject, name_of(changed.changed_by) if changed else None)
            )
    return show(request, "ordering/texts.html", None, (NOTICE_TEXTS, kinds))


def _languages(kind: Kind) -> tuple[str, ...]:
    """A factory is written to in English, a customer in the customer's language."""
    return LANGUAGES[:1] if kind in FOR_FACTORIES else LANGUAGES


def text(request: HttpRequest, kind: str, language: str) -> HttpResponse:
    """Change one text in one language: preview it, keep it, or go back to the usual one."""
    try:
        which = Kind(kind)
    except ValueError:
        raise Http404("There is no such notice.") from None
    if language not in _languages(which):
        raise Http404("This notice has no text in that language.")
    now = text_for(which, language)
    form = TextForm(request.POST or None, initial={"subject": now.subject, "body": now.body})
    shown = now
    if request.method == "POST":
        if request.POST.get("do") == "usual":
            usual_text(which, language)
            messages.success(request, "The usual words are back.")
            return redirect("notice-text", kind, language)
        if form.is_valid():
            shown = form.text()
            if request.POST.get("do") == "keep":
                keep_text(which, shown, who_is(request), language)
                messages.success(request, "The text is kept and used from now on.")
                for sentence in left_out(which, shown):
                    messages.warning(request, sentence)
                return redirect("notice-texts")
    context = {
        "kind": which,
        "language": Customer.Language(language).label,
        "form": form,
        "previews": [] if form.errors else _previews(which, language, shown),
        "left_out": [] if form.errors else left_out(which, shown),
        "fields": FIELDS.items(),
        "heading": "Not kept yet",
    }
    return render(request, "ordering/text.html", context, status=422 if form.errors else 200)


def _previews(kind: Kind, language: str, text: Text) -> list[tuple[str, str, Text]]:
    """(code, name, filled text) of every language: what is being typed, and the others as they stand."""
    found = []
    for code in _languages(kind):
        shown = text if code == language else text_for(kind, code)
        with speaking(code):
            found.append((code, Customer.Language(code).label, filled(shown, sample_values())))
    return found
