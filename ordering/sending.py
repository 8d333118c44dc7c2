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
from ordering.models import Notice
from ordering.notices import Kind
from quotes import post
from quotes.lists.shop import sender
from quotes.post import LINK

POSTED = Notice.objects.exclude(to="")


@task()
def send_notice(notice_pk: int) -> bool:
    """Send one notice unless it went or somebody is at it; True if it went."""
    return post.send(POSTED, notice_pk, message_of)


def sweep() -> int:
    """Send what is due, a batch at a time; how many went."""
    return post.send_due(POSTED, message_of)


def message_of(notice: Notice) -> EmailMultiAlternatives:
    """The mail itself: plain text with HTML beside it, marked as sent by a machine (RFC 3834)."""
    link = _link(notice)
    message = EmailMultiAlternatives(
        subject=notice.subject.replace(LINK, link),
        body=notice.body.replace(LINK, link),
        from_email=sender(),
        to=[notice.to],
        reply_to=[notice.reply_to] if notice.reply_to else None,
        headers={"Message-ID": notice.message_id, "Auto-Submitted": "auto-generated"},
    )
    message.attach_alternative(
        notice.html.replace(LINK, f'<a href="{escape(link)}">{escape(link)}</a>'), "text/html"
    )
    if notice.kind == Kind.FACTORY:
        for name, content, kind in papers_of(notice.factory_order):
            message.attach(name, content, kind)
    return message


def _link(notice: Notice) -> str:
    """The page that a notice leads to: its customer's, or the factory's."""
    if notice.factory_order:
        return page_of_factory(notice.factory_order)
    return page_of(notice.event.order) if notice.event else ""
