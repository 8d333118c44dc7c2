"""A special goes to its factory with all that it is made by, or says what nobody knows."""

from dataclasses import replace

import pytest
from django.urls import reverse

from quotes.desk.enquiries import ask_about
from quotes.models import Enquiry
from tests.quotes import shop
from tests.quotes.specials import manager, set_up

pytestmark = pytest.mark.usefixtures("built")


def build():
    set_up()


def cottage(**more: str):
    sizes = {"upper_glass": "16", "lower_glass": "24", "opening": "47 3/8"} | more
    return shop.take_request(shop.opening("Stairs", **sizes)).openings.get()


@pytest.fixture
def read():
    """The page of that name, as a manager reads it."""
    client = manager()
    return lambda name, pk: client.get(reverse(name, args=[pk])).content.decode()


def weights(enquiry: Enquiry) -> list[tuple[str, bool]]:
    lines = enquiry.asked().opening.measures
    return [(m.understood, m.doubtful) for m in lines if m.label == "Sash weight"]


def test_the_clerk_is_told_to_ask_for_the_weight(read):
    """Before it is sent, and again as long as it can be sent anew."""
    opening = cottage()
    assert "Ask too, as the factory needs it: sash weight" in read("special-flag", opening.pk)
    special = ask_about(opening.pk, by="ann").special_id
    assert "Ask too, as the factory needs it: sash weight" in read("special", special)


def test_two_heights_alone_want_something_to_be_held_against(read):
    """An opening that nobody can measure is not asked for."""
    sizes = {"upper_glass": "16", "lower_glass": "24", "sash_weight": "9"}
    alone = shop.take_request(shop.opening("Stairs", **sizes)).openings.get()
    assert "Ask too, as the factory needs it: opening height." in read("special-flag", alone.pk)
    nobody = replace(shop.opening("Stairs", **sizes), cannot=frozenset({"opening"}))
    given_up = shop.take_request(nobody).openings.get()
    assert "as the factory needs it" not in read("special-flag", given_up.pk)


def test_the_factory_reads_that_the_weight_is_not_known():
    assert weights(ask_about(cottage().pk, by="ann")) == [("not known", True)]


def test_a_weight_that_is_known_is_not_asked_for(read):
    enquiry = ask_about(cottage(sash_weight="14").pk, by="ann")
    assert weights(enquiry) == [("14 lb", False)]
    assert "as the factory needs it" not in read("special", enquiry.special_id)


def test_an_opening_that_both_sashes_contradict_says_so_to_clerk_and_factory(read):
    enquiry = ask_about(cottage(opening="45").pk, by="ann")
    assert "Both glass heights together do not make: opening height 45 (47 3/8 expected)" in read(
        "special", enquiry.special_id
    )
    (beside,) = (m for m in enquiry.asked().opening.measures if m.label == "Opening height")
    assert beside.doubtful and "short" in beside.fit
