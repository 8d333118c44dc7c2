"""Orders, quotes and requests narrowed to a family: just those with a line of it, in the list's order, however many there are."""

import pytest

from ordering.events import HandLine, place_by_hand
from ordering.find_forms import OrdersFind
from ordering.lists import narrowed
from ordering.lists.narrowed import orders_asked_for
from ordering.models import Order
from quotes import searched
from quotes.find_forms import QuotesFind, RequestsFind
from quotes.lists import quotes as quote_lists
from quotes.lists.quotes import quotes_asked_for
from quotes.lists.requests import requests_asked_for
from quotes.models import Quote, Request
from sizing.models import Part
from tests.ordering.placed import CLERK, load_shop, placed_order, user
from tests.quotes.conftest import publish
from tests.quotes.first_keys import assert_first_are_first
from tests.quotes.shop import cottage_opening, draft_quote, part_opening

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]

LINER, HERON = "otter-liner", "heron-balance"


def build():
    load_shop()
    publish(HERON)
    number = Part.objects.filter(revision__family__code=HERON).first().part_number
    both = placed_order(part_opening(), hand=True)
    customer = both.customer_id
    place_by_hand(customer, [HandLine("", "Hinge", 1)], CLERK)
    place_by_hand(customer, [HandLine(number, "", 1), HandLine(number, "", 2)], CLERK)
    placed_order(cottage_opening())
    closed = place_by_hand(customer, [HandLine(number, "", 1), HandLine("", "Hinge", 1)], CLERK)
    Order.objects.filter(pk=closed.pk).update(is_open=False)
    draft_quote(part_opening(), cottage_opening())
    draft_quote(part_opening(), part_opening("Hall", finish="linen"))


@pytest.fixture(params=[(1000, 251), (1, 251), (1, 0)])
def common(request, monkeypatch):
    """More rows than so many are not named by their keys; with no page to come by all of them are asked one by one."""
    many, a_page = request.param
    for module in (searched, quote_lists):
        monkeypatch.setattr(module, "COMMON", many)
    monkeypatch.setattr(searched, "A_PAGE", a_page)


def of_family(order, family):
    return order.lines.filter(family__code=family).exists()


@pytest.mark.parametrize("family", [LINER, HERON])
@pytest.mark.parametrize("stands", ["", "open", "closed", "all"])
def test_orders(common, family, stands):
    """Without a word of how they stand the open ones."""
    wanted = [
        one for one in Order.objects.order_by("-pk")
        if of_family(one, family) and (stands == "all" or one.is_open == (stands != "closed"))
    ]  # fmt: skip
    assert wanted or (family, stands) == (LINER, "closed")
    found = orders_asked_for(OrdersFind({"family": family, "stands": stands}).said)
    assert list(found.every()) == wanted
    assert_first_are_first(found)


@pytest.mark.parametrize("lately", [0, 2000])
def test_orders_open_for_long(monkeypatch, lately):
    """Whether a few lines were written since the oldest open order, or so many that each open order is asked."""
    monkeypatch.setattr(narrowed, "MOST_LATELY", lately)
    newest = Order.objects.order_by("-pk").first()
    Order.objects.filter(pk=newest.pk).update(is_open=False)
    for family in (LINER, HERON):
        assert_first_are_first(orders_asked_for(OrdersFind({"family": family}).said))
    assert orders_asked_for(OrdersFind({"family": HERON}).said).first(9)


def test_orders_narrowed_by_more(common):
    """By days and by a customer, too."""
    order = Order.objects.exclude(lines__family=None).last()
    day = order.placed_on.isoformat()
    said = {"family": HERON, "stands": "all", "since": day, "customer": str(order.customer_id)}
    found = orders_asked_for(OrdersFind(said).said)
    assert set(found.every()) == {
        one for one in Order.objects.filter(customer=order.customer) if of_family(one, HERON)
    }
    assert_first_are_first(found)
    assert not orders_asked_for(OrdersFind(said | {"since": "2999-01-01"}).said).every()


@pytest.mark.parametrize(("family", "stands"), [(LINER, ""), (LINER, "draft"), (HERON, "")])
def test_quotes(common, family, stands):
    """A special has no part; it is known by its opening."""
    found = quotes_asked_for(QuotesFind({"family": family, "stands": stands}).said)
    quotes = Quote.objects.order_by("-pk")
    wanted = quotes.filter(acceptance=None) if stands else quotes if family == LINER else []
    assert [quote.pk for quote in found.every()] == [quote.pk for quote in wanted]
    assert_first_are_first(found)


@pytest.mark.parametrize("family", [LINER, HERON])
def test_requests(common, family):
    """The newest first, once however many windows are of the family."""
    of_it = Request.objects.filter(openings__family__code=family).distinct().order_by("-pk")
    found = requests_asked_for(RequestsFind({"family": family}).said)
    assert list(found.every()) == list(of_it)
    assert_first_are_first(found)
    assert of_it or family == HERON


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("/orders/", "4 open orders, newest first"),
        ("/orders/?stands=closed", "1 order, newest first"),
        (f"/orders/?stands=all&family={LINER}", "2 orders, newest first"),
        ("/orders/?q=mara", "5 orders with “mara”, the open ones first"),
    ],
)
def test_the_page_says_how_many(client, address, words):
    """Before they are read down: of what is found, of what is narrowed, of the open ones."""
    client.force_login(user())
    assert f"<caption>{words}</caption>" in client.get(address).content.decode()
