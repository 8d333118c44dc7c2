"""Words are looked for as a range: from the word itself to the first text behind all that begin with it."""

import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ordering.events import HandLine, place_by_hand
from ordering.lists.finding import find_orders
from ordering.models import Order
from quotes.desk.people import save_customer
from quotes.models import Contact, Customer
from sizing.begins import after
from tests.ordering.placed import CLERK, user

LAST = chr(sys.maxunicode)
LETTERS = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=6)


@given(LETTERS.filter(lambda word: set(word) != {LAST}), LETTERS)
def test_all_that_begin_so_lie_before_it_and_no_others(word, other):
    """Of two texts the second lies in the first's range if it begins with it, and only then."""
    assert word <= word + other < after(word)
    assert (word <= other < after(word)) == other.startswith(word)


@pytest.mark.parametrize(
    ("word", "behind"),
    [
        ("al", "am"),
        ("c00041", "c00042"),
        ("x\ud7ff", "x\ue000"),
        (f"a{LAST}", "b"),
    ],
)
def test_first_text_behind(word, behind):
    """The next letter, where there is one that a database takes; else the next of the letter before."""
    assert after(word) == behind


@pytest.mark.django_db
@pytest.mark.parametrize("letter", ["\ud7ff", LAST])
def test_no_letter_stops_the_search(client, letter):
    """The last letters of a range are looked for as any other."""
    client.force_login(user())
    assert client.get("/when/", {"q": f"ab{letter}"}).status_code == 200


@pytest.mark.database
@pytest.mark.django_db
@pytest.mark.parametrize(
    "word", ["quartz", "quart", "zeb", "zebra", "éza", "zz9", "lou_", "50%", "lou"]
)
def test_found_by_how_a_word_begins(word):
    """Whatever the last letter: where a language orders texts none stands behind z, and nothing was found."""
    customer = save_customer(Customer(name="Una"), [Contact(name="Una", phone="")])
    line = HandLine("", "quartz zebra ézard zz9 pane lou_vre 50%off", 1)
    order = place_by_hand(customer.pk, [line], CLERK)
    assert list(find_orders(word).every()) == [order]


@pytest.mark.django_db
def test_one_or_two_digits_are_a_whole_number():
    """C-1 is the first order, not all that begin with 1; three digits begin a number."""
    customer = save_customer(Customer(name="Una"), [Contact(name="Una", phone="")])
    orders = [place_by_hand(customer.pk, [HandLine("", "Pane", 1)], CLERK) for _one in range(12)]
    first = orders[0].pk
    for scrap in (f"C-{first}", f"c{first}", f"{first}", f"C-{first:05d}"):
        assert list(find_orders(scrap).every()) == [orders[0]], scrap
    # A database may have counted hundreds of orders by now.
    begun = orders[0].number[2:5]
    alike = {order for order in orders if order.number[2:5] == begun}
    for scrap in (f"c{begun}", f"C-{begun}"):
        assert set(find_orders(scrap).every()) == alike, scrap


@pytest.mark.database
@pytest.mark.django_db
def test_a_number_that_no_order_has_is_nobody_s_house(django_assert_num_queries):
    """While a number is typed no order is asked one by one whether its customer lives there: no more than its words
    are looked for, in two ways to write it."""
    with django_assert_num_queries(2):
        assert find_orders("C-0").first(13) == []


@pytest.mark.database
@pytest.mark.django_db
def test_one_or_two_letters_are_a_whole_word():
    """VT is the place, not all that begin so; half of all orders hold a word that begins with a letter."""
    customer = save_customer(Customer(name="Una"), [Contact(name="Una", phone="")])
    there = place_by_hand(customer.pk, [HandLine("", "Pane for VT, x 2", 1)], CLERK)
    place_by_hand(customer.pk, [HandLine("", "Pane, vtable xylophone", 1)], CLERK)
    assert list(find_orders("vt").every()) == find_by_keys("vt") == [there]
    assert list(find_orders("x").every()) == find_by_keys("x") == [there]


@pytest.mark.database
@pytest.mark.django_db
def test_a_name_of_two_letters():
    """Whoever is called Wu is found by it, alone and beside another word, wherever it stands; Wulf is not Wu."""
    orders = {}
    for name, phone in (
        ("Anna Wu", "802 555 0177"), ("Wu Dental", ""), ("Anna Wulf", ""), ("Bewu Dent", "802 555 0178"),
        ("Chen, Wu", ""), ("Wu, Chen", ""),
    ):  # fmt: skip
        customer = save_customer(Customer(name=name), [Contact(name=name, phone=phone)])
        orders[name] = place_by_hand(customer.pk, [HandLine("", "Pane", 1)], CLERK)
    for scrap, whose in {
        "wu": ["Wu, Chen", "Chen, Wu", "Wu Dental", "Anna Wu"],
        "anna wu": ["Anna Wulf", "Anna Wu"],
        "wu 0177": ["Anna Wu"],
        "w anna": ["Anna Wulf", "Anna Wu"],
        "wu dent": ["Wu Dental"],
        "a wu": [],
    }.items():
        wanted = [orders[name] for name in whose]
        assert list(find_orders(scrap).every()) == find_by_keys(scrap) == wanted, scrap


def find_by_keys(scrap):
    return [Order.objects.get(pk=key) for key in find_orders(scrap).first(20)]
