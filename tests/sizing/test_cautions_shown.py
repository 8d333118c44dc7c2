"""Each caution is shown when its hazard may be there, and none says that something is safe."""

import pytest

from sizing import cautions
from sizing.cautions import EGRESS, LEAD, LIFT, SAFETY_GLAZING, SPRING, cautions_for
from sizing.weights import PER_KG, Weight

ALL = (SPRING, LIFT, LEAD, EGRESS, SAFETY_GLAZING)
KG = PER_KG


@pytest.mark.parametrize(
    ("facts", "shown"),
    [
        ({}, (SPRING, LEAD)),
        ({"year_built": 1977}, (SPRING, LEAD)),
        ({"year_built": 1978}, (SPRING,)),
        ({"year_built": 1978, "split": "equal"}, (SPRING,)),
        ({"year_built": 1978, "split": "cottage"}, (SPRING, EGRESS, SAFETY_GLAZING)),
        ({"year_built": 1978, "split": "oriel"}, (SPRING, EGRESS, SAFETY_GLAZING)),
        ({"year_built": 1978, "split_changes": True}, (SPRING, EGRESS, SAFETY_GLAZING)),
        ({"year_built": 1978, "sash_weight": Weight(23 * KG)}, (SPRING,)),
        ({"year_built": 1978, "sash_weight": Weight(23 * KG + 1)}, (SPRING, LIFT)),
        (
            {"year_built": 1978, "sash_weight": Weight(22 * KG), "weight_error": Weight(2 * KG)},
            (SPRING, LIFT),
        ),
        (
            {"year_built": 1978, "sash_weight": Weight(20 * KG), "weight_error": Weight(2 * KG)},
            (SPRING,),
        ),
        ({"year_built": 1930, "sash_weight": Weight(40 * KG), "split": "oriel"}, ALL),
    ],
)
def test_when_shown(facts, shown):
    """Spring tension always; lead unless built in 1978 or later; lifting past 23 kg; the rest by the split."""
    assert cautions_for(**facts) == shown


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
