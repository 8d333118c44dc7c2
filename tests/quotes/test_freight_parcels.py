"""Freight by the longest piece, the girth and the weight."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotes.freight import Freight, Goods, Limits, Step, freight_for, steps_in_force
from sizing.lengths import Length
from sizing.weights import Weight

INCH, POUND = 8128, 453_592_370_000
SPRING, SUMMER = date(2026, 3, 1), date(2026, 7, 1)


def step(price, length, girth_and_length, pounds, carrier="cart", since=SPRING):
    limits = Limits(Length(length * INCH), Length(girth_and_length * INCH), Weight(pounds * POUND))
    return Step(carrier, limits, Decimal(price), since)


def goods(pieces, inches, girth=8, pounds=2):
    return Goods(pieces, Length(inches * INCH), Length(girth * INCH), Weight(pounds * POUND))


STEPS = [step("9.00", 48, 100, 40), step("17.50", 96, 120, 40)]


def test_the_longest_piece_decides_the_step():
    """One long piece among short ones takes the whole parcel to the dearer step."""
    assert freight_for([goods(3, 40)], STEPS).amount == Decimal("9.00")
    assert freight_for([goods(3, 40), goods(1, 80)], STEPS).amount == Decimal("17.50")


def test_a_limit_itself_is_included():
    """Exactly at the limit still goes; a 1/320 mm more does not."""
    assert freight_for([goods(1, 96)], STEPS).by == "parcel"
    over = Goods(1, Length(96 * INCH + 1), Length(8 * INCH), Weight(POUND))
    assert freight_for([over], STEPS).by == "truck"


def test_weight_over_one_parcel_makes_another():
    """45 lb of pieces under a limit of 40 lb are two parcels, both paid for."""
    sent = freight_for([goods(9, 40, pounds=5)], STEPS)
    assert (sent.amount, [parcel.pieces for parcel in sent.parcels]) == (Decimal("18.00"), [8, 1])


def test_girth_of_a_bundle_counts():
    """Pieces side by side are further round: the bundle passes the limit before the weight does."""
    wide = [step("9.00", 48, 64, 400)]
    sent = freight_for([goods(10, 40)], wide)
    assert [parcel.pieces for parcel in sent.parcels] == [9, 1]


def test_what_no_step_takes_is_asked_for():
    """Over every limit there is no amount, and the words say that it goes by truck."""
    sent = freight_for([goods(1, 120)], STEPS)
    assert (sent.by, sent.amount) == ("truck", None)
    assert "truck" in sent.words


@pytest.mark.parametrize(
    "sent", [[goods(1, 130)], [goods(1, 40, pounds=200)], [goods(1, 40, girth=300)]],
    ids=["too long", "too heavy", "too thick"],
)  # fmt: skip
def test_what_is_over_a_limit_is_not_said_to_be_too_long(sent):
    """Which limit it is differs from carrier to carrier, so none is named."""
    words = freight_for(sent, STEPS).words
    assert words == "goes by truck, ask for the freight: no carrier's limits take every piece"


def test_a_part_of_unknown_weight_is_asked_for():
    """Without a weight nothing is guessed."""
    unknown = Goods(1, Length(40 * INCH), Length(8 * INCH), None)
    assert freight_for([unknown], STEPS).amount is None


def test_no_rates_is_asked_for():
    """With no list in force nothing is guessed either."""
    assert freight_for([goods(1, 40)], []).amount is None


def test_the_cheapest_carrier_that_takes_all_is_taken():
    """Two carriers: the cheaper one, by name when they cost the same."""
    other = [step("8.00", 48, 100, 40, "barge")]
    assert freight_for([goods(1, 40)], STEPS + other).words == "1 parcel by barge"
    assert freight_for([goods(1, 80)], STEPS + other).words == "1 parcel by cart"
    alike = [step("9.00", 48, 100, 40, carrier) for carrier in ("wagon", "barge", "sled")]
    assert freight_for([goods(1, 40)], STEPS + alike).words == "1 parcel by barge"


def test_a_newer_list_replaces_the_older():
    """A carrier's list counts whole from its date on."""
    newer = step("11.00", 48, 100, 40, since=SUMMER)
    assert steps_in_force([*STEPS, newer], date(2026, 6, 30)) == tuple(STEPS)
    assert steps_in_force([*STEPS, newer], SUMMER) == (newer,)


@given(
    st.lists(
        st.builds(
            goods, st.integers(1, 9), st.integers(1, 96), st.integers(1, 9), st.integers(1, 9)
        ),
        min_size=1,
        max_size=6,
    ),
    st.data(),
)
def test_the_order_of_lines_moves_nothing(items, data):
    """The same goods in another order make the same parcels at the same price."""
    straight = freight_for(items, STEPS)
    assert freight_for(data.draw(st.permutations(items)), STEPS) == straight
    assert isinstance(straight, Freight)
    assert sum(parcel.pieces for parcel in straight.parcels) == sum(item.pieces for item in items)
    assert all(any(one.limits.take(parcel) for one in STEPS) for parcel in straight.parcels)
