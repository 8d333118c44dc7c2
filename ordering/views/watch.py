"""The watch list: what of the open work needs somebody, and that somebody was called."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.views.decorators.http import require_POST, require_safe

from ordering import events
from ordering.find_forms import WatchFind
from ordering.lists.pages import WATCH
from ordering.lists.watch import asked_for, watch_list
from ordering.views.people import who_is
from sizing.lists import MOST_COUNTED, show
from sizing.roles import has_role


@require_safe
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
