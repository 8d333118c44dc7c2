"""Several words of a scrap: one customer holds all that stand in nothing else, and each order found holds every word."""

from itertools import combinations, permutations

import pytest

from ordering.events import HandLine, place_by_hand
from ordering.find_forms import OrdersFind
from ordering.lists import finding, own_words
from ordering.lists.finding import find_orders
from ordering.lists.narrowed import orders_asked_for
from ordering.models import Order, OrderWord
from quotes import searched
from quotes.desk.people import save_customer
from quotes.desk.requests import save_request
from quotes.lists import quotes as quote_lists
from quotes.lists.quotes import find_quotes
from quotes.models import Contact, Customer, Quote
from quotes.said import SaidRequest
from tests.ordering.placed import CLERK
from tests.quotes.first_keys import assert_first_are_first

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]

NAMES = ("Ines Tovolat", "Ines Marrow", "Ada Marrow", "Ada Inesson", "Otis Rada")
GOODS = ("box of screws", "marrow coloured tape", "")


def build():
    for place, name in enumerate(NAMES):
        contact = Contact(name=name, phone=f"802 555 01{place}{place}")
        customer = save_customer(Customer(name=name), [contact])
        Quote.objects.create(customer=customer, currency="USD")
        for words in GOODS:
            place_by_hand(customer.pk, [HandLine("", words or "Hinge", 1)], CLERK)
    Order.objects.filter(customer__name__startswith="Ada").update(is_open=False)


WORDS = ("ines", "marrow", "ada", "tovo", "screws", "tape", "555", "zebra", "i")
# Two words in either order; of the threes every third, which begin with each of their words in turn.
PAIRS = [*permutations(WORDS, 1), *permutations(WORDS, 2)]
THREES = [
    words[at % 3 :] + words[: at % 3] for at, words in enumerate([*combinations(WORDS, 3)][::3])
]
SCRAPS = [" ".join(words) for words in PAIRS + THREES]


@pytest.fixture(params=[(1000, 251, 200), (2, 251, 200), (2, 251, 0), (2, 0, 0)])
def common(request, monkeypatch):
    """More rows than so many may not be named by their keys; of two that is nearly everybody. With no page to come
    by all of them are asked one by one."""
    many, a_page, lately = request.param
    for module in (searched, finding, quote_lists):
        monkeypatch.setattr(module, "COMMON", many)
    monkeypatch.setattr(searched, "A_PAGE", a_page)
    monkeypatch.setattr(finding, "MANY_PEOPLE", many // 20)
    # Where none of the newest is looked through all are gathered; how common a word is all rows tell.
    monkeypatch.setattr(finding, "LATELY", lately)
    monkeypatch.setattr(searched, "SAMPLE", 1_000_000)
    monkeypatch.setattr(own_words, "A_PAGE", min(many, 251))


def holds(order, word, alone):
    """Of one letter: a whole word of the order, or beside a longer word how one of the customer's begins."""
    own = set(OrderWord.objects.filter(order=order).values_list("word", flat=True))
    theirs = order.customer.scraps
    if len(word) < 3:
        return word in own or (not alone and any(one.startswith(word) for one in theirs.split()))
    return any(mine.startswith(word) for mine in own) or word in theirs


def test_orders_hold_every_word(common):
    """Whatever the words and their order, just the orders that hold each of them are found."""
    orders = list(Order.objects.select_related("customer"))
    held = {
        (word, alone): {one for one in orders if holds(one, word, alone)}
        for word in WORDS
        for alone in (True, False)
    }
    for scrap in SCRAPS:
        words, found = scrap.split(), find_orders(scrap)
        wanted = set.intersection(*(held[word, len(words) == 1] for word in words))
        assert set(found.every()) == wanted, scrap
        assert_first_are_first(found)
        for stands in ("open", "closed"):
            so = orders_asked_for(OrdersFind({"q": scrap, "stands": stands}).said)
            assert set(so.every()) == {one for one in wanted if one.is_open == (stands == "open")}
            assert_first_are_first(so)


def test_a_word_of_many_orders_and_of_a_few_people(monkeypatch):
    """Come by on the way through all orders, a few people's own stand where they belong between them."""
    monkeypatch.setattr(own_words, "A_PAGE", 0)
    monkeypatch.setattr(own_words, "quicker_gathered", lambda model: 0)
    found = find_orders("marrow")
    assert {one.customer.name for one in found.every()} == set(NAMES)
    assert_first_are_first(found)


def test_quotes_hold_every_word(common):
    """The same of quotes, which here are known by their customer alone."""
    quotes = list(Quote.objects.select_related("customer"))
    held = {word: {one for one in quotes if word in one.customer.scraps} for word in WORDS}
    for scrap in SCRAPS:
        found = find_quotes(scrap)
        assert set(found.every()) == set.intersection(*map(held.get, scrap.split())), scrap
        assert_first_are_first(found)


@pytest.mark.parametrize(
    "scrap", ["ines ines tovolat", "tovolat ines ines", "ines tovolat tovolat"]
)
def test_a_word_said_twice(scrap):
    """Twice the same word asks for no more than once."""
    assert {one.customer.name for one in find_orders(scrap).every()} == {"Ines Tovolat"}
    assert {one.customer.name for one in find_quotes(scrap).every()} == {"Ines Tovolat"}


@pytest.mark.parametrize(
    "scrap", ["dov omarrow", "o'marrow dov", "d'ovitch omarrow", "ovitch o'marrow"]
)
def test_a_name_written_in_two_ways(common, scrap):
    """With its apostrophe or without: two such names are still one customer's."""
    customer = save_customer(Customer(name="Dov O'Marrow D'Ovitch"), [])
    mine = place_by_hand(customer.pk, [HandLine("", "Hinge", 1)], CLERK)
    quote = Quote.objects.create(customer=customer, currency="USD")
    save_customer(Customer(name="Ines O'Marrow"), [])
    assert list(find_orders(scrap).every()) == [mine]
    assert list(find_quotes(scrap).every()) == [quote]


def test_the_first_word_still_orders_them():
    """Whose name begins with the first word stands before who merely holds it, typed with a second one, too."""
    found = [one.customer.name for one in find_orders("ada 555").every()]
    assert found[-1] == "Otis Rada"


@pytest.mark.parametrize(
    ("scrap", "notes"),
    [
        ("velvet pelmet", [0]), ("pelmet velvet", [0]), ("velvet", [0, 1]), ("pelmet", [0, 2]),
        ("velvet tovolat", []), ("velvet pelmet ines", []),
    ],
)  # fmt: skip
def test_words_that_only_a_call_holds(common, scrap, notes):
    """Where nothing of the quote nor its customer holds the words, one call has to hold them all."""
    customer = Customer.objects.get(name="Otis Rada")
    quotes = []
    for note in ("red velvet pelmet", "velvet curtain", "pelmet, cracked"):
        call = save_request(SaidRequest("Otis Rada", note=note), by="ann")
        quotes.append(Quote.objects.create(customer=customer, currency="USD", request=call))
    assert set(find_quotes(scrap).every()) == {quotes[place] for place in notes}
