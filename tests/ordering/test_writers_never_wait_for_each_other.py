"""Two writers meet on rows that both need: the second waits for the first, and neither is broken off.

What is written of calls: tests/quotes/test_writers_of_a_call.py.
"""

from datetime import date

import pytest
from django.utils import timezone

from ordering.events import (
    HandLine,
    acknowledge,
    cancel,
    erase_customer,
    place_by_hand,
    place_from_quote,
    say,
    send_to_factories,
    shipped,
)
from ordering.fits import fit_the_stale
from ordering.models import Order, OrderLine
from ordering.states import Act
from quotes.desk.accepting import accept
from quotes.desk.issuing import issue_quote
from quotes.desk.people import merge_customers
from quotes.models import (
    Acceptance,
    Customer,
    Erasure,
    Quote,
)
from sizing.models import Factory
from tests.ordering.meeting import TWO_AT_ONCE, meet
from tests.ordering.placed import (
    CLERK,
    FACTORY,
    accepted_quote,
    load_shop,
    placed_order,
    sent_order,
)
from tests.quotes.shop import draft_quote, part_opening

pytestmark = TWO_AT_ONCE


@pytest.fixture
def shop():
    """Its factories are fitted: whoever comes upon one that is not begins again, behind who came after them."""
    load_shop()
    fit_the_stale(timezone.localdate())


def test_cancelling_meets_the_factory(shop):
    """The desk cancels a line, which its factory is told of, while the factory says that it has the order."""
    order, sent = sent_order()
    meet(
        order,
        lambda: cancel(order.pk, [1], "wrong size", CLERK, tells=False),
        lambda: acknowledge(sent.pk, FACTORY),
    )
    assert order.lines.get().step == "cancelled"


def test_cancelling_meets_sending(shop):
    """A line is cancelled while it is sent to its factory."""
    order = placed_order()
    line = order.lines.get()
    meet(
        order,
        lambda: cancel(order.pk, [1], "wrong size", CLERK, tells=False),
        lambda: send_to_factories([line.pk], CLERK),
    )
    assert OrderLine.objects.get().step == "cancelled"


def test_sending_meets_the_factory(shop):
    """Lines of two orders are sent, the later order's first, while a factory writes of both orders."""
    windows = part_opening("Kitchen"), part_opening("Hall", finish="ash")
    orders = [placed_order(*windows, caller=name) for name in ("Mara Quill", "Ida Lorne")]
    firsts, seconds = ([order.lines.get(number=n) for order in orders] for n in (1, 2))
    (sent,) = send_to_factories([line.pk for line in firsts], CLERK)
    OrderLine.objects.filter(pk=seconds[0].pk).update(
        factory=Factory.objects.create(name="Wren Street Mill")
    )
    counts = {line.pk: 1 for line in firsts}
    meet(
        orders[0],
        lambda: shipped(sent.pk, counts, date.today(), FACTORY),
        lambda: send_to_factories([line.pk for line in seconds], CLERK),
    )
    assert {line.step for line in OrderLine.objects.all()} == {"left", "sent"}


def place_theirs(quote: Quote) -> None:
    place_from_quote(quote.pk, CLERK)


def place_for_them(quote: Quote) -> None:
    place_by_hand(quote.customer_id, [HandLine("", "Box of screws", 1)], CLERK)


@pytest.mark.parametrize("erased_first", [True, False])
@pytest.mark.parametrize(
    ("place", "held"), [(place_theirs, Acceptance), (place_for_them, Customer)]
)
def test_erasing_meets_placing(shop, settings, tmp_path, place, held, erased_first):
    """A customer is erased while an order is made of the quote that they accepted, or by hand: either stands, not
    both, and it is what came first."""
    settings.VAR_DIR = tmp_path
    quote = accepted_quote()
    acts = [lambda: erase_customer(quote.customer_id, "max"), lambda: place(quote)]
    meet(held.objects.get(), *(acts if erased_first else reversed(acts)))
    quote.customer.refresh_from_db()
    stands = (Order.objects.count(), Erasure.objects.count(), quote.customer.name)
    assert stands == ((0, 1, "Erased customer") if erased_first else (1, 0, "Mara Quill"))


def test_erasing_meets_accepting(shop, settings, tmp_path):
    """A customer is erased while somebody presses Accept on the page that their link opened."""
    settings.VAR_DIR = tmp_path
    issue = issue_quote(draft_quote().pk, "ann")
    names = [sheet["name"] for sheet in issue.document["openings"]]
    meet(
        issue.quote,
        lambda: erase_customer(issue.quote.customer_id, "max"),
        lambda: accept(issue.pk, name="Mara Quill", ticked=names),
    )
    assert Erasure.objects.exists() and not Acceptance.objects.exists()


def test_erasing_meets_an_order_made_beside_theirs(shop, settings, tmp_path):
    """What the factory said of both orders forgets the one customer while the other's order is written to."""
    settings.VAR_DIR = tmp_path
    theirs, other = (placed_order(caller=name) for name in ("Mara Quill", "Ida Lorne"))
    lines = [order.lines.get() for order in (theirs, other)]
    (sent,) = send_to_factories([line.pk for line in lines], CLERK)
    say(sent.pk, "Is it Mara Quill who waits?", FACTORY)
    cancel(theirs.pk, [1], "no", CLERK, tells=False)
    meet(
        other,
        lambda: erase_customer(theirs.customer_id, "max"),
        lambda: shipped(sent.pk, {lines[1].pk: 1}, date.today(), FACTORY),
    )
    assert other.events.get(act=Act.NOTED).why == "Is it … who waits?"
    assert other.events.filter(act=Act.LEFT).exists()


@pytest.mark.parametrize("merged_first", [True, False])
def test_merging_meets_placing(shop, merged_first):
    """Two customers are merged while an order is made of what one of them accepted: it is the kept one's."""
    quote = accepted_quote()
    kept = Customer.objects.create(name="Ida Lorne")
    acts = [
        lambda: merge_customers(kept.pk, quote.customer_id, "max"),
        lambda: place_from_quote(quote.pk, CLERK),
    ]
    meet(Acceptance.objects.get(), *(acts if merged_first else reversed(acts)))
    assert Order.objects.get().customer == kept
