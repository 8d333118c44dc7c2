"""A customer chooses what to be written to about, for this order and the next."""

import pytest
from django.utils import timezone

from ordering.events import shipped
from ordering.links import page_of
from ordering.models import Notice
from tests.ordering.placed import FACTORY, load_shop, sent_order

pytestmark = pytest.mark.django_db


def test_an_unwanted_kind_is_not_written(client):
    """Unticked on the customer's page, a kind makes no notice; the event itself is there."""
    load_shop()
    order, sent = sent_order()
    client.post(
        "/" + page_of(order).split("/", 3)[3], {"kind": ["placed", "ready", "moved", "<script>"]}
    )
    order.refresh_from_db()
    assert order.unwanted == [
        "confirmed",
        "left",
        "delayed",
        "again",
        "cancelled",
        "righted",
        "refused",
    ]
    shipped(sent.pk, {order.lines.get().pk: 3}, timezone.localdate(), FACTORY)
    assert order.events.last().act == "left"
    assert list(Notice.objects.exclude(event=None).values_list("kind", flat=True)) == ["placed"]
