"""A number that no page of ours sends is answered like any other that leads nowhere."""

import pytest
from django.test import Client

from tests.ordering.placed import load_shop, placed_order, user

pytestmark = pytest.mark.django_db

HUGE, OTHER = "9" * 5000, "٣"


@pytest.fixture
def client():
    load_shop()
    found = Client()
    found.force_login(user("max", "manager"))
    return found


@pytest.mark.parametrize("number", [HUGE, OTHER, "9" * 30])
def test_it_leads_nowhere(client, number):
    """Lines to send, lines to cancel, a customer, days to take out: refused; a new call's version: none is asked."""
    order = placed_order()
    factory = order.lines.get().factory_id
    posted = [
        ("/orders/send/", {"line": number}),
        (f"/orders/{order.pk}/cancel/", {"line": number, "why": "x"}),
        ("/orders/new/", {"customer": number}),
        (f"/factories/{factory}/calendar/", {"open": number}),
    ]
    statuses = {path: client.post(path, said).status_code for path, said in posted}
    assert statuses == {path: 422 for path, _ in posted}
    assert client.post("/counter/", {"version": number, "do": "save"}).status_code == 302
    assert client.get("/orders/new/", {"customer": number}).status_code == 200
