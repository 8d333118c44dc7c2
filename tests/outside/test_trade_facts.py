"""Facts of the trade as check values: common practice, no source.

A jamb liner's table as it is usually met: the opening is twice the glass plus 6 in, the long point 7/16 in
more; sizes start at 12, 14, 16 in of glass and end at 28; glass seen between the stops measures about
1 in less than the glass; weight classes by what the sash weighs. None of these numbers is the demo's.
"""

import pytest

from sizing.lengths import PER_INCH, Length, Unit
from sizing.resolver import compile_table, read_opening, resolve
from sizing.table import Column, Measure, Part, SizeTable, Slip
from sizing.weights import PER_POUND, Weight, WeightUnit

# Common practice, no source: about 11 lb is standard and over 15 lb heavy at 12 in; about 22 and 28 at 28 in.
BANDS = {12: ((8, 12), (15, 22)), 28: ((19, 24), (26, 33))}
MISSING = ("beta", 16)


def inches(value: float) -> Length:
    return Length(round(value * PER_INCH))


def _bands(glass: int) -> list[tuple[float, float]]:
    share = (glass - 12) / 16
    return [
        tuple(a + share * (b - a) for a, b in zip(low, high, strict=True))
        for low, high in zip(BANDS[12], BANDS[28], strict=True)
    ]


def usual_table() -> SizeTable:
    sizes = range(12, 29, 2)
    parts = [
        Part(row, name, Weight(int(low * PER_POUND)), Weight(int(high * PER_POUND)), finish,
             None if (finish, glass) == MISSING else f"{glass}{name[0]}{finish[0]}", None)
        for row, glass in enumerate(sizes)
        for name, (low, high) in zip(("standard", "heavy"), _bands(glass), strict=True)
        for finish in ("alpha", "beta")
    ]  # fmt: skip
    eighth = inches(1 / 8)
    return SizeTable(
        "usual", "Usual jamb liner", "A factory", Unit.INCH, WeightUnit.POUND, "USD", 4, 8,
        columns=(Column("glass", "Glass"), Column("opening", "Opening"), Column("long_point", "Long point")),
        rows=tuple((inches(g), inches(2 * g + 6), inches(2 * g + 6 + 7 / 16)) for g in sizes),
        measures=(
            Measure("upper_glass", "Upper glass", "glass", "length", eighth, "", "upper"),
            Measure("lower_glass", "Lower glass", "glass", "length", eighth, "", "lower"),
            Measure("opening", "Opening", "opening", "length", eighth),
            Measure("long_point", "Long point", "long_point", "length", eighth),
            Measure("sash_weight", "Sash weight", None, "weight", Weight(PER_POUND // 2)),
        ),
        slips=tuple(
            Slip(code, "only the visible glass is measured", inches(-1.25), inches(-0.75), 0.15)
            for code in ("upper_glass", "lower_glass")
        ),
        parts=tuple(parts),
    )  # fmt: skip


COMPILED = compile_table(usual_table())


def desk(finish="alpha", **measures):
    return resolve(COMPILED, [read_opening(COMPILED.table, measures, finish=finish)])[0]


@pytest.mark.parametrize(
    ("glass", "opening", "long_point", "weight", "part"),
    [("12", "30", "30 7/16", "11", "12sa"), ("28", "62", "62 7/16", "22", "28sa"),
     ("12", "30", "30 7/16", "16", "12ha"), ("28", "62", "62 7/16", "28", "28ha")],
)  # fmt: skip
def test_forwards_from_glass_and_opening(glass, opening, long_point, weight, part):
    """Common practice, no source: 12 goes with 30 and 30 7/16, 28 with 62 and 62 7/16; weight tells the class."""
    answer = desk(upper_glass=glass, opening=opening, sash_weight=weight)
    assert answer.part.part_number == part
    row = COMPILED.table.rows[answer.row]
    assert row == tuple(
        read_opening(COMPILED.table, {"opening": t}).lengths["opening"]
        for t in (glass, opening, long_point)
    )


@pytest.mark.parametrize(
    ("long_point", "glass", "part"), [("30 7/16", "12", "12sa"), ("62 7/16", "28", "28sa")]
)
def test_backwards_from_the_old_part(long_point, glass, part):
    """The old part's long point and one glass lead to the same row."""
    weight = "11" if glass == "12" else "22"
    answer = desk(long_point=long_point, lower_glass=glass, sash_weight=weight)
    assert answer.part.part_number == part


def test_eleven_inch_slip():
    """Common practice, no source: glass of 12 in reads 11 between the stops; the opening tells."""
    answer = desk(upper_glass="11", lower_glass="11", opening="30", sash_weight="11")
    assert answer.part.part_number == "12sa"
    assert {r.verdict for r in answer.readings} == {"slip", "agrees"}
    assert desk(upper_glass="11").outcome == "ask"


def test_unequal_splits_are_special():
    """Common practice, no source: only equal splits are in the table; 60/40 and 40/60 are not."""
    for upper, lower, kind in (("16", "24", "cottage"), ("24", "16", "oriel")):
        answer = desk(upper_glass=upper, lower_glass=lower, opening="46")
        assert (answer.outcome, answer.reason, answer.split.kind) == (
            "special", "unequal_split", kind,
        )  # fmt: skip


def test_a_finish_may_lack_a_size():
    """Common practice, no source: one finish may not be made in one size."""
    answer = desk("beta", upper_glass="16", opening="38", sash_weight="13")
    assert (answer.outcome, answer.reason) == ("special", "not_offered")
    assert "alpha" in answer.text


def test_between_the_classes():
    """A sash of 13 1/2 lb at 12 in is neither about 11 nor over 15: the manager decides."""
    answer = desk(upper_glass="12", opening="30", sash_weight="13 1/2")
    assert (answer.outcome, answer.reason) == ("special", "weight")
