"""Addresses that a customer or a factory opens without signing in: unguessable, stored only as a hash."""

from __future__ import annotations

import hmac
from typing import TypeVar

from django.conf import settings
from django.urls import reverse

from ordering.models import FactoryOrder, Order
from quotes.links import hash_of, new_nonce, token_of

Linked = TypeVar("Linked", Order, FactoryOrder)


def new_link() -> dict[str, str]:
    """The two fields of a new row that its link is kept in."""
    nonce = new_nonce()
    return {"nonce": nonce, "token_hash": hash_of(token_of(nonce))}


def find(model: type[Linked], token: str) -> Linked | None:
    """The order or factory order that a token opens."""
    wanted = hash_of(token)
    row = model.objects.filter(token_hash=wanted).first()
    # The index finds by the hash, which tells nothing of the token; the last word is constant-time.
    return row if row and hmac.compare_digest(row.token_hash, wanted) else None


def page_of(order: Order) -> str:
    """The whole address of the customer's page."""
    return settings.SITE_URL + reverse("order-public", args=[token_of(order.nonce)])


def page_of_factory(order: FactoryOrder) -> str:
    return settings.SITE_URL + reverse("factory-public", args=[token_of(order.nonce)])
