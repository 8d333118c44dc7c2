"""The watch list, the desk's record, and the shop's own words for notices."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from ordering import events
from ordering.events.telling import sample_values, text_for
from ordering.events.texts import keep_text, usual_text
from ordering.find_forms import RecordFind, WatchFind
from ordering.forms import TextForm
from ordering.lists.pages import NOTICE_TEXTS, RECORD, WATCH
from ordering.lists.record import LEVEL, record
from ordering.lists.watch import watched_narrowed
from ordering.models import NoticeText
from ordering.notices import DEFAULTS, FIELDS, Kind, filled
from ordering.plots import share_plot, width_plot
from ordering.views.people import who_is
from quotes.drawing import to_svg
from sizing.lists import show
from sizing.roles import has_role


@require_GET
def watch(request: HttpRequest) -> HttpResponseBase:
    """What of the open work needs somebody."""
    find = WatchFind(request.GET)
    may_write = has_role(request.user, "counter", "manager")
    watched = watched_narrowed(find.said)
    return show(request, "ordering/watch.html", find, (WATCH, watched), may_write=may_write)


@require_POST
def called(request: HttpRequest, pk: int) -> HttpResponse:
    if events.called(pk, who_is(request)):
        messages.success(request, "Noted that they were called.")
    else:
        messages.info(request, "Somebody had called already.")
    return redirect("watch")


@require_GET
def desk_record(request: HttpRequest) -> HttpResponseBase:
    """How often the windows told have held, how wide they were and how late orders came."""
    find = RecordFind(request.GET)
    kept = record(find.said["factory"], find.said["since"], find.said["until"])
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
    own = dict(NoticeText.objects.values_list("kind", "changed_by"))
    kinds = [(kind, text_for(kind).subject, own.get(kind)) for kind in DEFAULTS]
    return show(request, "ordering/texts.html", None, (NOTICE_TEXTS, kinds))


def text(request: HttpRequest, kind: str) -> HttpResponse:
    """Change one text: preview it, keep it, or go back to the usual one."""
    try:
        which = Kind(kind)
    except ValueError:
        raise Http404("There is no such notice.") from None
    now = text_for(which)
    form = TextForm(request.POST or None, initial={"subject": now.subject, "body": now.body})
    shown = now
    if request.method == "POST":
        if request.POST.get("do") == "usual":
            usual_text(which)
            messages.success(request, "The usual words are back.")
            return redirect("notice-text", kind)
        if form.is_valid():
            shown = form.text()
            if request.POST.get("do") == "keep":
                keep_text(which, shown, who_is(request))
                messages.success(request, "The text is kept and used from now on.")
                return redirect("notice-texts")
    context = {
        "kind": which,
        "form": form,
        "preview": None if form.errors else filled(shown, sample_values()),
        "fields": FIELDS.items(),
        "heading": "Not kept yet",
    }
    return render(request, "ordering/text.html", context, status=422 if form.errors else 200)
