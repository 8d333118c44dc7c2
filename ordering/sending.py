"""Sends notices: as a task of the queue right after the event, and by sweeping up what was left.

A task's worker may die; the notice's row is what counts. `sweep` takes every unsent row whose turn
it is, whoever had it before (see `quotes.post` for what is promised and what is not).
"""

from __future__ import annotations

from django.core.mail import EmailMultiAlternatives
from django.utils.html import escape
from django_tasks import task

from ordering.documents.factory_order import papers_of
from ordering.links import page_of, page_of_factory
from ordering.models import Event, FactoryOrder, Notice
from ordering.notices import Kind
from ordering.overtaken import OF_DAYS, SETS_RIGHT, never_left, overtaken
from ordering.states import Step
from quotes import post
from quotes.lists.shop import now_read, sender, the_shop
from quotes.post import LINK, WAITING, Overtaken

POSTED = Notice.objects.exclude(to="")


@task()
def send_notice(notice_pk: int) -> bool:
    """Send one notice unless it went or somebody is at it; True if it went."""
    return post.send(POSTED, notice_pk, _message)


def sweep() -> int:
    """Send what is due, a batch at a time; how many went."""
    return post.send_due(POSTED.filter(WAITING), _message)


def _message(notice: Notice) -> EmailMultiAlternatives:
    """The mail, if what it says is still so. Raises Overtaken."""
    why = _of_event(notice, notice.event) if notice.event else _of_factory_order(notice)
    if why:
        raise Overtaken(why)
    return message_of(notice)


def _of_event(notice: Notice, event: Event) -> str:
    """Why a notice of an event need not go any more; empty: it goes."""
    kind = Kind(notice.kind)
    if kind in SETS_RIGHT and _never_told(notice, event):
        return "the message that it sets right never went"
    log = [one.as_happened() for one in event.order.events.all()]
    told = Notice.objects.filter(event__order=event.order_id, factory_order=None)
    return overtaken(kind, event.number, log, set(told.values_list("event__number", flat=True)))


def _never_told(notice: Notice, event: Event) -> bool:
    """Whether nobody can have read the message that this one sets right. The days that hold now are said all
    the same."""
    wrong = Notice.objects.filter(
        event__order=event.order_id,
        event__number=event.data["event"],
        factory_order=notice.factory_order,
    ).exclude(kind__in=OF_DAYS)
    first = wrong.first()
    return first is not None and never_left(
        first.attempts, first.sent_at is not None, first.dropped_at is not None
    )


def _of_factory_order(notice: Notice) -> str:
    order: FactoryOrder = notice.factory_order
    going = order.lines.exclude(step=Step.CANCELLED)
    if not going.exists():
        return "all of it was cancelled"
    if notice.kind != Kind.CHASED:
        return ""
    if order.answered_on or order.said_on:
        return "the factory has answered since"
    return (
        "" if going.filter(step=Step.SENT).exists() else "none of it waits for an answer any more"
    )


def message_of(notice: Notice) -> EmailMultiAlternatives:
    """The mail itself: plain text with HTML beside it, marked as sent by a machine (RFC 3834)."""
    link, shop = _link(notice), the_shop()
    reply_to = now_read(notice.reply_to, shop) if notice.reply_to else ""
    message = EmailMultiAlternatives(
        subject=notice.subject.replace(LINK, link),
        body=notice.body.replace(LINK, link),
        from_email=sender(shop),
        to=[notice.to],
        cc=notice.factory_order.factory.copies if notice.factory_order else None,
        reply_to=[reply_to] if reply_to else None,
        headers={"Message-ID": notice.message_id, "Auto-Submitted": "auto-generated"},
    )
    message.attach_alternative(
        notice.html.replace(LINK, f'<a href="{escape(link)}">{escape(link)}</a>'), "text/html"
    )
    if notice.kind == Kind.FACTORY:
        for name, content, kind in papers_of(notice.factory_order, shop=shop):
            message.attach(name, content, kind)
    return message


def _link(notice: Notice) -> str:
    """The page that a notice leads to: its customer's, or the factory's."""
    if notice.factory_order:
        return page_of_factory(notice.factory_order)
    return page_of(notice.event.order) if notice.event else ""
