"""An amount divided among lines comes back whole."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotes.allot import allot, allot_units, round_money, unit_of

CURRENCIES = ["JPY", "USD", "KWD"]
weights = st.lists(st.decimals(0, 10_000, places=4), min_size=1, max_size=30)
units = st.integers(0, 10_000_000)


@given(units, weights, st.sampled_from(CURRENCIES))
def test_shares_sum_to_the_amount(total, shares_of, currency):
    """Whatever the weights and the currency, the shares sum to the amount exactly."""
    amount = total * unit_of(currency)
    assert sum(allot(amount, shares_of, currency)) == amount


@given(units, weights)
def test_each_share_is_within_one_unit_of_its_quota(total, shares_of):
    """No line is off its exact share by a whole minor unit or more (the quota rule)."""
    whole = sum(shares_of)
    for share, weight in zip(allot_units(total, shares_of), shares_of, strict=True):
        if whole:
            assert abs(share - total * weight / whole) < 1


@given(units, st.lists(st.integers(0, 10_000), min_size=1, max_size=12, unique=True), st.data())
def test_order_matters_only_on_ties(total, distinct, data):
    """The same lines in another order get the same shares, but for equal remainders."""
    if not sum(distinct):
        return
    remainders = [total * weight % sum(distinct) for weight in distinct]
    if len(set(remainders)) < len(remainders):
        return
    mixed = data.draw(st.permutations(distinct))
    straight = dict(zip(distinct, allot_units(total, distinct), strict=True))
    assert dict(zip(mixed, allot_units(total, mixed), strict=True)) == straight


def test_on_a_tie_the_first_line_wins():
    """Of equal remainders the earlier line gets the unit left over."""
    assert allot(Decimal("10.00"), [Decimal(1)] * 3, "USD") == (
        Decimal("3.34"),
        Decimal("3.33"),
        Decimal("3.33"),
    )


def test_all_weights_zero_gives_all_to_the_first():
    """Where nothing weighs anything the first line takes the whole amount."""
    assert allot(Decimal(5), [Decimal(0), Decimal(0)], "JPY") == (Decimal(5), Decimal(0))


@pytest.mark.parametrize(
    ("total", "shares_of", "currency"),
    [
        (Decimal("0.005"), [Decimal(1)], "USD"),
        (Decimal("1.5"), [Decimal(1)], "JPY"),
        (Decimal(-1), [Decimal(1)], "USD"),
        (Decimal(1), [Decimal(-1), Decimal(2)], "USD"),
        (Decimal(1), [], "USD"),
    ],
)
def test_what_cannot_be_allotted_is_refused(total, shares_of, currency):
    """A part of a minor unit, a negative amount or weight, or no line at all is an error."""
    with pytest.raises(ValueError, match=r"allot|minor units"):
        allot(total, shares_of, currency)


@pytest.mark.parametrize(
    ("amount", "currency", "rounded"),
    [
        ("2.345", "USD", "2.35"),
        ("2.3449999", "USD", "2.34"),
        ("2.5", "JPY", "3"),
        ("2.34449", "KWD", "2.344"),
        ("2.3445", "KWD", "2.345"),
    ],
)
def test_half_goes_up_at_the_minor_unit(amount, currency, rounded):
    """Exactly half a minor unit goes up, in one step."""
    assert str(round_money(Decimal(amount), currency)) == rounded
