"""The first page: what needs this person now, and the way to the counter or to "when?"."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from ordering.lists.today import not_taken_up, start_of_day
from sizing.lookup import any_in_force
from sizing.roles import has_role, roles_of


@require_safe
def today(request: HttpRequest) -> HttpResponse:
    headings = start_of_day(roles_of(request.user))
    takes_calls = has_role(request.user, "counter", "manager")
    context = {
        "waiting": [heading for heading in headings if heading.count],
        "quiet": [heading for heading in headings if not heading.count],
        "takes_calls": takes_calls,
        "not_taken_up": not_taken_up(),
        # Whoever has work waiting has begun already, and is not asked about.
        "begins": takes_calls and not any(h.count for h in headings) and not any_in_force(),
    }
    return render(request, "ordering/today.html", context)
