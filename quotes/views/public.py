"""The customer's page behind the link: read, tick, accept, or say what is different. No sign-in."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from quotes.desk.accepting import (
    NotOpenError,
    TicksError,
    TooManyError,
    accept,
    ask_for_changes,
)
from quotes.forms.quote import ChangeForm, NameForm, SignatureForm, TheirNumberForm
from quotes.links import find_issue
from quotes.lists.issue_states import questions_asked, state_of
from quotes.lists.issues import changed_since_last, document_of
from quotes.models import Issue
from quotes.views.issued import paper
from quotes.views.languages import marked, visitors_language
from quotes.views.quotes import MANY, shown_document
from sizing.wording import gettext as _
from sizing.wording import speaking

View = Callable[..., HttpResponse]


def _by_link(view: View) -> View:
    """A view of the issue that the link's token opens. That the address goes to nobody else and a form needs no
    token is seen to for all such pages: `config.envelope`, `config.access.Gate`."""

    @login_not_required
    @never_cache
    @wraps(view)
    def opened(request: HttpRequest, token: str, **more: str) -> HttpResponse:
        issue = find_issue(token)
        language = (
            (issue.document or {}).get("language", "en") if issue else visitors_language(request)
        )
        with speaking(language):
            if issue is None:
                response = render(request, "quotes/public_gone.html", status=404)
            else:
                response = view(request, token, issue, **more)
        return marked(response, language)

    return opened


@_by_link
@require_safe
def quote_public(request: HttpRequest, token: str, issue: Issue) -> HttpResponse:
    return _page(request, token, issue)


def _page(
    request: HttpRequest,
    token: str,
    issue: Issue,
    status: int = 200,
    *,
    tried: str = "",
    ticked: list[str] | None = None,
    missing: list[str] | None = None,
    too_many: bool = False,
    late: bool = False,
) -> HttpResponse:
    """The page; after a try ("accept" or "change") with all that was typed and what hinders it."""
    document = document_of(issue)
    data = request.POST if tried else None
    accepted = getattr(issue.quote, "acceptance", None)
    named = NameForm if tried == "change" else SignatureForm
    state, change = state_of(issue), ChangeForm([sheet.name for sheet in document.openings], data)
    # Who comes back after it has lapsed has one thing to ask.
    change.initial["words"] = _("Please send me a new quote.") if state.word == "lapsed" else ""
    shown = shown_document(document) | {
        "token": token,
        "issue": issue,
        "state": state,
        "mend": bool(tried) and not late and (state.can_be_accepted or state.word == "lapsed"),
        "ordered": bool(accepted) and not accepted.waits,
        "changed": changed_since_last(issue),
        "questions": questions_asked(issue),
        "tried": tried,
        "name": named(data, use_required_attribute=False),
        "theirs": TheirNumberForm(data),
        "change": change,
        "ticked": ticked or [],
        "all_ticked": bool(data and data.get("tick-all")),
        "missing": missing or [],
        "too_many": too_many,
    }
    return render(request, "quotes/public.html", shown, status=status)


def _sent(view: View) -> View:
    """A view of what a form sends. Its address stands in the browser where something was refused: whoever keeps or
    forwards it is led to the quote."""

    @wraps(view)
    def led(request: HttpRequest, token: str, issue: Issue) -> HttpResponse:
        if request.method != "POST":
            return redirect("quote-public", token)
        return view(request, token, issue)

    return led


@_by_link
@_sent
def quote_accept(request: HttpRequest, token: str, issue: Issue) -> HttpResponse:
    """Accept; a second click or a second person is shown what happened, not an error.

    Whoever typed what is different as well is asked which of the two is meant.
    """
    names = _names(issue)
    ticked = _ticked(request, names)
    form, theirs = SignatureForm(request.POST), TheirNumberForm(request.POST)
    missing = [name for name in names if name not in ticked]
    unreadable = not (form.is_valid() and theirs.is_valid())
    unsure = missing or unreadable or ChangeForm(names, request.POST).has_changed()
    if state_of(issue).can_be_accepted and unsure:
        return _page(request, token, issue, 422, tried="accept", ticked=ticked, missing=missing)
    try:
        accept(
            issue.pk,
            name=form.cleaned_data.get("name", ""),
            their_number=theirs.cleaned_data.get("their_number", ""),
            ticked=ticked,
        )
    except TicksError as error:
        missing = error.missing
        return _page(request, token, issue, 422, tried="accept", ticked=ticked, missing=missing)
    except NotOpenError:
        pass  # The page itself tells who accepted, when, or what else happened.
    return _told(token, "stands")


@_by_link
@_sent
def quote_change(request: HttpRequest, token: str, issue: Issue) -> HttpResponse:
    """Send the issue back to the desk with what is different, or ask it a question."""
    names = _names(issue)
    name, change = NameForm(request.POST), ChangeForm(names, request.POST)
    ticked = _ticked(request, names)
    if not (name.is_valid() and change.is_valid()):
        return _page(request, token, issue, 422, tried="change", ticked=ticked)
    said = change.cleaned_data
    try:
        ask_for_changes(
            issue.pk,
            name=name.cleaned_data["name"],
            measures=change.measures,
            words=said["words"],
            is_question=request.POST.get("kind") == "question",
        )
    except NotOpenError:
        # The page tells what happened first, and shows the words that came too late.
        return _page(request, token, issue, 409, tried="change", late=True)
    except TooManyError:
        return _page(request, token, issue, 422, tried="change", ticked=ticked, too_many=True)
    return _told(token, "question" if request.POST.get("kind") == "question" else "stands")


def _told(token: str, where: str) -> HttpResponse:
    """To the page, and on it to what was done: the browser puts the cursor there."""
    return redirect(f"{reverse('quote-public', args=[token])}#{where}")


def _names(issue: Issue) -> list[str]:
    return [sheet.name for sheet in document_of(issue).openings]


def _ticked(request: HttpRequest, names: list[str]) -> list[str]:
    """The openings whose measures are confirmed: each by its own tick, or all by one, where there are many."""
    if request.POST.get("tick-all") and len(names) > MANY:
        return names
    return [name for at, name in enumerate(names) if request.POST.get(f"tick-{at}")]


@_by_link
@require_safe
def quote_public_paper(request: HttpRequest, token: str, issue: Issue, ending: str) -> HttpResponse:
    return paper(issue, ending)
