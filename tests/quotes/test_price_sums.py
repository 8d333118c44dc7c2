"""The lines of a priced quote sum to its total exactly, in any currency."""

from hypothesis import given
from hypothesis import strategies as st

from quotes.allot import unit_of
from quotes.freight import Freight
from quotes.pricing import Break, Line, Terms, price_quote
from quotes.tax import Tax
from tests.quotes.test_allot import CURRENCIES

percents = st.decimals(0, 100, places=3)
currencies = st.sampled_from(CURRENCIES)


@st.composite
def quotes(draw, least=0):
    """The arguments of `price_quote` for a quote of up to 12 lines."""
    shapes = draw(
        st.lists(
            st.tuples(
                st.integers(1, 400),
                st.decimals(0, 3000, places=4),
                st.sampled_from(["liner", "balance"]),
                st.booleans(),
                st.booleans(),
            ),
            min_size=least,
            max_size=12,
        )
    )
    lines = [
        Line(str(at), quantity, price, family, listed, taxable)
        for at, (quantity, price, family, listed, taxable) in enumerate(shapes)
    ]
    freight = draw(st.decimals(0, 900, places=4))
    return lines, {
        "currency": draw(currencies),
        "terms": Terms("net", draw(percents), draw(percents)),
        "breaks": [
            Break(10, draw(percents), None),
            Break(50, draw(percents), None, "liner"),
        ],
        "freight": Freight("parcel", freight, "by cart"),
        "tax": Tax(draw(percents), draw(percents), "state"),
    }


@given(quotes())
def test_lines_and_freight_sum_to_the_total(quote):
    """Lines with their tax, freight and the tax on it sum to the total, and the total to its parts."""
    lines, about = quote
    priced = price_quote(lines, **about)
    assert sum(line.total for line in priced.lines) + priced.freight + priced.freight_tax == (
        priced.total
    )
    assert priced.goods - priced.discount + priced.freight + priced.tax == priced.total
    assert sum(line.discount for line in priced.lines) == priced.discount


@given(quotes())
def test_every_amount_is_in_whole_minor_units(quote):
    """No amount on a quote has a fraction of the currency's smallest unit."""
    lines, about = quote
    priced = price_quote(lines, **about)
    unit = unit_of(about["currency"])
    amounts = [priced.goods, priced.discount, priced.freight, priced.tax, priced.total]
    amounts += [priced.deposit, priced.freight_tax]
    for line in priced.lines:
        amounts += [line.gross, line.discount, line.net, line.tax, line.total]
        assert 0 <= line.discount <= line.gross
    assert all(amount % unit == 0 and amount >= 0 for amount in amounts)
    assert 0 <= priced.deposit <= priced.total


@given(quotes(least=2), st.data())
def test_the_order_of_lines_moves_no_total(quote, data):
    """Lines in another order give the same totals, and a line moves by one unit at most (on a tie)."""
    lines, about = quote
    straight = price_quote(lines, **about)
    mixed = price_quote(data.draw(st.permutations(lines)), **about)
    for name in ("goods", "discount", "freight", "tax", "total", "deposit"):
        assert getattr(mixed, name) == getattr(straight, name)
    unit = unit_of(about["currency"])
    found = {line.key: line for line in mixed.lines}
    for line in straight.lines:
        assert abs(found[line.key].discount - line.discount) <= unit
        assert found[line.key].gross == line.gross
