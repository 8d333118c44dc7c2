"""Gathers what is there after the faults, for the judge: acts, requests, mails, the box, and findings."""

import email
from collections import Counter
from pathlib import Path

from tests.faults.judge import Kept


def gather(box: Path) -> Kept:
    from django.db import connection

    from ordering.verifying import findings

    kept = Kept(acts=acts(), requests=requests(), mails=mails())
    kept.box = Counter(
        email.message_from_bytes(path.read_bytes())["Message-ID"] for path in box.glob("*.eml")
    )
    kept.findings = [*findings(), *unanswered_openings()]
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA integrity_check")
            kept.findings += [line for (line,) in cursor.fetchall() if line != "ok"]
    return kept


def acts() -> Counter:
    """How often each thing that people asked for has happened."""
    from ordering.models import Event, Order
    from quotes.models import Letter

    found: Counter = Counter()
    quotes = Order.objects.values_list("acceptance__quote", flat=True)
    found.update((quote, "placed") for quote in quotes)
    events = Event.objects.order_by("pk").values_list("order__acceptance__quote", "act")
    left: Counter = Counter()
    for quote, act in events.filter(act__in=("sent", "promised", "left")):
        if act == "left":
            left[quote] += 1
            found[quote, f"left {left[quote]}"] += 1
        else:
            found[quote, act] += 1
    for to in Letter.objects.filter(to__startswith="quote").values_list("to", flat=True):
        found[int(to.split("@")[0].removeprefix("quote")), "letter"] += 1
    return found


def requests() -> dict[str, list[tuple]]:
    from django.db.models import Count

    from quotes.models import Request

    found: dict[str, list[tuple]] = {}
    for request in Request.objects.exclude(page=None).annotate(windows=Count("openings")):
        said = (request.caller, request.note, request.windows)
        found.setdefault(str(request.page), []).append(said)
    return found


def unanswered_openings() -> list[str]:
    from quotes.models import Opening

    return [f"{opening} has no answer" for opening in Opening.objects.filter(answer={})]


def mails() -> dict[str, tuple[str, int]]:
    from ordering.sending import POSTED
    from quotes.models import Letter

    found = {
        notice.message_id: (
            f"{notice.event or notice.factory_order}, {notice.kind}",
            notice.attempts,
        )
        for notice in POSTED.select_related("event__order", "factory_order")
    }
    for letter in Letter.objects.all():
        found[letter.message_id] = (letter.cause, letter.attempts)
    return found
