"""/health/: whether the desk answers, and how long what waits has been waiting. No names, no secrets.

200 while all is well, 503 when the database does not answer or the worker or the mail stands still.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from django.contrib.auth.decorators import login_not_required
from django.db import DatabaseError
from django.db.models import Min
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django_tasks_db.models import DBTaskResult

from ordering.models import Notice
from quotes.models import Letter
from quotes.post import WAITING

# Tasks are taken up within seconds; a mail server that is away is retried for hours.
LONGEST = {"queue_seconds": timedelta(minutes=10), "mail_seconds": timedelta(hours=1)}
MEND = {
    "database": "The database does not answer: see that it runs and that the disk is not full.",
    "queue_seconds": "Work has waited for over 10 minutes: see that “manage.py work” runs.",
    "mail_seconds": "Mail has waited for over an hour: see that the mail server answers.",
}


@login_not_required
@never_cache
def health(request: HttpRequest) -> JsonResponse:
    now = timezone.now()
    try:
        waits = {
            "queue_seconds": _age(_oldest_task(now), now),
            "mail_seconds": _age(_oldest_mail(), now),
        }
    except DatabaseError:
        return _told({"database": False}, ["database"])
    late = [name for name, longest in LONGEST.items() if waits[name] > longest.total_seconds()]
    return _told({"database": True, **waits}, late)


def _told(facts: dict[str, bool | int], wrong: list[str]) -> JsonResponse:
    """`problems` has the same shape as in the API's answers."""
    problems = [{"where": name, "words": MEND[name]} for name in wrong]
    said = {"well": not wrong, **facts, "problems": problems}
    return JsonResponse(said, status=503 if wrong else 200)


def _oldest_task(now: datetime) -> datetime | None:
    """Since when the task that has waited longest could have been taken up."""
    ready = DBTaskResult.objects.ready()
    # A task for right now is stored with the farthest future as its time.
    at_once = ready.filter(run_after__gt=now).aggregate(at=Min("enqueued_at"))["at"]
    later = ready.filter(run_after__lte=now).aggregate(at=Min("run_after"))["at"]
    return min(filter(None, (at_once, later)), default=None)


def _oldest_mail() -> datetime | None:
    """When the oldest mail that has not gone out was written; calls to be made by phone don't count."""
    letter = Letter.objects.filter(WAITING).aggregate(at=Min("created_at"))["at"]
    notice = Notice.objects.filter(WAITING).exclude(to="").aggregate(at=Min("created_at"))["at"]
    return min(filter(None, (letter, notice)), default=None)


def _age(since: datetime | None, now: datetime) -> int:
    """Whole seconds; 0 if nothing waits."""
    return max(0, int((now - since).total_seconds())) if since else 0
