"""Breaks, terms and missing prices."""

from datetime import date
from decimal import Decimal

import pytest

from quotes.freight import Freight
from quotes.pricing import (
    Break,
    Line,
    PricingError,
    Terms,
    break_lost,
    break_percent,
    breaks_in_force,
    price_quote,
)
from quotes.tax import Tax

FREE = Freight("pickup", Decimal(0), "collected")
NO_TAX = Tax(Decimal(0), Decimal(0), "no tax")
SPRING, SUMMER = date(2026, 3, 1), date(2026, 7, 1)


def price(*lines, **about):
    about = {"currency": "USD", "terms": Terms("list"), "freight": FREE, "tax": NO_TAX} | about
    return price_quote(lines, **about)


def test_a_break_counts_all_of_a_family():
    """Two lines of one family reach a break together; another family does not help."""
    breaks = [Break(10, Decimal(5), SPRING, "liner")]
    priced = price(
        Line("a", 6, Decimal(10), "liner"),
        Line("b", 4, Decimal(10), "liner"),
        Line("c", 9, Decimal(10), "balance"),
        breaks=breaks,
    )
    assert [str(line.gross) for line in priced.lines] == ["57.00", "38.00", "90.00"]


@pytest.mark.parametrize(
    ("family", "quantity", "percent"),
    [
        ("liner", 9, 0), ("liner", 10, 5), ("liner", 24, 5), ("liner", 25, 8),
        ("balance", 9, 0), ("balance", 10, 2), ("balance", 99, 2),
    ],
)  # fmt: skip
def test_the_highest_break_reached_counts(family, quantity, percent):
    """A family's own breaks go before those for all; the limit itself is included."""
    breaks = [
        Break(10, Decimal(5), SPRING, "liner"),
        Break(25, Decimal(8), SPRING, "liner"),
        Break(10, Decimal(2), SPRING),
    ]
    assert break_percent(breaks, family, quantity) == percent


def test_a_newer_list_of_breaks_replaces_the_older():
    """Of two dated lists only the newest in force on the day counts."""
    older, newer = Break(5, Decimal(9), SPRING), Break(10, Decimal(3), SUMMER)
    assert breaks_in_force([older, newer], date(2026, 6, 30)) == (older,)
    assert breaks_in_force([older, newer], SUMMER) == (newer,)


def test_terms_and_breaks_leave_special_and_hand_lines_alone():
    """Discounts are for list lines; a price agreed by hand stays as it is."""
    priced = price(
        Line("a", 1, Decimal(100), "liner"),
        Line("b", 1, Decimal(100), list_price=False),
        terms=Terms("trade", Decimal(10)),
        breaks=[Break(1, Decimal(50), SPRING)],
    )
    assert [str(line.net) for line in priced.lines] == ["45.00", "100.00"]


def test_a_line_without_a_price_is_named_and_left_out():
    """A special still with the factory does not stop the rest from being priced."""
    priced = price(
        Line("a", 2, Decimal("7.25")),
        Line("b", 1, None, list_price=False),
        freight=Freight("truck", None, "ask"),
    )
    assert (str(priced.total), priced.unpriced) == ("14.50", ("b", "freight"))


def test_prices_with_four_decimals_round_once_a_line():
    """1000 pieces at 0.0349 are 34.90, not 1000 times 0.03."""
    assert str(price(Line("a", 1000, Decimal("0.0349"))).total) == "34.90"


def test_an_empty_quote_is_nothing():
    """No lines: every total is zero, in the currency's own decimals."""
    assert str(price(currency="KWD").total) == "0.000"


@pytest.mark.parametrize(
    ("line", "terms", "words"),
    [
        (Line("3", 0, Decimal(1)), Terms("list"), "Line 3 has a quantity of 0"),
        (Line("3", 1, Decimal(-1)), Terms("list"), "Line 3 has a price below zero"),
        (Line("3", 1, Decimal(1)), Terms("x", Decimal(101)), "discount is 101 %"),
        (Line("3", 1, Decimal(1)), Terms("x", Decimal(0), Decimal(-5)), "deposit is -5 %"),
    ],
)
def test_what_cannot_be_priced_is_named(line, terms, words):
    """A bad quantity, price or percentage gets one sentence that says which."""
    with pytest.raises(PricingError, match=words):
        price(line, terms=terms)


@pytest.mark.parametrize(("was", "more"), [("10", "8.00"), ("0", "0.00"), ("100", "0.00")])
def test_a_break_that_a_smaller_order_loses(was, more):
    """Ten at 20.00 less 10 % came to 180.00: four that are left without a break come to 80.00, 8.00 more, not 72.00.
    Of what was given for nothing no price can be told, so nothing is asked for (the desk's own rule)."""
    total = Decimal(200) * (100 - Decimal(was)) / 100
    assert break_lost(total, 10, 4, Decimal(was), Decimal(0), "USD") == Decimal(more)
