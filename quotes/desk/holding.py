"""Holds rows until the transaction ends, always in one order, so that no two writers wait for each other:

    requests -> window schedules -> quotes, with their acceptance -> customers
    -> orders -> factory orders -> factories -> the pasts of families (`ordering.fits`)

Whoever needs several kinds takes them in this order, and of one kind all at once, by their keys. Lines,
openings, events and notices belong to whoever holds the request, quote or order that they are of.
"""

from __future__ import annotations

from typing import TypeVar

from django.db.models import Model, QuerySet

from quotes.models import Erasure

Row = TypeVar("Row", bound=Model)


def hold(rows: QuerySet[Row]) -> list[Row]:
    """These rows, by their keys, as they are once nobody else writes them.

    Their keys stay as they are, so what points at them can be written by others meanwhile. Inside a
    transaction.
    """
    return list(rows.select_for_update(of=("self",), no_key=True).order_by("pk"))


def hold_one(rows: QuerySet[Row]) -> Row:
    """As `hold`, of the one row that there is; raises DoesNotExist where there is none."""
    return rows.select_for_update(of=("self",), no_key=True).get()


class ErasedError(ValueError):
    """What was to be written is for a customer who has been erased: one sentence."""


def is_erased(customer: int | None) -> bool:
    """Whether this customer (a key; None: nobody's yet) has been erased.

    Asked once the request, quote, order, acceptance or customer is held that is written to: an erasing holds them
    all, so it is over by then or has not begun.
    """
    return bool(customer) and Erasure.objects.filter(customer=customer).exists()


def nothing_new(customer: int) -> str:
    """Why an act for a customer who has been erased is refused, and how to go on."""
    return (
        f"Customer {customer} has been erased, so nothing new is written for them: whoever it is for, "
        "write them down as a new customer."
    )


def refuse_erased(customer: int | None, refusal: type[Exception] = ErasedError) -> None:
    """Raises `refusal` if this customer has been erased (see `is_erased`): nothing new is written for them."""
    if customer and is_erased(customer):
        raise refusal(nothing_new(customer))
