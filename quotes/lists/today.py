"""Reads what of the quotes' side needs somebody today: calls, changes, drafts, quotes about to lapse."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.db.models import Case, Count, QuerySet, When
from django.utils import timezone

from quotes.lists.issue_states import can_be_accepted
from quotes.models import ChangeAsked, Issue, Request
from quotes.worklist import calls
from sizing.standing import Place

# Calls of these days come first; older ones wait behind them until somebody says that nothing came of them.
NEW_CALLS = timedelta(days=14)
LAPSING = timedelta(days=7)


def calls_to_finish(since: datetime | Place | None = None) -> QuerySet[Request]:
    """Requests without a quote, however old; `count` is their openings.

    Those taken since then (the last two weeks) come first, the oldest of them at the top, then the older ones.
    """
    since = since or timezone.now() - NEW_CALLS
    return (
        calls(Request.objects.filter(waits=True))
        .annotate(count=Count("openings"))
        .order_by(Case(When(created_at__gte=since, then=0), default=1), "created_at")
    )


def changes_asked() -> QuerySet[ChangeAsked]:
    """What customers asked about their quotes or sent them back with, the oldest first."""
    return (
        ChangeAsked.objects.filter(done_at=None)
        .select_related("issue__quote__customer")
        .order_by("at")
    )


def drafts_to_issue() -> QuerySet[Issue]:
    """Quotes written and not issued yet, the oldest first."""
    return (
        Issue.objects.filter(issued_at=None, quote__acceptance=None)
        .select_related("quote__customer")
        .order_by("created_at")
    )


def quotes_lapsing(
    today: date | Place | None = None, until: date | Place | None = None
) -> QuerySet[Issue]:
    """Issues that can still be accepted and won't be after that day (in a week), the soonest first."""
    today = today or timezone.localdate()
    until = until or today + LAPSING
    return (
        can_be_accepted(today)
        .filter(valid_until__lte=until)
        .select_related("quote__customer")
        .order_by("valid_until", "pk")
    )
