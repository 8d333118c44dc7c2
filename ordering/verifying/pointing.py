"""Whether what points to something finds it: rows, and the links in letters."""

from __future__ import annotations

import os
from collections.abc import Iterator

from django.apps import apps
from django.conf import settings
from django.db import connection

from ordering.models import FactoryOrder, Order
from quotes.links import hash_of, token_of
from quotes.models import Enquiry, Issue, Link


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
