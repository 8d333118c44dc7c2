"""What a new table changes against the old one: rows, parts, prices, numbers, measuring."""

from decimal import Decimal

import pytest

from sizing.difference import difference, summary
from sizing.lengths import Length, Unit, from_number
from sizing.listing import change_lines
from tests.sizing.stored import dearer, wren


def size(value):
    return from_number(Decimal(str(value)), Unit.INCH)


def parts(sheets):
    return sheets["Parts"]


def against_wren(spoil):
    return difference(wren(), wren(spoil))


def test_nothing():
    """A table against itself changes nothing."""
    found = against_wren(None)
    assert found.nothing
    assert summary(found) == ["Nothing changes."]


def test_first():
    """The first table of a family is said to be the first."""
    found = difference(None, wren())
    assert found.is_first and not found.nothing
    assert summary(found) == ["The first table of this family: 2 rows; each price is for a piece."]


def test_first_by_the_pair():
    """What a price is for is said before it counts: a workbook may have left it out."""
    found = difference(None, wren(lambda sheets: sheets["Family"].append(["sold_as", "pair"])))
    assert summary(found) == ["The first table of this family: 2 rows; each price is for a pair."]


def test_row_new():
    """A size that the old table has not is new, and its parts are not listed one by one."""
    found = against_wren(lambda s: parts(s).append([21, 47, "light", 6, 11, "ash", "W3LA", 36]))
    assert found.rows_new == ((size(21), size(47)),)
    assert (found.rows_gone, found.parts) == ((), ())
    assert summary(found) == ["1 row new: 21."]


def test_row_gone():
    """A size that only the old table has is gone."""
    found = difference(wren(), wren(lambda s: s.update(Parts=parts(s)[:3])))
    assert found.rows_gone == ((size(19), size(43.25)),)
    assert summary(found) == ["1 row gone: 19."]


def test_row_changed():
    """The same first size with another opening is a changed row, not one new and one gone."""

    def spoil(sheets):
        for line in parts(sheets)[3:]:
            line[1] = "43 1/2"

    found = against_wren(spoil)
    (change,) = found.rows_changed
    assert (change.before[1], change.after[1]) == (size(43.25), size(43.5))
    assert (found.rows_new, found.rows_gone) == ((), ())


def test_price_up():
    """A dearer part says by how much, in money and in percent."""
    found = against_wren(dearer)
    (part,) = found.dearer
    assert (part.price_step, part.price_percent) == (Decimal("3.15"), Decimal("10.0"))
    assert found.cheaper == ()
    assert summary(found) == ["1 part dearer, by 3.15 USD (10.0 %)."]


def test_prices_both_ways():
    """Dearer and cheaper parts are told apart, each with its span."""

    def spoil(sheets):
        parts(sheets)[1][7], parts(sheets)[2][7], parts(sheets)[3][7] = 34.65, 42, 30

    assert summary(against_wren(spoil)) == [
        "2 parts dearer, by 3.15 to 7.00 USD (10.0 to 20.0 %).",
        "1 part cheaper, by 3.25 USD (9.8 %).",
    ]


def test_price_from_nothing():
    """A price of nothing has no percent to rise by."""
    free = wren(lambda s: parts(s)[1].__setitem__(7, 0))
    (part,) = difference(free, wren()).dearer
    assert (part.price_step, part.price_percent) == (Decimal("31.50"), None)
    assert summary(difference(free, wren())) == ["1 part dearer, by 31.50 USD."]


def test_another_currency():
    """Across currencies no price step is worked out."""
    found = against_wren(lambda s: s["Family"].__setitem__(6, ["currency", "CAD"]))
    assert (found.same_prices, found.dearer, found.cheaper) == (False, (), ())
    assert "Currency: CAD, was USD." in summary(found)


@pytest.mark.parametrize(
    ("at", "value", "line"),
    [
        ((1, 6), "W9", "1 part with another part number."),
        ((1, 6), None, "1 part no longer offered."),
        ((4, 6), "W2HA", "1 part offered now."),
        ((1, 7), None, "1 part with a price new or gone."),
        ((1, 4), 9, "1 part with another weight band."),
    ],
)
def test_part(at, value, line):
    """A part's number, offer, price and band are each told."""
    found = against_wren(lambda s: parts(s)[at[0]].__setitem__(at[1], value))
    assert summary(found) == [line]


def test_finish_new():
    """A finish added to a size that was there is offered now."""
    found = against_wren(
        lambda s: parts(s).append([19, "43 1/4", "light", 6, 11, "slate", "W2LS", 34])
    )
    (part,) = found.offered_now
    assert (part.size, part.finish, part.after.part_number) == (size(19), "slate", "W2LS")
    assert found.bands_changed == ()


@pytest.mark.parametrize(
    ("sheet", "row", "column", "value", "what"),
    [
        ("Measures", 3, 4, 0.25, "opening, usual error"),
        ("Measures", 3, 5, "Along the side.", "opening, how to measure"),
        ("Slips", 1, 4, 0.2, "upper_glass, slip: visible glass only"),
        ("Fit", 1, 1, "no", "fit: Do both sashes slide?"),
    ],
)
def test_measuring(sheet, row, column, value, what):
    """A change in how to measure is told field by field, with both texts."""
    found = against_wren(lambda s: s[sheet][row].__setitem__(column, value))
    (change,) = found.measuring
    assert change.what == what
    assert change.before and change.after and change.before != change.after


def test_other_first_column():
    """When the first column is another dimension no row can be the same: all are new and all gone."""

    def spoil(sheets):
        del sheets["Measures"], sheets["Slips"]
        parts(sheets)[0][0] = "pane"

    found = against_wren(spoil)
    assert (len(found.rows_new), len(found.rows_gone), found.parts) == (2, 2, ())


def test_change_lines():
    """On the page the part that is no longer offered comes first, then the largest step in percent, with its sign."""

    def spoil(sheets):
        parts(sheets)[1][7], parts(sheets)[2][6], parts(sheets)[3][7] = 34.65, None, 30

    found = against_wren(spoil)
    lines = change_lines(found, wren().weight_unit)
    assert [
        (line.size, line.weight_class, line.step, line.percent, line.remark) for line in lines
    ] == [
        ("17\u00a01/2", "heavy", "", "", "no longer offered"),
        ("17\u00a01/2", "light", "+3.15", "+10.0 %", ""),
        ("19", "light", "-3.25", "-9.8 %", ""),
    ]
    assert (lines[0].part_number, lines[0].price, lines[0].was_price) == ("W1HA", "", "35.00")


def test_no_row_is_lost():
    """New, gone and common rows together are all the rows of both tables."""
    old, new = wren(), wren(lambda s: parts(s).append([21, 47, "", None, None, "", "W3", 1]))
    found = difference(old, new)
    sizes = {row[0] for row in (*old.rows, *new.rows)}
    common = {row[0] for row in old.rows} & {row[0] for row in new.rows}
    told = {Length(row[0]) for row in (*found.rows_new, *found.rows_gone)}
    assert told | common == sizes and not told & common
