"""Each caution is shown when its hazard may be there, and none says that something is safe."""

from dataclasses import replace
from pathlib import Path

import pytest

from quotes.measuring import sheet_cautions
from sizing import cautions
from sizing.cautions import EGRESS, LEAD, LIFT, SAFETY_GLAZING, SPRING, cautions_for
from sizing.resolver import Opening, compile_table, resolve
from sizing.weights import PER_KG, Weight
from sizing.workbook import read_workbook

ALL = (SPRING, LIFT, LEAD, EGRESS, SAFETY_GLAZING)
KG = PER_KG
FIXTURES = Path(__file__).parents[2] / "fixtures"


@pytest.mark.parametrize(
    ("facts", "shown"),
    [
        ({}, (SPRING, LEAD)),
        ({"split": "equal"}, (SPRING, LEAD)),
        ({"split": "cottage"}, (SPRING, LEAD, EGRESS, SAFETY_GLAZING)),
        ({"split": "oriel"}, (SPRING, LEAD, EGRESS, SAFETY_GLAZING)),
        ({"sash_weight": Weight(23 * KG)}, (SPRING, LEAD)),
        ({"sash_weight": Weight(23 * KG + 1)}, (SPRING, LIFT, LEAD)),
        ({"sash_weight": Weight(22 * KG), "weight_error": Weight(2 * KG)}, (SPRING, LIFT, LEAD)),
        ({"sash_weight": Weight(20 * KG), "weight_error": Weight(2 * KG)}, (SPRING, LEAD)),
        ({"sash_weight": Weight(40 * KG), "split": "oriel"}, ALL),
    ],
)
def test_when_shown(facts, shown):
    """Spring tension where there are springs; lead always; lifting past 23 kg; the rest by the split."""
    assert cautions_for(sprung=True, **facts) == shown
    assert cautions_for(sprung=False, **facts) == tuple(one for one in shown if one is not SPRING)


@pytest.mark.parametrize(
    ("file", "sprung"), [("otter-liner", True), ("heron-balance", True), ("heron-strip", False)]
)
def test_a_strip_has_no_spring(file, sprung):
    """In the answer at the counter and on the measuring sheet alike."""
    table, _ = read_workbook(FIXTURES / f"{file}.xlsx")
    middle = table.rows[len(table.rows) // 2]
    column = table.columns[0].code
    code = next(measure.code for measure in table.measures if measure.column == column)
    (answer,) = resolve(compile_table(table), [Opening(lengths={code: middle[0]})])
    assert ("spring" in answer.cautions, SPRING in sheet_cautions(table)) == (sprung, sprung)
    assert "lead" in answer.cautions and LEAD in sheet_cautions(table)


def test_what_nobody_says_is_taken_to_be_sprung():
    """A family without weights keeps the caution until its factory's table says that its parts carry no sash."""
    strip, _ = read_workbook(FIXTURES / "heron-strip.xlsx")
    assert not strip.is_sprung
    assert SPRING in sheet_cautions(replace(strip, carries_sash=True))
    balance, _ = read_workbook(FIXTURES / "heron-balance.xlsx")
    assert replace(balance, carries_sash=False).is_sprung


@pytest.mark.parametrize("caution", ALL, ids=lambda c: c.code)
def test_no_promise(caution):
    """A caution never calls anything safe or allowed."""
    words = f"{caution.title} {caution.text}".lower().replace("safety glazing", "").split()
    assert not {"safe", "safely", "allowed", "permitted", "legal"} & set(words)


@pytest.mark.parametrize("caution", (EGRESS, SAFETY_GLAZING), ids=lambda c: c.code)
def test_the_code_decides(caution):
    """What a code rules is left to the local code."""
    assert "local building code" in caution.text


def test_every_caution_has_a_rule():
    """No caution is written that can't be shown."""
    written = {c for c in vars(cautions).values() if isinstance(c, cautions.Caution)}
    assert written == set(ALL)
