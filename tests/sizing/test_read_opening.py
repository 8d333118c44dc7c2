"""Reading an opening: every problem at its field, in one sentence, and nothing guessed."""

import pytest

from sizing.lengths import PER_INCH
from sizing.resolver import OpeningError, read_opening
from tests.sizing.desk import family

TABLE = family("liner").table


def problems(measures, **more):
    with pytest.raises(OpeningError) as caught:
        read_opening(TABLE, measures, **more)
    return caught.value.problems


def test_numbers_and_texts():
    """A number is in the family's unit, a text may say its own."""
    opening = read_opening(TABLE, {"upper_glass": 23.75, "opening": "1' 2\""})
    assert opening.lengths == {"upper_glass": 23.75 * PER_INCH, "opening": 14 * PER_INCH}


def test_empty_is_not_taken_and_null_is_impossible():
    """An empty box is a measure still to come; null is one that nobody can take."""
    opening = read_opening(TABLE, {"upper_glass": " ", "opening": None})
    assert opening.lengths == {} and opening.cannot == {"opening"}


def test_glass_of_neither_sash_takes_the_free_place():
    """A height said of neither sash stands in for the one that was not given."""
    opening = read_opening(TABLE, {"upper_glass": "20", "glass": "21"})
    assert set(opening.lengths) == {"upper_glass", "lower_glass"}


def test_every_problem_is_told_at_once():
    """Two wrong fields give two sentences, each at its field."""
    found = problems({"upper_glass": "2-6", "opening": "-3", "opning": "3"})
    assert set(found) == {"upper_glass", "opening", "opning"}
    assert found["upper_glass"].startswith("Upper glass height:")
    assert "did you mean opening?" in found["opning"]


@pytest.mark.parametrize("said", [True, [], {}, float("nan"), float("inf"), 0, -4, "1e400", 10**40])
def test_what_is_no_length(said):
    """Whatever stands in a length's place is refused with a sentence, never an error of the program."""
    assert problems({"opening": said})["opening"].endswith(".")


@pytest.mark.parametrize("said", [True, [], 0, -1, "heavy", float("nan")])
def test_what_is_no_weight(said):
    """The same for weights."""
    assert problems({"sash_weight": said})["sash_weight"].endswith(".")


def test_sash_problems_keep_their_fields():
    """A sash described in part says which fields are still needed."""
    found = problems({"upper_glass": "20"}, sash={"glass_width": "24", "panes": "7"})
    assert {"thickness", "panes", "frame"} <= set(found)
    assert "glass_height" not in found
