"""Whether an order has a word that begins so is read off an index of its own words, on either engine."""

import pytest
from django.db import connection
from django.db.models import OuterRef, Subquery

from ordering.lists.own_words import holding
from ordering.models import Order, OrderWord

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def test_one_order_s_words_are_not_read_one_by_one():
    """The order and the word's beginning are both in the index's condition."""
    of_it = holding(["glass"], whole=False).filter(order=OuterRef("pk")).values("pk")[:1]
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            # Of so few rows it would go through all.
            cursor.execute("SET LOCAL enable_seqscan = off")
            cursor.execute("SET LOCAL enable_bitmapscan = off")
    how = Order.objects.annotate(found=Subquery(of_it)).values("found").explain()
    assert OrderWord._meta.constraints[0].name in how or "orderword_1 (order_id=? AND word>?" in how
    if connection.vendor == "postgresql":
        assert "(word)::text >= 'glass'" in how
