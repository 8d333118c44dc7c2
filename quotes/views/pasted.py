"""A customer's message, or the note of a call, made into a request that the clerk has confirmed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache

from quotes.answer_sheet import sheet_of
from quotes.answering import answer_opening
from quotes.desk.requests import RequestError, StaleError, save_request
from quotes.forms.counter import revisions_in_force
from quotes.lists.requests import last_family
from quotes.lists.shop import home_country
from quotes.pasted import PastedForm, PasteForm, live_opening
from quotes.pasted.box import plain_lines
from quotes.pasted.opening import PastedOpening
from quotes.views.kept import keep, take
from sizing.models import Revision
from sizing.numerals import whole_number

SIGNED_OUT = (
    "Your sign-in has run out. Press Work it out to sign in again; what you typed comes along."
)
KEPT = "This is what you had typed. It is not made into a request yet."
CHANGED = (
    "The message was changed after it was read: read it again, or tick “leave the change unread”."
)


@login_not_required
@never_cache
def pasted(request: HttpRequest) -> HttpResponse:
    """The box for a message; posted, what was found in it; confirmed, the request."""
    if not request.user.is_authenticated:
        return _sign_in_again(request)
    revisions = revisions_in_force()
    if not revisions:
        return render(request, "quotes/counter_empty.html")
    if request.method == "POST":
        number = whole_number(request.GET.get("o", ""), 3)
        if number is not None:
            return _live(request, live_opening(request.POST, number, revisions))
        return _posted(request, request.POST, request.POST.get("do", ""), revisions)
    kept = take(request, "pasted")
    if kept is not None:
        messages.warning(request, KEPT)
        return _posted(request, kept["typed"], "work", revisions)
    family = last_family(request.user.get_username())
    paste = PasteForm(None, revisions, {"family": family})
    # What is in the clipboard goes here.
    paste.fields["text"].widget.attrs["autofocus"] = True
    return _box(request, paste)


def _posted(
    request: HttpRequest, data: QueryDict, action: str, revisions: Mapping[str, Revision]
) -> HttpResponse:
    paste = PasteForm(data, revisions)
    if "read" not in data:
        return _read(request, paste, revisions) if paste.is_valid() else _box(request, paste, 422)
    form = PastedForm.posted(data, revisions, home_country())
    valid = form.is_valid()
    if action in ("read", "read anyway"):
        if not paste.is_valid():
            return _page(request, form, paste, 422)
        changes = form.changes()
        if action == "read" and (changes or not valid):
            return _page(request, form, paste, 409, losing=changes or True)
        return _read(request, paste, revisions)
    if action == "make":
        return _make(request, form, paste, unread=bool(data.get("unread")))
    return _page(request, form, paste, 200 if valid else 422)


def _read(
    request: HttpRequest, paste: PasteForm, revisions: Mapping[str, Revision]
) -> HttpResponse:
    typed = paste.cleaned_data
    form = PastedForm.fresh(typed["text"], typed["family"], revisions, home_country())
    return _page(request, form, PasteForm(None, revisions, typed))


def _make(request: HttpRequest, form: PastedForm, paste: PasteForm, unread: bool) -> HttpResponse:
    """Store the request and open it on the counter, if all of it was confirmed."""
    if paste.is_valid() and paste.cleaned_data["text"] != form.text and not unread:
        paste.add_error("text", CHANGED)
    if form.head.errors or not all(o.is_valid() for o in form.openings):
        return _page(request, form, paste, 422)
    for opening in form.told():
        opening.confirm()
    if form.errors or paste.errors:
        return _page(request, form, paste, 422)
    said = form.said(note=paste.cleaned_data["text"])
    try:
        saved = save_request(said, by=request.user.get_username(), page=form.page)
    except StaleError as stale:
        # The page was sent before, and went back to: what it made may have moved on.
        return _page(request, form, paste, 409, made=stale.stored)
    except RequestError as error:
        form.told()[error.place or 0].add_error(error.field or None, str(error))
        return _page(request, form, paste, 422)
    messages.success(request, f"Request {saved.pk} is made of the message, which is its note.")
    if form.open_doubts:
        words = ", ".join(f"“{doubt.words}”" for doubt in form.open_doubts)
        messages.warning(request, f"Not placed in any opening: {words}.")
    return redirect("request", saved.pk)


def _box(request: HttpRequest, paste: PasteForm, status: int = 200) -> HttpResponse:
    return render(request, "quotes/pasted.html", {"paste": paste}, status=status)


def _page(
    request: HttpRequest, form: PastedForm, paste: PasteForm, status: int = 200, **more: Any
) -> HttpResponse:
    # Before the answers are worked out: a text that says no length does not stand in the way, and is
    # told beside its box.
    summary = form.errors
    context = {
        "form": form,
        "paste": paste,
        "openings": [_worked(opening) for opening in form.openings],
        "summary": summary,
        "changed": paste.is_bound and plain_lines(paste.data.get("text", "")) != form.text,
        **more,
    }
    return render(request, "quotes/pasted_found.html", context, status=status)


def _worked(opening: PastedOpening) -> dict[str, Any]:
    """An opening with the desk's answer; what could not be read stands beside its box."""
    sheet = sheet_of(answer_opening(opening.said(), opening.revision))
    if opening.is_bound:
        opening.show_problems(sheet.problems)
    return {"form": opening, "sheet": sheet}


def _live(request: HttpRequest, opening: PastedOpening) -> HttpResponse:
    """The answer of the one opening that is being typed into."""
    return render(request, "quotes/pasted_answer.html", {**_worked(opening), "live": True})


def _sign_in_again(request: HttpRequest) -> HttpResponse:
    """Nobody is signed in. What was posted waits in the session until somebody is."""
    if request.method != "POST":
        return redirect_to_login(request.get_full_path())
    if request.htmx:
        return render(request, "quotes/counter_trouble.html", {"trouble": SIGNED_OUT})
    keep(request, "pasted")
    return redirect_to_login(reverse("pasted"))
