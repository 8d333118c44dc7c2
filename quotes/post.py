"""Sends mail that was written as rows of the database, so that none is lost and none is doubled.

The row is written in the transaction of what causes it; sending comes after. A worker claims a row
by one UPDATE that only one of them can win, sends it, and notes that it went. A worker that dies
leaves its claim behind: the row falls due again, later after every attempt, but for a mail server that is away.

One window stays open, in SMTP itself: a worker killed after the server took the message and before
the note is written cannot know that it went, and the row is sent once more. It goes out under the
same Message-ID, fixed when the row was written, and that is what receiving servers and mail
programs know a second copy by (RFC 5322, 3.6.4: one Message-ID, one message).

The link of a mail is its reader's permission, so a row says `LINK` in its place: the address is made
anew from the link's nonce when the mail is sent, and neither the database nor a copy of it holds one.

While a mail waits, what it says may cease to be so. Who writes the message then raises `Overtaken`: the
row is kept with the reason in the place of an error, and does not go.

A row has `message_id`, `attempts`, `last_error`, `taken_at`, `sent_at` and, if it is a mail, `dropped_at` and `copied_to`.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import datetime, timedelta
from email.utils import make_msgid, parseaddr
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error
from django.core.mail import EmailMessage
from django.db import InterfaceError, OperationalError, connection
from django.db.models import F, Q, QuerySet
from django.utils import timezone

# A claim holds longer than any one sending can take; each further attempt waits twice as long.
FIRST_WAIT = timedelta(seconds=300)
LONGEST_WAIT = timedelta(hours=6)
# Seconds until it is tried again to note that a mail went; with what a held database is waited for each time, all of
# them end before the claim does.
NOTE_AGAIN = (1, 5, 20, 60)
# How often a wait is doubled at most.
DOUBLINGS = 20
# Whoever takes long to answer holds up what else a worker has to do for no longer than about this.
ROUND_SECONDS = 30.0
MOST_A_ROUND = 50
LINK = "‹the page of this mail›"
# Of mail: neither gone nor overtaken.
WAITING = Q(sent_at=None, dropped_at=None)


# How `last_error` begins where no mail could have gone. It says nothing against the mail, which is then tried again
# as if for the third time at most, and so soon after a long outage, too.
AWAY = "no mail gets through: "
AWAY_AS_AFTER = 3


class Overtaken(Exception):
    """Why a mail that waited need not go any more, in words for the desk."""


class _Away(Exception):
    def __init__(self, problem: Exception) -> None:
        self.problem = problem


def new_message_id() -> str:
    """One for a row's whole life. The domain is the sender's own."""
    _, address = parseaddr(settings.DEFAULT_FROM_EMAIL)
    return make_msgid(domain=address.partition("@")[2] or "localhost")


def first_wait() -> timedelta:
    return timedelta(seconds=getattr(settings, "POST_FIRST_WAIT", FIRST_WAIT.total_seconds()))


def check_first_wait(**more: Any) -> list[CheckMessage]:
    """Django's check of the settings: without a wait a claim holds nothing, and two workers send one mail."""
    if first_wait() > timedelta():
        return []
    said = f"POST_FIRST_WAIT is {settings.POST_FIRST_WAIT}: mail would be sent twice."
    return [Error(said, hint="Give the seconds that any one sending can take, 300 for instance.")]


def wait_after(attempts: int) -> timedelta:
    """How long after its attempt number `attempts` an unsent row is tried again."""
    return min(
        min(first_wait(), LONGEST_WAIT) * 2 ** min(max(attempts - 1, 0), DOUBLINGS), LONGEST_WAIT
    )


def due(rows: QuerySet, now: datetime | None = None) -> QuerySet:
    """The unsent rows whose turn it is, by attempts made and the time since the last."""
    now = now or timezone.now()
    # A claim from later than now was made by a clock that was wrong: no wait is counted from it.
    turn = Q(taken_at=None) | Q(taken_at__gt=now + wait_after(1))
    for tries in range(1, DOUBLINGS + 2):
        wait = wait_after(tries)
        # From here on every wait is the same.
        last = wait == wait_after(tries + 1)
        turn |= Q(**{"attempts__gte" if last else "attempts": tries, "taken_at__lte": now - wait})
        if last:
            break
    turn |= Q(last_error__startswith=AWAY, taken_at__lte=now - wait_after(AWAY_AS_AFTER))
    return rows.filter(turn, sent_at=None)


def send(rows: QuerySet, pk: int, write: Callable[[Any], EmailMessage]) -> bool:
    """Send one row if it is due and nobody else is at it; True if it went.

    Called outside any transaction: the claim must stand before the server is spoken to.
    """
    model = rows.model
    # What failed before is over: by an error is told who is done from who is still at it.
    claimed = due(model.objects.filter(pk=pk)).update(
        taken_at=timezone.now(), attempts=F("attempts") + 1, last_error=""
    )
    if not claimed:
        return False
    row = model.objects.get(pk=pk)
    try:
        message = write(row)
        message.extra_headers.setdefault("Message-ID", row.message_id)
        noted = _deliver(message)
    except Overtaken as reason:
        noted = {"dropped_at": timezone.now(), "last_error": str(reason)}
    except _Away as away:
        noted = {"last_error": f"{AWAY}{_in_words(away.problem)}"}
    # Whatever went wrong, the row stays and is tried again; the desk reads why.
    except Exception as problem:
        noted = {"last_error": _in_words(problem)}
    noted["last_error"] = noted["last_error"][:500]
    _note(model.objects.filter(pk=pk), noted)
    return "sent_at" in noted


def _note(row: QuerySet, noted: dict[str, Any]) -> None:
    """What went and is not noted goes again: a database that is held or away for a moment is waited for."""
    for seconds in NOTE_AGAIN:
        try:
            row.update(**noted)
        except (OperationalError, InterfaceError):
            connection.close_if_unusable_or_obsolete()
            time.sleep(seconds)
        else:
            return
    row.update(**noted)


def is_being_sent(row: Any) -> bool:
    """Whether a worker is at it: its claim is young, and it has neither sent it nor failed."""
    young = row.taken_at is not None and row.taken_at > timezone.now() - first_wait()
    return young and row.sent_at is None and not row.last_error


def _in_words(problem: Exception) -> str:
    return f"{type(problem).__name__}: {problem}"


def _deliver(message: EmailMessage) -> dict[str, Any]:
    """Hand it over; the columns that say so. A mail server that is away is told from one that refuses this mail."""
    if not isinstance(message, EmailMessage):  # a call of `ordering.news`, with the face of a mail
        message.send()
        return {"sent_at": timezone.now(), "last_error": ""}
    message.connection = message.get_connection()
    try:
        message.connection.open()
    except Exception as problem:
        raise _Away(problem) from problem
    try:
        message.send()
    finally:
        message.connection.close()
    return {"sent_at": timezone.now(), "last_error": "", "copied_to": list(message.cc)}


def send_due(rows: QuerySet, write: Callable[[Any], EmailMessage]) -> int:
    """Send what is due, the oldest first, none begun after ROUND_SECONDS or once the mail server turns out to be
    away; how many went."""
    turn = list(due(rows).order_by("pk").values_list("pk", flat=True)[:MOST_A_ROUND])
    until = time.monotonic() + ROUND_SECONDS
    went = 0
    for pk in turn:
        if time.monotonic() >= until:
            break
        if send(rows, pk, write):
            went += 1
        elif rows.filter(pk=pk, last_error__startswith=AWAY).exists():
            break  # no other would go
    return went
