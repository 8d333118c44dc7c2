"""Any scrap finds the order: a number, a name, a phone, an e-mail, a town, a part, a quote, a factory order."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from ordering.events import HandLine, place_by_hand, place_from_quote, send_to_factories
from ordering.lists import parts_asked
from ordering.lists.finding import find_orders
from ordering.sentences import span
from quotes.desk.people import save_customer
from quotes.lists.prices import leaves_between
from quotes.models import Address, Contact, Customer
from sizing.lookup import all_in_force
from tests.ordering.placed import CLERK, accepted_quote, load_shop, user

pytestmark = pytest.mark.usefixtures("built")


def build():
    """Two orders: Mara Quill's from a quote, Benoît Dupré's by hand and to be shipped to Lowmere."""
    load_shop()
    quote = accepted_quote()
    first = place_from_quote(quote.pk, CLERK)
    (sent,) = send_to_factories([first.lines.get().pk], CLERK)
    customer = save_customer(
        Customer(name="Benoît Dupré"),
        [Contact(name="Lise Dupré", phone="(802) 555-0166", email="lise@dupre.example")],
        [Address(street="3 Ferry Road", town="Lowmere", region="VT", postcode="05998")],
    )
    second = place_by_hand(
        customer.pk, [HandLine("", "Box of screws", 2)], CLERK, ship_to=customer.addresses.get()
    )
    return {"mara": first, "benoit": second, "sent": sent, "quote": quote}


@pytest.fixture
def orders(built):
    return built


@pytest.mark.parametrize(
    ("scrap", "whose"),
    [
        ("C-{mara:05}", "mara"), ("c-{mara}", "mara"), ("C{mara}", "mara"), ("c {benoit:05}", "benoit"),
        ("F-{sent:05}", "mara"), ("f-{sent}", "mara"),
        ("quill", "mara"), ("MARA", "mara"), ("ara qui", "mara"),
        ("benoit", "benoit"), ("Benoît dupré", "benoit"), ("lise@dupre", "benoit"),
        ("lowmere", "benoit"), ("ferry", "benoit"), ("3 Ferry Rd.", "benoit"), ("ferry st lowmere", "benoit"), ("screws", "benoit"), ("dupre low", "benoit"),
        ("555-0117", "mara"), ("802 555 0166", "benoit"), ("+1 802 555 0166", "benoit"),
        ("8025550166", "benoit"), ("OHL-05LS", "mara"), ("ohl05", "mara"), ("ohl", "mara"),
    ],
)  # fmt: skip
def test_by_a_scrap(orders, scrap, whose):
    """The scrap finds this order and not the other one."""
    numbers = {name: orders[name].pk for name in ("mara", "benoit", "sent")}
    assert list(find_orders(scrap.format(**numbers)).every()) == [orders[whose]]


@pytest.mark.parametrize(
    "scrap", ["", "  ", "zebra", "mara dupre", "C-99999", "%", "_", "'", "\x00"]
)
def test_what_finds_nothing(orders, scrap):
    """Nothing typed, nobody's name, words of two different people, and marks that mean something elsewhere."""
    assert list(find_orders(scrap).every()) == []


def test_a_part_mistyped(client, orders, monkeypatch):
    """No order holds it: the parts that are one slip of the pen away lead on, those of tables in force alone."""
    client.force_login(user("sam", "staff"))
    page = client.get(reverse("when"), {"q": "ohl-05sl"}).content.decode()
    assert (
        "nearly called so" in page and '<a class="one-line" href="?q=OHL-05LS">OHL-05LS</a>' in page
    )
    for scrap in ("zebra", "OHL-5", "1234567", "C-99999"):
        assert "nearly called so" not in client.get(reverse("when"), {"q": scrap}).content.decode()
    monkeypatch.setattr(parts_asked, "in_force_among", lambda keys: [])
    assert "nearly called so" not in client.get(reverse("when"), {"q": "ohl-05sl"}).content.decode()


def test_by_the_quotes_number(orders):
    """The number on the quote finds the order made from it."""
    assert orders["mara"] in find_orders(orders["quote"].number).every()


def test_open_ones_first(orders):
    """An order that is done stands after one that is open."""
    from ordering.events import write
    from ordering.states import Act

    write(orders["benoit"].pk, Act.ARRIVED, {1: 2}, CLERK)
    write(orders["benoit"].pk, Act.HANDED, {1: 2}, CLERK)
    assert list(find_orders("802").every()) == [orders["mara"], orders["benoit"]]


def test_plain_page_and_live_part(client, orders):
    """Without JavaScript the page comes whole; asked live only the answer comes."""
    client.force_login(user("sam", "staff"))
    whole = client.get(reverse("when"), {"q": "quill"}).content.decode()
    part = client.get(
        reverse("when"), {"q": "quill"}, headers={"HX-Request": "true"}
    ).content.decode()
    assert "<html" in whole and "<html" not in part
    said = f"Order {orders['mara'].number} for Mara Quill"
    assert said in whole and said in part


def test_as_many_queries_for_many_as_for_few(orders, django_assert_num_queries):
    """Looking for a scrap is a query a word, of a number one for each way to write it, one for the customer of all that
    no order holds itself, one for that of each other word, and one for the orders, however many hold it."""
    # Once for what is remembered.
    list(find_orders("mara").every())
    with django_assert_num_queries(5 + 1 + 1 + 1):
        list(find_orders("mara quill 802 ohl").every())


def test_as_many_queries_for_three_orders_as_for_one(client, orders):
    """Three orders that are read out ask the database no more often than one of them."""
    client.force_login(user("sam", "staff"))
    asked = []
    for count in (1, 3):
        for _one in range(count - 1):
            again = place_from_quote(accepted_quote().pk, CLERK)
            send_to_factories([again.lines.get().pk], CLERK)
        # Once for what is remembered.
        client.get(reverse("when"), {"q": "quill"})
        with CaptureQueriesContext(connection) as queries:
            page = client.get(reverse("when"), {"q": "quill"}).content.decode()
        assert page.count('class="say"') == count
        asked.append(len(queries))
    assert asked[0] == asked[1]


def test_whole_words_come_first(orders):
    """A name that begins so stands before one that merely holds the letters, however new."""

    def order_of(name):
        customer = save_customer(Customer(name=name), [Contact(name=name, phone="")])
        return place_by_hand(customer.pk, [HandLine("", "Box of screws", 1)], CLERK)

    inside, begins, newer = (order_of(name) for name in ("Una Brandt", "Otis Rand", "Jo Brandt"))
    assert list(find_orders("rand").every()) == [begins, newer, inside]


@pytest.mark.parametrize("scrap", ["OHL-07MA", " ohl-07ma "])
def test_a_part_that_nobody_ordered(client, orders, scrap):
    """Whoever asks by a part's number alone is told how long it takes, and on what that rests."""
    client.force_login(user("sam", "staff"))
    page = client.get(reverse("when"), {"q": scrap}).content.decode()
    today = timezone.localdate()
    first, last = leaves_between(all_in_force()[0], "OHL-07MA", today)
    said = f"ordered today, it should leave the factory {span(first, last, today)}."
    assert f"OHL-07MA, Otter Hollow jamb liner: {said}" in page
    assert "as the factory says" in page and "No order and no quote holds" not in page


def test_a_part_that_was_ordered(client, orders):
    """Its order is what is read out, and the part is not told beside it."""
    client.force_login(user("sam", "staff"))
    page = client.get(reverse("when"), {"q": "OHL-05LS"}).content.decode()
    assert "Order C-" in page and "No order here holds this part" not in page


@pytest.mark.parametrize(
    ("sentence", "whose"),
    [
        ("Quill order from last week", "mara"), ("is the order for Quill ready", "mara"),
        ("when will C-{mara:05} ship", "mara"), ("When does Dupré's order leave?", "benoit"),
        ("has order {benoit} come in yet", "benoit"), ("any news on the screws", "benoit"),
    ],
)  # fmt: skip
def test_by_a_sentence(client, orders, sentence, whose):
    """Who types the caller's question as it was asked is answered."""
    client.force_login(user("sam", "staff"))
    numbers = {name: orders[name].pk for name in ("mara", "benoit")}
    page = client.get(reverse("when"), {"q": sentence.format(**numbers)}).text
    assert f"“Order {orders[whose].number} for" in page and "“No order" not in page
    # Another one may be meant: what was looked for is told.
    assert "Nothing holds all of these words; this is what" in page


def test_a_sentence_about_nobody(client, orders):
    """Of it nothing is left, and nothing is found."""
    client.force_login(user("sam", "staff"))
    for words in ("when will it ship", "is the order ready", "any news for Zebra"):
        page = client.get(reverse("when"), {"q": words}).text
        assert "No order and no quote holds" in page


def test_a_month_that_is_a_name(client, orders):
    """Will May is found by either name, in a sentence as well."""
    customer = save_customer(Customer(name="Will May"))
    order = place_by_hand(customer.pk, [HandLine("", "Box of hooks", 1)], CLERK)
    client.force_login(user("sam", "staff"))
    for words in ("May", "will", "Will May", "is the May order ready", "when will May come by"):
        assert order.number in client.get(reverse("when"), {"q": words}).text, words
