"""A caller asks about an order of before the desk: its reference finds it in the past that was read in."""

import io
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from ordering.expected import forget, lead_times_of
from ordering.history import COLUMNS, read_history
from ordering.lists.past_orders import find_past, past_answers
from ordering.models import PastOrder
from ordering.past import store
from ordering.sentences import day
from ordering.words import digits_of
from sizing.models import Family
from tests.ordering.past_of_a_mill import mill
from tests.ordering.placed import load_shop, sent_order, user

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate


def past_order(reference: str, ago: int, shipped_ago: int | None = None) -> PastOrder:
    return PastOrder.objects.create(
        reference=reference, family=Family.objects.get(code="ROVE"), part_number="RV-20", quantity=2,
        ordered_on=TODAY() - timedelta(ago),
        shipped_on=None if shipped_ago is None else TODAY() - timedelta(shipped_ago),
    )  # fmt: skip


@pytest.fixture
def ask(client):
    forget()
    client.force_login(user("sam", "staff"))
    return lambda scrap: client.get(reverse("when"), {"q": scrap}).content.decode()


@pytest.mark.parametrize("scrap", ["K-4711", "k-4711", " K-47 ", "K-"])
def test_by_the_beginning_of_its_reference(scrap):
    """Capital or small, whole or begun."""
    mill(ROVE=(4, 8))
    order = past_order("K-4711", 60, 10)
    assert find_past(scrap, 3) == [order]


@pytest.mark.parametrize(
    ("reference", "scrap"),
    [
        ("K-4711", "4711"), ("K-4711", "471"), ("K-4711/2", "4711"), ("SO 2026-004711", "4711"),
        ("SO 2026-004711", "04711"), ("W4711X", "4711"), ("K-00047", "K-00047"),
    ],
)  # fmt: skip
def test_by_the_number_in_its_reference(reference, scrap):
    """What stands before the number need not be said, and no noughts."""
    mill(ROVE=(4, 8))
    text = io.StringIO(f"{','.join(COLUMNS)}\n{reference},ROVE,RV-20,2,2026-01-05,,\n")
    store(read_history(text, "past.csv", {"ROVE": Family.objects.get(code="ROVE").pk}))
    assert [order.reference for order in find_past(scrap, 3)] == [reference]


def test_whole_before_inner():
    """A reference that begins so stands before one that has the number inside, and none twice."""
    mill(ROVE=(4, 8))
    for reference in ("A-4711", "4711", "47110-B"):
        order = past_order(reference, 60, 10)
        PastOrder.objects.filter(pk=order.pk).update(digits=digits_of(reference))
    assert [order.reference for order in find_past("4711", 9)] == ["4711", "47110-B", "A-4711"]


@pytest.mark.parametrize("scrap", ["47", "C-4"])
def test_two_digits_are_a_whole_reference(scrap):
    """While a number is typed half of all would begin with them."""
    mill(ROVE=(4, 8))
    for reference in ("4711", "47", "C-47", "C-4"):
        past_order(reference, 60, 10)
    assert [order.reference for order in find_past(scrap, 3)] == [scrap]


@pytest.mark.parametrize("scrap", ["", "K", "711", "47", "000", "K-5", "%", "K_4", "K-\x00"])
def test_what_finds_none(scrap):
    """Nothing, one letter, the middle of its number, too little of it, another one, and marks that mean
    something elsewhere."""
    mill(ROVE=(4, 8))
    order = past_order("L-4711", 60, 10)
    PastOrder.objects.filter(pk=order.pk).update(digits=digits_of(order.reference))
    assert find_past(scrap, 3) == []


def test_one_that_has_shipped(ask):
    """It says on which day it was shipped."""
    mill(ROVE=(4, 8))
    order = past_order("K-4711", 60, 10)
    page = ask("k-4711")
    assert "Order K-4711, 2 of RV-20 (ROVE), placed on" in page
    assert f"was shipped on {day(order.shipped_on, TODAY())}." in page
    assert "No order and no quote holds" not in page


def test_one_still_open(ask):
    """It says when it should leave, and on what that rests."""
    mill(ROVE=(4, 8))
    past_order("K-4711", 10)
    page = ask("K-4711")
    assert "had not shipped when the past was read in; it should leave the factory between" in page
    assert "The factory says it usually takes 4 to 8 weeks" in page


def test_one_of_a_family_that_came_since(ask):
    """A family whose table came in after the factory was last asked about is answered too."""
    factory = mill(ROVE=(4, 8))
    past_order("K-4711", 10)
    ask("K-4711")
    Family.objects.filter(code="ROVE").update(code="TARN", name="TARN")
    PastOrder.objects.update(family=Family.objects.get(code="TARN"))
    assert lead_times_of(factory, TODAY()).knows("ROVE")
    assert "K-4711, 2 of RV-20 (TARN)" in ask("K-4711")


def test_one_open_for_years(ask):
    """Nobody is told a date for an order that was never marked as shipped."""
    mill(ROVE=(4, 8))
    past_order("K-4711", 800)
    page = ask("K-4711")
    assert "is not marked as shipped" in page
    assert "should leave" not in page


def test_the_desks_own_is_told_once():
    """A line of the desk's own order, kept among the past as well, is not told a second time."""
    load_shop()
    order, _ = sent_order()
    assert PastOrder.objects.filter(reference=f"{order.number}/1").exists()
    assert past_answers(order.number, 3, TODAY()) == []
