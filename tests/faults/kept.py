"""Gathers what is there after the faults, for the judge: acts, requests, mails, the box, and findings."""

import email
import email.policy
import re
from collections import Counter
from pathlib import Path

from tests.faults.day import BY_HAND, says
from tests.faults.judge import Kept

# A page opened by its unguessable address.
PAGE = r"https?://[^\s/]+/[a-z-]+/[\w-]{20,}/?"


def gather(box: Path) -> Kept:
    from django.db import connection

    from ordering.verifying import findings

    kept = Kept(acts=acts(), said=said(), requests=requests(), mails=mails(), written=written())
    kept.dropped = dropped()
    for path in box.glob("*.eml"):
        mail = email.message_from_bytes(path.read_bytes(), policy=email.policy.default)
        kept.box[mail["Message-ID"]] += 1
        words = mail.get_body(("plain",)).get_content()
        came = mail["To"], mail["Subject"], tuple(sorted(set(re.findall(PAGE, words))))
        kept.came.setdefault(mail["Message-ID"], set()).add(came)
    kept.findings = [*findings(), *unanswered_openings(), *unlearned_lines()]
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
    found.update(_placed(order) for order in Order.objects.select_related("acceptance"))
    events = Event.objects.order_by("pk").values_list("order__acceptance__quote", "act")
    left: Counter = Counter()
    for quote, act in events.filter(
        act__in=("sent", "promised", "left", "deposit", "remade", "cancelled")
    ):
        if act == "left":
            left[quote] += 1
            found[quote, f"left {left[quote]}"] += 1
        else:
            found[quote, act] += 1
    for to in Letter.objects.filter(to__startswith="quote").values_list("to", flat=True):
        found[int(to.split("@")[0].removeprefix("quote")), "letter"] += 1
    return found


def _placed(order) -> tuple:
    """How its placing is named in the books: by its quote, or by the page it was typed into."""
    return (order.acceptance.quote_id, "placed") if order.acceptance else (BY_HAND, str(order.page))


def said() -> dict[tuple, tuple]:
    """What each act of an order came to: pieces by line, and the day, the amount or the reason."""
    from ordering.models import Event

    found: dict[tuple, tuple] = {}
    left: Counter = Counter()
    for event in Event.objects.order_by("pk").select_related("order__acceptance"):
        order, act, pieces, other = event.order, event.act, event.pieces, ""
        name = _placed(order)
        if act == "placed":
            pieces = {number: line["quantity"] for number, line in event.data["lines"].items()}
            other = order.note if name[0] == BY_HAND else ""
        elif act == "promised":
            # One day for all lines; were there two, they stand one beside the other.
            other = " ".join(sorted(set(event.data["promised"].values())))
        elif act == "deposit":
            other = event.data["amount"]
        elif act in ("remade", "cancelled"):
            other = event.why
        elif act == "left":
            left[order.pk] += 1
            act = f"left {left[order.pk]}"
        mark = name if act == "placed" else (name[0], act)
        found[mark] = says({int(number): count for number, count in pieces.items()}, other)
    return found


def requests() -> dict[str, list[tuple]]:
    from quotes.models import Request

    found: dict[str, list[tuple]] = {}
    for request in Request.objects.exclude(page=None).prefetch_related("openings"):
        windows = sorted(request.openings.all(), key=lambda one: one.position)
        measures = tuple(window.said.get("upper_glass") for window in windows)
        said = (request.caller, request.note, measures)
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


# What may take the place of a notice of that kind, if it was written later: None is any.
REPLACED = {"confirmed": None, "moved": None, "delayed": None, "again": "cancelled"}


def dropped() -> set[str]:
    """Message-IDs of the mails that were dropped while they waited, and rightly.

    By what is there, not by what the desk gives as its reason: later word of the same order, of a piece made
    again that it was cancelled; of a letter about a quote, that this was accepted after it was written.
    """
    from ordering.sending import POSTED
    from quotes.models import Letter

    found = set()
    for notice in POSTED.exclude(dropped_at=None).exclude(event=None).select_related("event"):
        event = notice.event
        later = POSTED.filter(event__order=event.order_id, event__number__gt=event.number)
        kind = REPLACED.get(notice.kind)
        if notice.kind in REPLACED and (later.filter(kind=kind) if kind else later).exists():
            found.add(notice.message_id)
    for letter in Letter.objects.exclude(dropped_at=None).select_related(
        "issue__quote__acceptance"
    ):
        if letter.issue.quote.acceptance.at > letter.created_at:
            found.add(letter.message_id)
    return found


def written() -> dict[str, tuple]:
    """{Message-ID: (receiver, subject, the pages it leads to)}, by whom each row is about."""
    from ordering.links import page_of, page_of_factory
    from ordering.sending import POSTED
    from quotes.links import address_of
    from quotes.models import Letter
    from quotes.post import LINK

    found = {}
    for notice in POSTED.select_related("event__order", "factory_order"):
        page = (
            page_of_factory(notice.factory_order)
            if notice.factory_order
            else page_of(notice.event.order)
        )
        found[notice.message_id] = notice.to, notice.subject, (page,) if LINK in notice.body else ()
    for letter in Letter.objects.select_related("issue__link"):
        page = (address_of(letter.issue),) if LINK in letter.body else ()
        found[letter.message_id] = letter.to, letter.subject, page
    return found


def unlearned_lines() -> list[str]:
    """Lines at the factory whose days the lead times have not learned."""
    from ordering.models import OrderLine, PastOrder

    past = {
        row.reference: (row.ordered_on, row.shipped_on, row.promised_on)
        for row in PastOrder.objects.all()
    }
    return [
        f"line {line}: its days are not those that the lead times know"
        for line in OrderLine.objects.exclude(sent_on=None)
        .exclude(family=None)
        .select_related("order")
        if past.get(str(line)) != (line.sent_on, line.left_on, line.promised_on)
    ]
