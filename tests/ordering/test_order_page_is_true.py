"""The order's page says what stands: cancelled lines in the total, deposits nobody asked for, whose it is."""

import re
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from ordering.events import give_dates, take_deposit, write
from ordering.lists.orders import about
from ordering.states import Act
from quotes.days import long_date
from tests.ordering.placed import CLERK, FACTORY, load_shop, placed_order, sent_order, user
from tests.quotes.shop import cottage_opening, part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    return placed_order()


@pytest.fixture
def order(built):
    return built


def page(client, order, name="ann", role="counter"):
    client.force_login(user(name, role))
    return client.get(reverse("order", args=[order.pk])).content.decode()


def test_the_total_owns_up_to_what_was_cancelled(order, client):
    """The total is the accepted quote's: it is not read out as what is still to pay."""
    assert "of it cancelled" not in page(client, order)
    write(order.pk, Act.CANCELLED, {1: order.lines.get().quantity}, CLERK, why="changed their mind")
    assert "of it cancelled, as quoted" in page(client, order)


def test_a_deposit_on_what_is_cancelled_is_to_settle(order, client):
    """Money that was received for an order of which nothing goes any more is not passed over."""
    take_deposit(order.pk, Decimal(80), "cash", CLERK)
    assert "settle with the customer" not in page(client, order)
    write(order.pk, Act.CANCELLED, {1: 3}, CLERK, why="changed their mind")
    assert "80.00 USD were received: settle with the customer" in page(client, order)


def test_a_deposit_nobody_asked_for(order, client):
    """Never 300.00 of 0.00."""
    order.deposit_due = 0
    order.save()
    take_deposit(order.pk, Decimal(300), "cash", CLERK)
    shown = page(client, order)
    assert "300.00 USD, none was asked" in shown and "of 0.00" not in shown


def test_it_leads_to_its_customer_and_its_quote(order, client):
    """One press from the order to who ordered it and what was quoted; not for who may not open those."""
    customer, quote = f"/customers/{order.customer_id}/", f"/quotes/{order.acceptance.quote_id}/"
    shown = page(client, order)
    assert f'href="{customer}"' in shown and f'href="{quote}"' in shown
    shown = page(client, order, "sam", "staff")
    assert f'href="{customer}"' not in shown and f'href="{quote}"' not in shown


def ticked(answer):
    boxes = re.findall('<input type="checkbox" name="line"[^>]*>', answer.content.decode())
    return len(boxes), sum("checked" in box for box in boxes)


def test_its_lines_alone_are_ticked_to_be_sent(order, client):
    """ "Send it" of one order sends no other's; what was unticked stays so when the page comes back."""
    other = placed_order(caller="Ida Lorne")
    leads_to = f"{reverse('send-to-factories')}?order={order.pk}"
    assert leads_to in page(client, order)
    assert ticked(client.get(leads_to)) == (2, 1)
    assert ticked(client.get(reverse("send-to-factories"))) == (2, 2)
    line = other.lines.get()
    typed = {"line": [line.pk], f"version-{line.pk}": line.version - 1}
    assert ticked(client.post(reverse("send-to-factories"), typed)) == (2, 1)


def test_a_moved_date_is_read_out_as_moved_to_a_day(client):
    """What happened to several lines at once names them together."""
    order, sent = sent_order(part_opening(), cottage_opening())
    lines, first = [line.pk for line in sent.lines.all()], date.today() + timedelta(days=40)
    give_dates(sent.pk, dict.fromkeys(lines, first), FACTORY)
    give_dates(
        sent.pk, dict.fromkeys(lines, first + timedelta(days=9)), FACTORY, why="short of slate"
    )
    told = " ".join(re.sub("<[^>]+>", " ", page(client, order)).split())
    assert f"Date moved to {long_date(first + timedelta(days=9))} lines 1, 2" in told
    assert f"Date confirmed for {long_date(first)} lines 1, 2" in told
    assert [about(event) for event in order.events.filter(act="placed")] == [""]
