"""Sends mail that was written as rows of the database, so that none is lost and none is doubled.

The row is written in the transaction of what causes it; sending comes after. A worker claims a row
by one UPDATE that only one of them can win, sends it, and notes that it went. A worker that dies
leaves its claim behind: the row falls due again, later after every attempt.

One window stays open, in SMTP itself: a worker killed after the server took the message and before
the note is written cannot know that it went, and the row is sent once more. It goes out under the
same Message-ID, fixed when the row was written, and that is what receiving servers and mail
programs know a second copy by (RFC 5322, 3.6.4: one Message-ID, one message).

The link of a mail is its reader's permission, so a row says `LINK` in its place: the address is made
anew from the link's nonce when the mail is sent, and neither the database nor a copy of it holds one.

A row has `message_id`, `attempts`, `last_error`, `taken_at` and `sent_at`.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from email.utils import make_msgid, parseaddr
from typing import Any

from django.conf import settings
from django.core.mail import EmailMessage
from django.db.models import F, Q, QuerySet
from django.utils import timezone

# A claim holds longer than any one sending can take; each further attempt waits twice as long.
FIRST_WAIT = timedelta(seconds=300)
LONGEST_WAIT = timedelta(hours=6)
LINK = "‹the page of this mail›"


def new_message_id() -> str:
    """One for a row's whole life. The domain is the sender's own."""
    _, address = parseaddr(settings.DEFAULT_FROM_EMAIL)
    return make_msgid(domain=address.partition("@")[2] or "localhost")


def wait_after(attempts: int) -> timedelta:
    """How long after its attempt number `attempts` an unsent row is tried again."""
    first = timedelta(seconds=getattr(settings, "POST_FIRST_WAIT", FIRST_WAIT.total_seconds()))
    return min(first * 2 ** min(max(attempts - 1, 0), 20), LONGEST_WAIT)


def due(rows: QuerySet, now: datetime | None = None) -> QuerySet:
    """The unsent rows whose turn it is, by attempts made and the time since the last."""
    now = now or timezone.now()
    # A claim from later than now was made by a clock that was wrong: no wait is counted from it.
    turn = Q(taken_at=None) | Q(taken_at__gt=now + wait_after(1))
    tries = 1
    while True:
        wait = wait_after(tries)
        last = wait == LONGEST_WAIT
        turn |= Q(**{"attempts__gte" if last else "attempts": tries, "taken_at__lte": now - wait})
        if last:
            return rows.filter(turn, sent_at=None)
        tries += 1


def send(rows: QuerySet, pk: int, write: Callable[[Any], EmailMessage]) -> bool:
    """Send one row if it is due and nobody else is at it; True if it went.

    Called outside any transaction: the claim must stand before the server is spoken to.
    """
    model = rows.model
    claimed = due(model.objects.filter(pk=pk)).update(
        taken_at=timezone.now(), attempts=F("attempts") + 1
    )
    if not claimed:
        return False
    row = model.objects.get(pk=pk)
    try:
        message = write(row)
        message.extra_headers.setdefault("Message-ID", row.message_id)
        message.send()
    # Whatever went wrong, the row stays and is tried again; the desk reads why.
    except Exception as problem:
        words = f"{type(problem).__name__}: {problem}"[:500]
        model.objects.filter(pk=pk).update(last_error=words)
        return False
    model.objects.filter(pk=pk).update(sent_at=timezone.now(), last_error="")
    return True


def send_due(rows: QuerySet, write: Callable[[Any], EmailMessage], most: int = 50) -> int:
    """Send what is due, the oldest first; how many went."""
    turn = due(rows).order_by("pk").values_list("pk", flat=True)[:most]
    return sum(send(rows, pk, write) for pk in list(turn))
