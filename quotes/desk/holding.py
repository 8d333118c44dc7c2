"""Holds rows until the transaction ends, always in one order, so that no two writers wait for each other:

    requests -> quotes, with their acceptance -> customers
    -> orders -> factory orders -> factories -> the pasts of families (`ordering.fits`)

Whoever needs several kinds takes them in this order, and of one kind all at once, by their keys. Lines,
openings, events and notices belong to whoever holds the request, quote or order that they are of.
"""

from __future__ import annotations

from typing import TypeVar

from django.db.models import Model, QuerySet

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
