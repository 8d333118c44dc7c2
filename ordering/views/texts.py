"""The shop's own words for notices: the list of them, and one text changed with a look at what comes of it."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from ordering.events.fields import sample_values
from ordering.events.telling import text_for, text_of
from ordering.events.texts import keep_text, usual_text
from ordering.forms import TextForm
from ordering.lists.pages import NOTICE_TEXTS
from ordering.models import NoticeText
from ordering.notices import FIELDS, FOR_FACTORIES, KINDS, Kind, Text, filled, left_out
from ordering.views.people import who_is
from quotes.models import Customer
from sizing.lists import show
from sizing.people import name_of
from sizing.wording import LANGUAGES, speaking


@require_safe
def texts(request: HttpRequest) -> HttpResponseBase:
    """Every text in every language it is sent in, with whoever changed it."""
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
