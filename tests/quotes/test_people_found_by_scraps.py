"""A customer is found by any scrap."""

import pytest

from quotes.desk.people import save_customer
from quotes.lists.people import find_customers
from quotes.models import Address, Contact, Customer

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def people():
    save_customer(
        Customer(name="Dupré Frères Menuiserie", kind="contractor"),
        [Contact(name="Benoît Dupré", phone="(802) 555-0142", email="Benoit@Dupre.example")],
        [Address(street="9 Gravel Pit Road", town="Saint-Élan", region="VT", postcode="05071")],
    )
    save_customer(
        Customer(name="Wren Property Care"),
        [Contact(name="Ida Wren", phone="+44 20 7946 0018", email="ida@wren.example")],
        [Address(town="Larkford")],
    )
    save_customer(Customer(name="Jean O'Hara"), [], [])
    save_customer(Customer(name="Ann Darcy"), [], [])


@pytest.mark.parametrize(
    ("scrap", "name"),
    [
        ("dupre", "Dupré Frères Menuiserie"),
        ("FRÈRES", "Dupré Frères Menuiserie"),
        ("benoit menuis", "Dupré Frères Menuiserie"),
        ("802 555 0142", "Dupré Frères Menuiserie"),
        ("802.555.0142", "Dupré Frères Menuiserie"),
        ("+1 802-555-0142", "Dupré Frères Menuiserie"),
        ("1 802 555 0142 benoit", "Dupré Frères Menuiserie"),
        ("0142", "Dupré Frères Menuiserie"),
        ("saint-elan", "Dupré Frères Menuiserie"),
        ("gravel", "Dupré Frères Menuiserie"),
        ("benoit@dupre", "Dupré Frères Menuiserie"),
        ("05071", "Dupré Frères Menuiserie"),
        ("7946 0018", "Wren Property Care"),
        ("020 7946", "Wren Property Care"),
        ("larkf wren", "Wren Property Care"),
        ("Wren, Ida", "Wren Property Care"),
        ("ohara", "Jean O'Hara"),
        ("o’hara, jean", "Jean O'Hara"),
        ("d'arcy", "Ann Darcy"),
    ],
)
def test_found(scrap, name):
    """Name, contact, phone however written, e-mail, street, town, postcode: each finds the one."""
    assert [customer.name for customer in find_customers(scrap)] == [name]


@pytest.mark.parametrize(
    "scrap", ["nobody", "dupre larkford", "802 555 0199", "'; --", "%", "no\x00body"]
)
def test_not_found(scrap):
    """Every word must fit the same customer; what fits none finds none."""
    assert not find_customers(scrap).exists()


def test_no_scrap_lists_everybody():
    """An empty box lists all, by name."""
    assert find_customers("  ").count() == 4


@pytest.mark.parametrize("scrap", ["187", "0994", "1600"])
def test_a_few_digits_are_taken_as_typed(scrap):
    """Of three or four digits none is the trunk's: 87, 994 and 600 stand in half of all numbers."""
    save_customer(Customer(name="Ash"), [Contact(name="Ash", phone="802 555 0987")])
    save_customer(Customer(name="Elm"), [Contact(name="Elm", phone="802 994 2600")])
    assert list(find_customers(scrap)) == []
