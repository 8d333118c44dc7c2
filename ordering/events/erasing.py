"""Erases a customer while the books stay, and keeps what has to be erased again in an older copy.

`quotes.erased` says what goes. The log of an order is never changed but for this: reasons that people
have typed become one word, so that it reads on and every state still follows from it.
"""

from __future__ import annotations

import fcntl
import json
import logging
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from dateutil.relativedelta import relativedelta
from django.conf import settings
from django.contrib.sessions.models import Session
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from config.on_disk import keep_file, keep_names
from ordering.links import new_link
from ordering.models import Event, FactoryOrder, Notice, Order, OrderLine, OrderWord
from ordering.words import words_of
from quotes.desk import erasing
from quotes.desk.holding import hold
from quotes.desk.posting import SAID_OF
from quotes.erased import ERASED, NOWHERE, Scrub
from quotes.lists.personal import requests_of
from quotes.lists.shop import the_shop
from quotes.models import Customer, Erasure, Letter, Request, Special
from quotes.triples import forget_gone

_log = logging.getLogger(__name__)


class ErasingError(ValueError):
    """Why a customer cannot be erased yet: one sentence."""


def hindrances(customer: Customer) -> list[str]:
    """What has to be finished before the customer can be erased, one sentence each."""
    if customer.merged_into_id:
        return [f"{customer} was merged into {customer.merged_into}: erase that one."]
    found = [
        f"{order} is still open: hand it over or cancel it first."
        for order in customer.orders.filter(is_open=True)[:20]
    ]
    asked = Special.objects.filter(request__in=requests_of(customer), state__in=Special.OPEN)
    found += [f"{special} is still open: answer or close it first." for special in asked[:20]]
    return found


def erase_customer(customer_pk: int, by: str, at: datetime | None = None) -> Erasure:
    """Erase a customer for good and bring the list up to date: both or neither.

    The same erasure however often it is asked for. Raises ErasingError, and OSError where the list can't
    be written.
    """
    with _list_to_ourselves() as folder:
        with transaction.atomic():
            made = _erase(customer_pk, by, at)
            # All that can go wrong with a file goes wrong here, while the erasing can still be undone.
            anew = _write_list(folder)
        _renew_list(anew)
    return made


def _erase(customer_pk: int, by: str, at: datetime | None) -> Erasure:
    customer = erasing.hold_customer(customer_pk)
    orders = _hold_orders(customer)
    found = Erasure.objects.filter(customer=customer).first()
    if found and at is None:
        return found
    hindered = hindrances(customer)
    if hindered and at is None:
        raise ErasingError(hindered[0])
    scrub = erasing.forget_customer(customer)
    for order in orders:
        _order(order, scrub)
    made, _ = Erasure.objects.get_or_create(
        customer=customer, defaults={"by": by[:150], "at": at or timezone.now()}
    )
    return made


def _hold_orders(customer: Customer) -> list[Order]:
    """Their orders, held with the factory orders that they are in and with whatever else is made in these: what a
    factory has said stands with all of it."""
    sent = set(
        FactoryOrder.objects.filter(lines__order__customer=customer).values_list("pk", flat=True)
    )
    beside = OrderLine.objects.filter(factory_order__pk__among=sent).values_list("order", flat=True)
    theirs = Q(customer=customer) | Q(pk__among=set(beside))
    held = hold(Order.objects.filter(theirs))
    hold(FactoryOrder.objects.filter(pk__among=sent))
    return [order for order in held if order.customer_id == customer.pk]


def _order(order: Order, scrub: Scrub) -> None:
    link = new_link()
    order.ship_to = [ERASED] if order.ship_to else []
    order.email = order.note = order.their_number = ""
    order.nonce, order.token_hash = link["nonce"], link["token_hash"]
    order.save(update_fields=["ship_to", "email", "note", "their_number", "nonce", "token_hash"])
    for line in order.lines.filter(part=None):
        line.description = scrub.text(line.description)
        line.save(update_fields=["description"])
    Event.objects.filter(order=order).exclude(why="").forget_why(ERASED)
    _said_of_several(order, scrub)
    _notices(order, scrub)
    OrderWord.objects.filter(order=order).delete()
    OrderWord.objects.bulk_create(
        OrderWord(order=order, word=word)
        for word in words_of(order, order.lines.select_related("part"))
    )


def _said_of_several(order: Order, scrub: Scrub) -> None:
    """What a factory has said, or given as its reason, stands with all the orders that it makes together."""
    for sent in FactoryOrder.objects.filter(lines__order=order).distinct():
        if sent.said:
            sent.said = scrub.text(sent.said)
            sent.save(update_fields=["said"])
        for letter in Letter.objects.filter(cause__begins=f"{SAID_OF}{sent.number}: "):
            letter.body = scrub.text(letter.body)
            letter.save(update_fields=["body"])
    others = Event.objects.filter(order__lines__factory_order__lines__order=order)
    for event in others.exclude(order=order).exclude(why="").distinct():
        words = scrub.text(event.why)
        if words != event.why:
            Event.objects.filter(pk=event.pk).forget_why(words)
            _scrub_bodies(event.notices.all(), scrub)


def _notices(order: Order, scrub: Scrub) -> None:
    # A factory that is asked to stop still is.
    told = Notice.objects.filter(event__order=order, factory_order=None)
    # What waits to be sent or said never is; a call that nobody made counts as done.
    told.filter(sent_at=None).update(to="", called_by=ERASED, sent_at=timezone.now())
    told.exclude(to="").update(to=NOWHERE)
    told.update(subject=ERASED, body="", html="", last_error="")
    _scrub_bodies(Notice.objects.filter(factory_order__lines__order=order).distinct(), scrub)


def _scrub_bodies(notices: Iterable[Notice], scrub: Scrub) -> None:
    for notice in notices:
        notice.body, notice.html = scrub.text(notice.body), scrub.text(notice.html)
        notice.save(update_fields=["body", "html"])


def forget_old(now: datetime | None = None) -> dict[str, int]:
    """Erase what is older than the shop keeps it, and sessions that are over; how many of what."""
    now = now or timezone.now()
    sessions, _ = Session.objects.filter(expire_date__lt=now - timedelta(days=1)).delete()
    months = the_shop().keep_months
    gone = _forget_before(now - relativedelta(months=months)) if months is not None else {}
    # Once more than a day, as nobody knows when the last night's work was.
    if gone.get("requests") or Erasure.objects.filter(at__gte=now - timedelta(days=3)).exists():
        forget_gone()
    return {**gone, "sessions": sessions}


def _forget_before(before: datetime) -> dict[str, int]:
    old = Notice.objects.filter(Q(sent_at__lt=before) | Q(dropped_at__lt=before)).exclude(body="")
    return {
        **erasing.forget_old(before),
        "notices": erasing.by_batches(old, lambda rows: rows.update(body="", html="")),
    }


def list_file() -> Path:
    """Where the erasures stand besides the database: numbers and moments, no names."""
    return Path(settings.VAR_DIR) / "erased.jsonl"


def known_erasures() -> dict[int, dict]:
    """{customer's number: erasure} of the list and of the database, the list's word first.

    Whoever was merged into them has a line of their own, for a copy from before that; `requests` are
    [number, moment] of theirs, for one from before they were a customer.
    """
    found = {}
    for row in Erasure.objects.select_related("customer").prefetch_related("customer__merged"):
        said = {"by": row.by, "at": row.at.isoformat()}
        for one in (row.customer, *row.customer.merged.all()):
            found[one.pk] = {"customer": one.pk, "since": one.created_at.isoformat(), **said}
    theirs = Request.objects.filter(customer__pk__among=found.keys()).order_by("pk")
    for customer, pk, since in theirs.values_list("customer", "pk", "created_at"):
        found[customer].setdefault("requests", []).append([pk, since.isoformat()])
    for pk, line in listed().items():
        same = found.get(pk, {}).get("since") == line["since"]
        found[pk] = found[pk] | line if same else line
    return found


def listed() -> dict[int, dict]:
    """The erasures of the list alone."""
    if not list_file().exists():
        return {}
    lines = list_file().read_text(encoding="utf-8").splitlines()
    return {line["customer"]: line for line in map(json.loads, filter(None, lines))}


@contextmanager
def _list_to_ourselves() -> Iterator[Path]:
    """A folder for the new list, while nobody else on this machine writes one; gone afterwards.

    Taken before anything in the database is locked, so that nobody waits for it who is waited for.
    """
    file = list_file()
    file.parent.mkdir(exist_ok=True)
    with file.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        with TemporaryDirectory(
            dir=file.parent, prefix=f"{file.stem}-", ignore_cleanup_errors=True
        ) as folder:
            yield Path(folder)


def _write_list(folder: Path) -> Path:
    """The list as it is to be, on the disk. It outlives the database, for a copy from before an erasure."""
    anew = folder / list_file().name
    with anew.open("w", encoding="utf-8") as opened:
        opened.writelines(f"{json.dumps(line)}\n" for _, line in sorted(known_erasures().items()))
    keep_file(anew)
    return anew


def _renew_list(anew: Path) -> None:
    try:
        anew.replace(list_file())
        keep_names(list_file().parent)
    except OSError:
        # The customer is erased, and whoever did it is told so; the next erasing writes both down.
        _log.exception("%s could not be renewed: see what is in its way", list_file())


def erase_again(known: dict[int, dict]) -> int:
    """Erase in a restored copy who had been erased after it was made; how many.

    A number counts only with the moment at which its customer, or request, was first written down: another
    desk's have other moments.
    """
    count = 0
    for pk, line in known.items():
        customer = Customer.objects.filter(pk=pk, erasure=None, merged_into=None).first()
        again = customer is not None and customer.created_at == _moment(line["since"])
        if again:
            erase_customer(pk, line["by"], _moment(line["at"]))
        for request, since in line.get("requests", ()):
            again |= erasing.forget_call(request, _moment(since))
        count += again
    if count:
        forget_gone()
    return count


_moment = datetime.fromisoformat
