"""Glass weight against EN 572-1 and the printed tables of MIL-HDBK-1013/12.

EN 572-1 (second-hand): soda-lime float glass weighs 2.5 kg for a square metre and a millimetre.
MIL-HDBK-1013/12 table 29 gives lb/ft2 by nominal inches, table 30 kg/m2 by nominal millimetres; both
are within 8 % of the EN figure, because a sheet is rarely its nominal thickness.
Minimum and maximum thickness: ASTM E1300 (minima, second-hand) and C1036 (maxima, from memory).
"""

from fractions import Fraction

import pytest

from sizing.glass import GLASS_ONLY, estimate_sash_weight, read_thickness
from sizing.lengths import PER_INCH, PER_MM, Length, Unit, parse_length
from sizing.weights import PER_KG, PER_POUND

FOOT = Length(12 * PER_INCH)
METRE = Length(1000 * PER_MM)


def kg_per_m2(thickness: Length) -> float:
    return estimate_sash_weight(METRE, METRE, thickness, 1, GLASS_ONLY).weight / PER_KG


def lb_per_ft2(thickness: Length) -> float:
    return estimate_sash_weight(FOOT, FOOT, thickness, 1, GLASS_ONLY).weight / PER_POUND


@pytest.mark.parametrize("mm", [1, 3, 4, 6, 10])
def test_en_572(mm):
    """A square metre of glass weighs 2.5 kg a millimetre (EN 572-1)."""
    assert kg_per_m2(Length(mm * PER_MM)) == 2.5 * mm


@pytest.mark.parametrize(
    ("mm", "printed"), [(3, 7.8), (6, 15.1), (10, 25.9), (12, 32.2), (16, 41.5), (19, 49.3)]
)
def test_handbook_table_30(mm, printed):
    """Millimetre glass is within 8 % of MIL-HDBK-1013/12 table 30."""
    assert kg_per_m2(Length(mm * PER_MM)) == pytest.approx(printed, rel=0.08)


@pytest.mark.parametrize(
    ("inches", "printed"),
    [("1/8", 1.6), ("1/4", 3.1), ("3/8", 5.3), ("1/2", 6.6), ("5/8", 8.5), ("3/4", 10.1)],
)
def test_handbook_table_29(inches, printed):
    """Inch glass, as typed at the counter, is within 8 % of MIL-HDBK-1013/12 table 29."""
    thickness = read_thickness(inches, Unit.INCH)
    assert lb_per_ft2(thickness) == pytest.approx(printed, rel=0.08)


@pytest.mark.parametrize(
    ("name", "minimum", "maximum"),
    [
        ("single strength", "2.16", "2.57"),
        ("double strength", "2.92", "3.40"),
        ('5/32"', "3.78", "4.19"),
        ('3/16"', "4.57", "5.05"),
        ('1/4"', "5.56", "6.20"),
        ('5/16"', "7.42", "8.43"),
        ('3/8"', "9.02", "10.31"),
    ],
)
def test_allowed_range(name, minimum, maximum):
    """The thickness a name is counted with lies in its allowed range (E1300 minima; C1036 maxima from memory)."""
    counted = Fraction(read_thickness(name, Unit.INCH), PER_MM)
    assert Fraction(minimum) <= counted <= Fraction(maximum)


@pytest.mark.parametrize(("panes", "pounds"), [(1, 6.1018), (2, 12.2036)])
def test_worked_pane(panes, pounds):
    """Glass of 26 x 22 in, 3 mm thick, weighs 6.1018 lb a pane (computed from 2500 kg/m3)."""
    width, height = parse_length('26"', Unit.INCH), parse_length('22"', Unit.INCH)
    sash = estimate_sash_weight(width, height, Length(3 * PER_MM), panes, GLASS_ONLY)
    assert sash.weight / PER_POUND == pytest.approx(pounds, abs=5e-5)
