"""Looks whether what is stored agrees with itself: one sentence for each thing that does not.

The event log is the truth; copies of it, sums, notices and part numbers have to follow from it. Reads
only, a few hundred orders at a time, so it can run beside the desk and on a restored backup.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from decimal import Decimal

from django.apps import apps
from django.conf import settings
from django.db import connection
from django.db.models import Count, Exists, F, OuterRef, Q

from ordering.events import copy_state
from ordering.logged import state_of
from ordering.models import Event, FactoryOrder, Notice, Order, OrderLine
from ordering.notices import CAUSED_BY, IF_SAID, PRESSED_FOR, Kind
from ordering.states import Act, NotAllowed
from quotes import worklist
from quotes.documents.content import Document, from_plain
from quotes.links import hash_of, token_of
from quotes.lists import letters
from quotes.models import Acceptance, Enquiry, Issue, Link, Opening, Quote

AT_ONCE = 500


def findings() -> Iterator[str]:
    """Everything that is wrong, one sentence each."""
    yield from links()
    yield from orphans()
    yield from states()
    yield from totals()
    yield from notices()
    yield from part_numbers()
    yield from worklist.hidden()
    yield from letters.astray()
    accepted = Exists(Acceptance.objects.filter(quote=OuterRef("pk")))
    for quote in Quote.objects.filter(accepted, is_accepted=False):
        yield f"{quote} is accepted and has no mark of it"
    for quote in Quote.objects.filter(~accepted, is_accepted=True):
        yield f"{quote} is marked as accepted and is not"
    # Of whoever was erased nothing waits any more.
    kept = Acceptance.objects.filter(quote__customer__erasure=None)
    for accepted in kept.filter(waits=False, order=None):
        yield f"{accepted} and not ordered, and has no mark of it"


def links() -> Iterator[str]:
    """Whether the key of this desk opens the last links that it made: a copy put back beside another key does not."""
    last = [model.objects.order_by("-pk").first() for model in (Link, Enquiry, Order, FactoryOrder)]
    if any(row and hash_of(token_of(row.nonce)) != row.token_hash for row in last):
        place = "SECRET_KEY" if os.environ.get("SECRET_KEY") else settings.VAR_DIR / "secret_key"
        yield (
            f"The links in letters were made with another key than {place} is, and open nothing: stop the desk and "
            "put the key there that was kept with the copy."
        )


def orphans() -> Iterator[str]:
    """Rows that point to a row that is not there; orders and quotes without anything in them."""
    yield from _dangling()
    for order in Order.objects.filter(lines=None):
        yield f"{order} has no line."
    for order in Order.objects.filter(events=None):
        yield f"{order} has no event."
    for order in FactoryOrder.objects.filter(lines=None):
        yield f"{order} has no line."
    for issue in Issue.objects.filter(issued_at__isnull=False).select_related("quote"):
        if issue.document is None:
            yield f"{issue} was issued without its document."
    for issue in Issue.objects.filter(issued_at__isnull=False, link=None).select_related("quote"):
        yield f"{issue} was issued without a link for its customer."


def _dangling() -> Iterator[str]:
    """By each foreign key there is: asked in SQL, because an ORM join would hide what is missing."""
    quote = connection.ops.quote_name
    for model in apps.get_models(include_auto_created=True):
        for field in model._meta.concrete_fields:
            if (not field.many_to_one and not field.one_to_one) or not field.remote_field:
                continue
            there = field.remote_field.model._meta
            key, points = quote(model._meta.pk.column), quote(field.column)
            to, table = quote(field.target_field.column), quote(model._meta.db_table)
            # Every name is a model's own, quoted; nothing that anybody typed takes part.
            sql = (
                f"SELECT a.{key}, a.{points} FROM {table} a "  # noqa: S608
                f"LEFT JOIN {quote(there.db_table)} b ON a.{points} = b.{to} "
                f"WHERE a.{points} IS NOT NULL AND b.{to} IS NULL"
            )
            with connection.cursor() as cursor:
                cursor.execute(sql)
                for key, gone in cursor.fetchall():
                    name = model._meta.verbose_name
                    yield f"The {name} {key} belongs to the {there.verbose_name} {gone}, which is not there."


def states() -> Iterator[str]:
    """What orders and lines hold of their state, against the log read anew."""
    for order in Order.objects.prefetch_related("events", "lines").iterator(AT_ONCE):
        numbers = sorted(event.number for event in order.events.all())
        if numbers != list(range(1, len(numbers) + 1)):
            yield f"{order}: its events are numbered {numbers}, which leaves one out."
            continue
        try:
            state = state_of(order)
        except (NotAllowed, KeyError, ValueError) as problem:
            yield f"{order}: its log cannot be read ({problem})"
            continue
        held = (order.version, order.is_open, order.deposit_paid)
        if held != (state.version, state.is_open, state.paid):
            yield f"{order} says version, open, paid {_said(held)}; its log says {_said((state.version, state.is_open, state.paid))}."
        lines = {line.number: line for line in order.lines.all()}
        if set(lines) != set(state.lines):
            yield f"{order} has the lines {sorted(lines)}; its log has {sorted(state.lines)}."
        for number in sorted(set(lines) & set(state.lines)):
            yield from _line(lines[number], state.lines[number])


def _line(line: OrderLine, state) -> Iterator[str]:
    before = {f.attname: f.value_from_object(line) for f in line._meta.concrete_fields}
    if line.quantity != state.quantity:
        yield f"Line {line}: {line.quantity} pieces; its log says {state.quantity}."
    awaited = state.awaits_factory or (state.made and state.to_arrive)
    if line.need is not None and (state.held or not awaited):
        yield f"Line {line} is kept on the watch list, though nothing of it is awaited."
    copy_state(line, state)
    for name, held in before.items():
        if held != getattr(line, name):
            yield f"Line {line}: {name} is {held}; its log says {getattr(line, name)}."


def _said(values: tuple) -> str:
    return ", ".join(map(str, values))


def totals() -> Iterator[str]:
    """Sums against their lines: of issued quotes to the cent, of orders against the quote or their lines."""
    for issue in (
        Issue.objects.filter(document__isnull=False).select_related("quote").iterator(AT_ONCE)
    ):
        yield from _document(issue, from_plain(issue.document))
    taken = Order.objects.select_related("acceptance__issue").prefetch_related("lines")
    for order in taken.iterator(AT_ONCE):
        yield from _order(order)


def _document(issue: Issue, document: Document) -> Iterator[str]:
    sums, rows = document.sums, [row for row in document.lines if row.total is not None]
    lines = sum((row.total for row in rows), Decimal(0))
    if lines + sums.freight + sums.freight_tax != sums.total:
        yield f"{issue}: its lines and freight come to {lines + sums.freight + sums.freight_tax}, its total says {sums.total}."
    if sum((row.tax for row in rows), sums.freight_tax) != sums.tax:
        yield f"{issue}: its tax of {sums.tax} is not that of its lines and freight."


def _order(order: Order) -> Iterator[str]:
    if order.acceptance:
        told = from_plain(order.acceptance.issue.document)
        if order.total != told.sums.total:
            yield f"{order}: its total is {order.total}, that of {order.acceptance.issue} {told.sums.total}."
        quoted = sorted(row.quantity for row in told.lines)
        if sorted(line.quantity for line in order.lines.all() if not line.remake_of_id) != quoted:
            yield f"{order}: its lines are not those of {order.acceptance.issue}."
        return
    lines = [line for line in order.lines.all() if not line.remake_of_id]
    priced = all(line.unit_price is not None for line in lines)
    due = (
        sum((line.unit_price.amount * line.quantity for line in lines), Decimal(0))
        if priced
        else None
    )
    if order.total != due:
        yield f"{order}: its total is {order.total}, its lines come to {due}."


def notices() -> Iterator[str]:
    """Each event that causes a notice has exactly that one, and no notice is of another cause."""
    causes = Q(act__in=CAUSED_BY.keys() - IF_SAID) | Q(act__in=IF_SAID, data__tells=True)
    causing = Event.objects.filter(causes).select_related("order")
    for event in causing.prefetch_related("notices").iterator(AT_ONCE):
        kind = CAUSED_BY[Act(event.act)]
        kinds = [notice.kind for notice in event.notices.all() if not notice.factory_order_id]
        # Whether a kind was wanted at the time is not kept: what is not wanted now may be missing.
        if kinds != [kind] and not (kinds == [] and kind in event.order.unwanted):
            yield f"{event} has the notices {kinds or 'none'}; it causes one, {kind}."
    told = Notice.objects.filter(event__isnull=False, factory_order=None)
    for act, kind in PRESSED_FOR.items():
        told = told.exclude(event__act=act, kind=kind)
    for notice in told.exclude(event__in=Event.objects.filter(causes)):
        yield f"Notice {notice.pk} is of an event that causes none."
    for notice in Notice.objects.filter(event=None, factory_order=None):
        yield f"Notice {notice.pk} has no cause."
    brought = Count("notices", filter=Q(notices__kind=Kind.FACTORY))
    for order in FactoryOrder.objects.annotate(brought=brought).exclude(brought=1):
        yield f"{order} has {order.brought} notices that bring it to its factory; it has one."
    for notice in Notice.objects.filter(sent_at__isnull=False, attempts=0).exclude(to=""):
        yield f"Notice {notice.pk} says it was sent, yet nothing ever tried to."


def part_numbers() -> Iterator[str]:
    """Parts against the revisions that offer them: in openings, in quotes and in orders."""
    lines = OrderLine.objects.select_related(
        "order", "part__revision", "quote_line__part", "family"
    )
    for line in lines.exclude(part=None).iterator(AT_ONCE):
        if not line.part.part_number:
            yield f"Line {line} orders a part that is not offered."
        if line.part.revision.in_force_from is None:
            yield f"Line {line} orders {line.part} from a draft."
        if line.family_id != line.part.revision.family_id:
            yield f"Line {line} orders {line.part}, which is no part of {line.family}."
        if line.quote_line and line.quote_line.part_id != line.part_id:
            yield f"Line {line} orders {line.part}; the quote says {line.quote_line.part}."
    others = Opening.objects.exclude(part=None).exclude(part__revision=F("revision"))
    for opening in others.select_related("request", "part"):
        yield f"Request {opening.request_id}, {opening}: {opening.part} is of another revision than its answer."
    answered = Opening.objects.exclude(part=None).select_related("part")
    for opening in answered.iterator(AT_ONCE):
        if opening.answer.get("part_number", opening.part.part_number) != opening.part.part_number:
            yield f"Request {opening.request_id}, {opening}: the answer names {opening.answer['part_number']}, the part is {opening.part}."
    for issue in (
        Issue.objects.filter(document__isnull=False)
        .prefetch_related("lines__part")
        .iterator(AT_ONCE)
    ):
        told = [row.part_number for row in from_plain(issue.document).lines]
        held = [line.part.part_number if line.part else "" for line in issue.lines.all()]
        if told != held:
            yield f"{issue} says the parts {told}, its lines hold {held}."
