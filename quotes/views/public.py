"""The customer's page behind the link: read, tick, accept, or say what is different. No sign-in."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST, require_safe

from quotes.desk.accepting import NotOpenError, TicksError, accept, ask_for_changes
from quotes.links import find_issue
from quotes.lists.quotes import document_of, state_of
from quotes.models import Issue
from quotes.quote_form import ChangeForm, NameForm
from quotes.views.quotes import paper, shown_document

View = Callable[..., HttpResponse]


def _by_link(view: View) -> View:
    """A view of the issue that the link's token opens; the address goes to nobody else."""

    # The unguessable address is the whole permission: no cookie takes part, so there is nothing to
    # forge, and a page without referrer could not pass the check of where a form came from.
    @csrf_exempt
    @login_not_required
    @never_cache
    @wraps(view)
    def opened(request: HttpRequest, token: str, **more: str) -> HttpResponse:
        issue = find_issue(token)
        if issue is None:
            response = render(request, "quotes/public_gone.html", status=404)
        else:
            response = view(request, token, issue, **more)
        response["Referrer-Policy"] = "no-referrer"
        response["X-Robots-Tag"] = "noindex, nofollow"
        return response

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
    name: NameForm | None = None,
    change: ChangeForm | None = None,
    ticked: list[str] | None = None,
    missing: list[str] | None = None,
) -> HttpResponse:
    document = document_of(issue)
    shown = shown_document(document) | {
        "token": token,
        "state": state_of(issue),
        "name": name or NameForm(use_required_attribute=False),
        "change": change or ChangeForm([sheet.name for sheet in document.openings]),
        "ticked": ticked or [],
        "missing": missing or [],
    }
    return render(request, "quotes/public.html", shown, status=status)


@_by_link
@require_POST
def quote_accept(request: HttpRequest, token: str, issue: Issue) -> HttpResponse:
    """Accept; a second click or a second person is shown what happened, not an error."""
    names = [sheet.name for sheet in document_of(issue).openings]
    ticked = [name for at, name in enumerate(names) if request.POST.get(f"tick-{at}")]
    form = NameForm(request.POST, use_required_attribute=False)
    missing = [name for name in names if name not in ticked]
    if state_of(issue).can_be_accepted and (not form.is_valid() or missing):
        return _page(request, token, issue, 422, name=form, ticked=ticked, missing=missing)
    try:
        form.full_clean()
        accept(issue.pk, name=form.cleaned_data.get("name", ""), ticked=ticked)
    except TicksError as error:
        return _page(request, token, issue, 422, name=form, ticked=ticked, missing=error.missing)
    except NotOpenError:
        pass  # The page itself tells who accepted, when, or what else happened.
    return redirect("quote-public", token)


@_by_link
@require_POST
def quote_change(request: HttpRequest, token: str, issue: Issue) -> HttpResponse:
    """Send the issue back to the desk with what is different."""
    form = ChangeForm([sheet.name for sheet in document_of(issue).openings], request.POST)
    if not form.is_valid():
        return _page(request, token, issue, 422, change=form)
    said = form.cleaned_data
    try:
        ask_for_changes(issue.pk, name=said["name"], measures=form.measures, words=said["words"])
    except NotOpenError:
        pass  # As above: the page tells what happened first.
    return redirect("quote-public", token)


@_by_link
@require_safe
def quote_public_paper(request: HttpRequest, token: str, issue: Issue, ending: str) -> HttpResponse:
    return paper(issue, ending)
