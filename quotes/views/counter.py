"""The counter page: numbers in as the caller says them, answers out as they are typed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import redirect_to_login
from django.db import OperationalError, connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views import csrf
from django.views.decorators.http import require_safe

from quotes.desk.requests import MOST_OPENINGS, RequestError, StaleError, save_request
from quotes.forms.counter import CounterForm, revisions_in_force
from quotes.lists.issue_states import quotes_of
from quotes.lists.people import as_caller, likely_callers
from quotes.lists.requests import (
    begun_before,
    last_family,
    quoted_before,
    said_of,
)
from quotes.lists.specials import of_request
from quotes.models import Request, Schedule
from quotes.said import SaidOpening, differences
from quotes.views.counter_openings import SIGNED_OUT, worked
from quotes.views.kept import is_from_elsewhere, keep, take
from quotes.views.quotes import to_quote
from sizing.models import Revision
from sizing.numerals import whole_number
from sizing.people import name_of

# More than any page of 40 full openings, so that nobody fills the session store.
MOST_KEPT = 600_000
NOT_WRITTEN = (
    "The desk's database is held by something else or its disk is full, so nothing of this was saved. "
    "Everything you typed is still here: press Save again in a moment."
)


@login_not_required
def counter(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """A new request, or one that is opened again; saved, worked out or grown by a post."""
    if not request.user.is_authenticated:
        return _sign_in_again(request)
    stored = get_object_or_404(Request, pk=pk) if pk else None
    schedule = Schedule.objects.filter(request=stored).only("pk").first() if stored else None
    if schedule:
        # Hundreds of openings are mended on the schedule they came with, and in no second place.
        return redirect("schedule", schedule.pk)
    revisions = revisions_in_force()
    if not revisions:
        return render(request, "quotes/counter_empty.html")
    if request.method != "POST":
        if stored is None:
            form = _begun(request, revisions)
        else:
            form = CounterForm.of_request(stored, said_of(stored), revisions)
        return _page(request, form, stored)
    form = CounterForm.posted(request.POST, stored, revisions)
    action = request.POST.get("do", "save")
    valid = form.is_valid()
    if action == "autosave":
        return _autosave(request, form, stored, valid)
    if action in ("save", "quote") and valid:
        return _save(request, form, stored)
    if action == "add" and len(form.openings) < MOST_OPENINGS:
        form.add_opening(revisions)
    return _page(request, form, stored, status=200 if valid else 422)


def _begun(request: HttpRequest, revisions: Mapping[str, Revision]) -> CounterForm:
    """A new call: an empty page, one that a customer's page begins, or one for the windows of an earlier call."""
    like, customer = (whole_number(request.GET.get(by, ""), 12) for by in ("like", "customer"))
    earlier = Request.objects.filter(pk=like).first() if like else None
    usual = last_family(request.user.get_username())
    if earlier is None:
        return CounterForm.blank(revisions, usual, as_caller(customer) if customer else None)
    said = said_of(earlier)
    caller = {name: getattr(said, name) for name in ("caller", "phone", "email", "language")}
    if earlier.customer_id and not (said.phone or said.email):
        caller = as_caller(earlier.customer_id)
    if len(said.openings) > MOST_OPENINGS:
        messages.info(
            request,
            f"Request {earlier.pk} holds {len(said.openings)} windows, more than a call takes: type those that "
            "are wanted again, or bring in a workbook that holds them alone.",
        )
        return CounterForm.blank(revisions, usual, caller)
    messages.info(
        request, f"Begun from request {earlier.pk}, which stays as it is. Save it as a new call."
    )
    made = [one for one in said.openings if one.family in revisions]
    for one in said.openings:
        if one.family not in revisions:
            what = f"“{one.label}”" if one.label else "An opening"
            messages.info(
                request, f"{what} is left out: no table of its family, {one.family}, is in force."
            )
    return CounterForm.like(caller, made or [SaidOpening(next(iter(revisions)))], revisions)


def _write(
    request: HttpRequest, form: CounterForm, stored: Request | None, by_itself: bool = False
) -> Request:
    return save_request(
        form.said(),
        by=request.user.get_username(),
        pk=stored.pk if stored else None,
        version=form.version,
        page=form.page,
        by_itself=by_itself,
    )


def _save(request: HttpRequest, form: CounterForm, stored: Request | None) -> HttpResponse:
    if stored is None and form.said().is_blank:
        messages.info(request, "Nothing is typed yet, so nothing was saved.")
        return redirect("counter")
    try:
        saved = _write(request, form, stored)
    except StaleError as stale:
        return _conflict(request, form, stale.stored)
    except RequestError as error:
        _show(form, error)
        return _page(request, form, stored, status=422)
    except OperationalError:
        # A connection that broke is made anew, so that the page can still be read and shown.
        connection.close_if_unusable_or_obsolete()
        messages.error(request, NOT_WRITTEN)
        return _page(request, form, stored, status=503)
    if request.POST.get("do") == "quote":
        return to_quote(request, saved)
    messages.success(request, f"Request {saved.pk} is saved.")
    return redirect("request", saved.pk)


def _show(form: CounterForm, error: RequestError) -> None:
    if error.place is None or error.place >= len(form.staying):
        form.head.add_error(None, str(error))
    else:
        form.staying[error.place].add_error(error.field or None, str(error))


def _conflict(request: HttpRequest, form: CounterForm, stored: Request) -> HttpResponse:
    """Both versions side by side. Saving again, now knowingly, writes the typed one."""
    theirs = said_of(stored)
    form.version = stored.version
    conflict = {"by": stored.changed_by, "at": stored.changed_at}
    conflict["places"] = differences(theirs, form.said())
    return _page(request, form, stored, status=409, conflict=conflict)


def _autosave(
    request: HttpRequest, form: CounterForm, stored: Request | None, valid: bool
) -> HttpResponse:
    context: dict[str, Any] = {"form": form, "stored": stored}
    if not valid:
        context |= {"trouble": "Not saved:", "mend": form.errors}
    elif stored is None and form.said().is_blank:
        return HttpResponse(status=204)
    else:
        try:
            context["stored"] = saved = _write(request, form, stored, by_itself=True)
            context |= _calls_again(saved)
            stayed = {o.position: o for o in saved.openings.all()}
            context["keys"] = [
                (opening, stayed[place].pk) for place, opening in enumerate(form.staying)
            ]
        except StaleError as stale:
            context["trouble"] = _changed_meanwhile(request, stale.stored)
        except RequestError as error:
            _show(form, error)
            context |= {"trouble": "Not saved:", "mend": form.errors}
        except OperationalError:
            connection.close_if_unusable_or_obsolete()
            context["trouble"] = (
                "Not saved: the database does not answer. It is tried again as you type."
            )
    response = render(request, "quotes/counter_saved.html", context)
    if stored is None and context["stored"] is not None:
        response["HX-Replace-Url"] = reverse("request", args=[context["stored"].pk])
    return response


def _calls_again(stored: Request) -> dict[str, Any]:
    """Who may be calling, where nothing tells for certain, and what the desk has of them: calls not finished, open
    quotes."""
    likely = likely_callers(stored) if stored.customer is None else []
    customers = [one.customer for one in likely] if stored.customer is None else [stored.customer]
    return {
        "likely": likely,
        "begun": begun_before(stored),
        "quoted": quoted_before(stored, customers) if customers else [],
    }


def _changed_meanwhile(request: HttpRequest, stored: Request) -> str:
    if stored.changed_by == request.user.get_username():
        return "Not saved: you changed it in another window meanwhile. Save shows both."
    return f"Not saved: {name_of(stored.changed_by)} has changed it meanwhile. Save shows both."


def _page(
    request: HttpRequest,
    form: CounterForm,
    stored: Request | None,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    needed = stored.needed_by if stored else None
    if form.head.is_bound:
        needed = form.head.cleaned_data.get("needed_by")
    openings = [worked(opening, needed) for opening in form.openings]
    context = {
        "form": form,
        "stored": stored,
        "quotes": quotes_of(stored) if stored else [],
        "openings": openings,
        "address": reverse("request", args=[stored.pk]) if stored else reverse("counter"),
        "summary": form.errors if form.head.is_bound else [],
        "specials": of_request(stored.pk) if stored else None,
        **(_calls_again(stored) if stored else {}),
        "own_keys": "quotes/counter_keys.html",
        **more,
    }
    return render(request, "quotes/counter.html", context, status=status)


@require_safe
def counter_kept(request: HttpRequest) -> HttpResponse:
    """What was typed before a sign-in had run out, back in its boxes and not yet saved."""
    kept = take(request, "counter")
    revisions = revisions_in_force()
    if not kept or not revisions:
        return redirect("counter")
    stored = Request.objects.filter(pk=kept["pk"]).first() if kept["pk"] else None
    form = CounterForm.posted(kept["typed"], stored, revisions)
    form.is_valid()
    messages.warning(request, "This is what you had typed. It is not saved yet: press Save.")
    return _page(request, form, stored)


def _sign_in_again(request: HttpRequest) -> HttpResponse:
    """Nobody is signed in. What was posted waits in the session until somebody is."""
    if request.method != "POST":
        return redirect_to_login(request.get_full_path())
    if request.POST.get("do") == "autosave":
        return render(request, "quotes/counter_trouble.html", {"trouble": SIGNED_OUT})
    _keep(request)
    return redirect_to_login(reverse("counter-kept"))


def _keep(request: HttpRequest) -> bool:
    pk = request.resolver_match.kwargs.get("pk") if request.resolver_match else None
    return keep(request, "counter", MOST_KEPT, pk=pk)


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    """The page was older than the sign-in (signed in again elsewhere): nothing typed is lost by it."""
    match = request.resolver_match
    ours = match is not None and match.url_name in ("counter", "request")
    if ours and request.POST.get("do") == "autosave":
        return render(request, "quotes/counter_trouble.html", {"trouble": SIGNED_OUT})
    elsewhere = is_from_elsewhere(reason)
    if ours and not elsewhere and _keep(request):
        return redirect("counter-kept")
    if (
        match is not None
        and match.url_name == "pasted"
        and not elsewhere
        and keep(request, "pasted")
    ):
        return redirect("pasted")
    return csrf.csrf_failure(request, reason)
