"""Deposits are events: what was received adds up from the log."""

from decimal import Decimal

import pytest
from django.urls import reverse

from ordering.events import cancel, pay_back, take_back, take_deposit
from ordering.links import page_of
from ordering.logged import state_of
from ordering.models import Order
from ordering.states import NotAllowed
from ordering.verifying import findings
from tests.ordering.placed import CLERK, STAFF, load_shop, placed_order, user

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    return placed_order()


@pytest.fixture
def order(built):
    return built


def test_amounts_add_up(order):
    """Two payments add up to the cent, and a mistaken one is taken back."""
    take_deposit(order.pk, Decimal("40.10"), "cash", CLERK)
    wrong = take_deposit(order.pk, Decimal("400.20"), "card", CLERK)
    take_back(order.pk, wrong.number, "typed twice", CLERK)
    take_deposit(order.pk, Decimal("0.20"), "cash", CLERK)
    order.refresh_from_db()
    assert order.deposit_paid == state_of(order).paid == Decimal("40.30")


@pytest.mark.parametrize("amount", ["0", "-5", "1.005"])
def test_what_nobody_can_pay(order, amount):
    """Nothing, less than nothing and half a cent are no deposit."""
    with pytest.raises(NotAllowed, match="can be paid"):
        take_deposit(order.pk, Decimal(amount), "", CLERK)


def test_staff_may_not(order):
    """Money is the counter's and the manager's."""
    with pytest.raises(NotAllowed, match="is for"):
        take_deposit(order.pk, Decimal(5), "", STAFF)


def test_pressed_twice(order, client):
    """The same form sent twice notes the money once; the second time it is told, and pressed again it is meant."""
    client.force_login(user())
    form = {"amount": "40.10", "how": "cash", "version": order.version}
    address = reverse("order-deposit", args=[order.pk])
    assert client.post(address, form).status_code == 302
    told = client.post(address, form)
    page = told.content.decode()
    assert told.status_code == 409 and "Deposit received: 40.10 USD, noted meanwhile" in page
    assert 'value="40.10"' in page and 'value="cash"' in page
    order.refresh_from_db()
    assert order.deposit_paid == Decimal("40.10")
    assert client.post(address, form | {"version": order.version}).status_code == 302
    order.refresh_from_db()
    assert order.deposit_paid == Decimal("80.20")


def test_paid_back_in_part(order):
    """What was paid back is no deposit any more; no more of it than was received."""
    received = take_deposit(order.pk, Decimal("40.10"), "cash", CLERK)
    pay_back(order.pk, Decimal("30.00"), "cash", CLERK)
    with pytest.raises(NotAllowed, match="No more can be paid back"):
        pay_back(order.pk, Decimal("10.11"), "cash", CLERK)
    with pytest.raises(NotAllowed, match="No more can be paid back"):
        take_back(order.pk, received.number, "never came", CLERK)
    order.refresh_from_db()
    assert order.deposit_paid == state_of(order).paid == Decimal("10.10")
    assert list(findings()) == []


def test_settled_after_cancelling(order, client):
    """The page asks to settle the deposit of what is cancelled, with its amount, until it is paid back."""
    take_deposit(order.pk, Decimal("40.10"), "cash", CLERK)
    cancel(order.pk, [line.number for line in order.lines.all()], "no need", CLERK, tells=False)
    client.force_login(user())
    address = reverse("order", args=[order.pk])
    page = client.get(address).content.decode()
    assert "settle with the customer" in page and 'value="40.10"' in page
    assert "Note the payment" not in page
    order.refresh_from_db()
    form = {"amount": "40.10", "how": "cash", "version": order.version, "do": "back"}
    assert client.post(reverse("order-deposit", args=[order.pk]), form).status_code == 302
    page = client.get(address).content.decode()
    assert "settle with the customer" not in page and "Deposit paid back 40.10 USD" in page
    theirs = client.get("/" + page_of(order).split("/", 3)[3]).content.decode()
    assert "deposit paid back 40.10 USD" in theirs


def test_more_than_is_owed_is_asked_about(order, client):
    """5,000 for 500 is a slip of the finger until somebody says it is not; what was typed stays."""
    client.force_login(user())
    form = {"amount": "5000", "how": "cheque 11", "version": order.version}
    address = reverse("order-deposit", args=[order.pk])
    asked = client.post(address, form)
    assert asked.status_code == 422
    page = asked.content.decode()
    assert "5,000.00 USD is more than the" in page and 'value="cheque 11"' in page
    order.refresh_from_db()
    assert order.deposit_paid == 0
    assert client.post(address, form | {"more": "yes"}).status_code == 302
    order.refresh_from_db()
    assert order.deposit_paid == 5000


def test_as_many_decimals_as_its_money_has(order, client):
    """Kuwait's has three: the box is filled with the whole of what is due, yen come without any."""
    client.force_login(user())
    for currency, due, shown in (("KWD", "1012.345", "1,012.345"), ("JPY", "1012", "1,012")):
        Order.objects.filter(pk=order.pk).update(currency=currency, deposit_due=Decimal(due))
        page = client.get(reverse("order", args=[order.pk])).text
        assert f'inputmode="decimal" value="{shown}"' in page
    said = {"amount": "1,012", "how": "card", "version": order.version, "more": "yes"}
    assert client.post(reverse("order-deposit", args=[order.pk]), said).status_code == 302
    cancel(order.pk, [1], "the house is sold", CLERK, tells=False)
    page = client.get(reverse("order", args=[order.pk])).text
    assert "All of it is cancelled, and 1,012 JPY were received" in page
    assert 'inputmode="decimal" value="1,012"' in page


def test_more_than_is_ever_paid(order):
    """Each of two fits its column, the sum of both does not: the second is refused, and the page stays."""
    most = Decimal("9999999999")
    take_deposit(order.pk, most, "card", CLERK)
    with pytest.raises(NotAllowed, match="more than is ever paid: check the amount"):
        take_deposit(order.pk, most, "card", CLERK)
    order.refresh_from_db()
    assert order.deposit_paid == most
