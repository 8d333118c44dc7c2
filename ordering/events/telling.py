"""Writes notices and mail to the desk, in the transaction of the event that causes them, and hands them to the worker."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from hashlib import sha256
from typing import TYPE_CHECKING

from django.conf import settings
from django.db.models import Q
from django.urls import reverse

from ordering.events.fields import (
    customer_values,
    factory_values,
    refused_values,
    sent_lines,
    wanted_lines,
)
from ordering.models import Event, FactoryOrder, Notice, NoticeText, Order, OrderLine
from ordering.notices import CAUSED_BY, IF_SAID, Kind, Text, filled, from_factory, usual
from ordering.sending import send_notice
from ordering.states import Act, OrderState
from quotes.desk.posting import SAID_OF, post
from quotes.documents.lettering import clean
from quotes.letters.html import as_html
from quotes.lists.shop import desk_address
from quotes.post import new_message_id
from sizing.wording import known, speaking

if TYPE_CHECKING:
    from ordering.events.log import Who


# Of what somebody is still to be called about, nobody knows yet.
UNCALLED = Q(to="", sent_at=None)
# Nor of a mail that was overtaken before it went.
SAID = ~UNCALLED & Q(dropped_at=None)


def text_for(kind: Kind, language: str) -> Text:
    """The shop's own words for a kind in a language, or the usual ones."""
    return text_of(
        kind, language, NoticeText.objects.filter(kind=kind, language=known(language)).first()
    )


def text_of(kind: Kind, language: str, own: NoticeText | None) -> Text:
    """These own words, if there are any, or the usual ones of a kind in a language."""
    if own:
        return Text(own.subject, own.body)
    with speaking(language):
        return usual(kind)


def tell_customer(
    event: Event, order: Order, lines: Mapping[int, OrderLine], state: OrderState
) -> Notice | None:
    """The one notice an event causes, unless this customer does not want that kind."""
    kind = CAUSED_BY.get(Act(event.act))
    if kind is None or kind in order.unwanted:
        return None
    if event.act in IF_SAID and not event.data.get("tells"):
        return None
    language = order.customer.language
    with speaking(language):
        values = customer_values(kind, event, order, lines, state)
        return _keep(kind, language, values, order.email, desk_address(order.taken_by), event=event)


def refusal_letter(
    event: Event, order: Order, lines: Mapping[int, OrderLine], state: OrderState, said: str
) -> Notice:
    """The letter that what an event says can't be made, with what the desk has to say of it: written once."""
    language = order.customer.language
    with speaking(language):
        values = refused_values(event, order, lines, state, said)
        reply_to = desk_address(order.taken_by)
        return _keep(Kind.REFUSED, language, values, order.email, reply_to, event=event)


def tell_factories(event: Event, lines: Mapping[int, OrderLine], who: Who) -> list[Notice]:
    """To each factory that has lines which are cancelled, or are to be made after all."""
    if event.act == Act.CANCELLED:
        about = sent_lines(event, lines, event.pieces)
        return [_to_factory(Kind.STOPPED, *one, who.name, event) for one in about.items()]
    if event.act == Act.TAKEN_BACK:
        wrong = Event.objects.get(order=event.order_id, number=event.data["event"])
        stopped = wrong.notices.filter(SAID, kind=Kind.STOPPED)
        told = set(stopped.values_list("factory_order", flat=True))
        about = {
            order: said
            for order, said in sent_lines(event, lines, wrong.pieces).items()
            if order.pk in told
        }
        return [_to_factory(Kind.RESUMED, *one, who.name, event) for one in about.items()]
    return []


def tell_factory(kind: Kind, order: FactoryOrder, by: str) -> Notice:
    """The mail that brings a factory order to its factory, or asks about what is wanted of it again."""
    return _to_factory(kind, order, wanted_lines(order), by)


def tell_desk(order: FactoryOrder, words: str, by: str) -> None:
    """What a factory asks or says of its order, to whoever sent it: the same words are one mail."""
    to = desk_address(order.by)
    if to:
        page = settings.SITE_URL + reverse("factory-order", args=[order.pk])
        text = from_factory(order.number, words, by, page)
        cause = f"{SAID_OF}{order.number}: {sha256(words.encode()).hexdigest()}"
        post(cause=cause, to=to, subject=text.subject, body=text.body, by="")


def _to_factory(
    kind: Kind, order: FactoryOrder, lines: Iterable[str], by: str, event: Event | None = None
) -> Notice:
    to, reply_to = order.factory.email, desk_address(by)
    return _keep(
        kind, "en", factory_values(order, lines), to, reply_to, factory_order=order, event=event
    )


def _keep(
    kind: Kind, language: str, values: Mapping[str, str], to: str, reply_to: str, **cause: object
) -> Notice:
    said = filled(text_for(kind, language), values)
    notice = Notice.objects.create(
        kind=kind,
        to=to,
        reply_to=reply_to,
        subject=clean(said.subject)[:255],
        body=said.body,
        html=as_html(said.subject, said.body, known(language)),
        message_id=new_message_id(),
        **cause,
    )
    if to:
        # The task is a row of the same transaction: it exists if and only if the notice does.
        send_notice.enqueue(notice.pk)
    return notice
