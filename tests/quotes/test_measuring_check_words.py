"""The friendly check says what the resolver found in a customer's words, and what to measure again."""

import pytest

from quotes.answering import answer_opening
from quotes.measuring import check_of
from quotes.said import SaidOpening

pytestmark = pytest.mark.django_db

GOOD = {"upper_glass": "20 1/4", "lower_glass": "20 5/16", "opening": "47 7/8"}
CASES = [
    ("nothing typed", {}, "nothing", []),
    ("all agree", GOOD | {"sash_weight": "12"}, "agrees", []),
    ("weight still open", GOOD, "more", ["Sash weight"]),
    ("one number", {"opening": "47"}, "more", ["Upper glass height"]),
    (
        "visible glass only",
        {"upper_glass": "24 3/8", "lower_glass": "24 1/2", "opening": "58 1/2"},
        "again",
        ["Upper glass height", "Lower glass height"],
    ),
    (
        "opening off",
        {"upper_glass": "20 1/4", "lower_glass": "20 1/4", "opening": "44"},
        "again",
        ["Opening height"],
    ),
    (
        "unequal sashes",
        {"upper_glass": "15 1/2", "lower_glass": "23 3/4", "opening": "46 5/8"},
        "special",
        ["Upper glass height", "Lower glass height"],
    ),
    ("two readings", {"opening": "2-6"}, "unreadable", []),
]


def check(revision, measures, finish="slate"):
    said = SaidOpening(revision.family.code, measures=measures, finish=finish)
    return check_of(answer_opening(said, revision))


@pytest.mark.parametrize(
    ("measures", "state", "again"), [c[1:] for c in CASES], ids=[c[0] for c in CASES]
)
def test_state_and_what_to_measure(liner, measures, state, again):
    """Each situation has its state, and names the measures that are worth taking."""
    found = check(liner, measures)
    assert found.state == state
    assert [one.label for one in found.again] == again


def test_disagreement_in_words(liner):
    """The measure that does not fit is named with by how much, and with how it is taken."""
    found = check(liner, {"upper_glass": "20 1/4", "lower_glass": "20 1/4", "opening": "44"})
    assert found.headline == "Your opening height doesn't agree with the rest"
    (again,) = found.again
    assert again.why == "about 3 7/8 in short"
    assert again.how_to == liner.measures.get(code="opening").how_to != ""


def test_no_size_of_ours_in_words(liner):
    """Measures that agree with each other and with no size are not said to disagree."""
    found = check(liner, {"upper_glass": "24 1/2", "lower_glass": "24 1/2", "opening": "56 3/8"})
    assert (
        found.headline
        == "Your upper glass height, lower glass height and opening height are no size of ours"
    )
    assert [again.why for again in found.again] == [
        "about 3/4 in over the nearest size",
        "about 3/4 in over the nearest size",
        "about 1 1/2 in over the nearest size",
    ]


def test_slip_in_words(liner):
    """A usual slip is told as such."""
    found = check(liner, {"upper_glass": "24 3/8", "lower_glass": "24 1/2", "opening": "58 1/2"})
    assert found.again[0].why.endswith(", as when only the visible glass is measured")


def test_finish_is_asked_for(liner):
    """Measures that agree without a finish: the finish is asked for, nothing is to be measured."""
    found = check(liner, GOOD | {"sash_weight": "12"}, finish="")
    assert found.state == "agrees"
    assert "choose a finish" in found.words


def test_no_part_is_named(liner):
    """The check never names a part: a part is confirmed by the desk."""
    found = check(liner, GOOD | {"sash_weight": "12"})
    numbers = liner.parts.exclude(part_number="").values_list("part_number", flat=True)
    words = f"{found.headline} {found.words} {found.again}"
    assert [n for n in numbers if n in words] == []


def test_other_unit_in_words(liner):
    """A number that looks to be in the other unit is asked about, with what to type for either."""
    found = check(liner, {"upper_glass": "390", "lower_glass": "15 1/2"})
    assert (found.state, found.again) == ("again", ())
    assert found.headline == "Is your upper glass height in millimetres?"
    assert found.words == (
        "In inches it is far from every size of ours. Please type it with its unit: 390 mm, or 390 in if that "
        "is what you measured."
    )


def test_other_units_in_one_question(liner):
    """Two numbers that look to be in the other unit are asked about at once, as the desk does."""
    found = check(liner, {"upper_glass": "390", "lower_glass": "385"})
    assert found.state == "again"
    assert found.headline == ("Are your upper glass height and lower glass height in millimetres?")
    assert found.words == (
        "In inches they are far from every size of ours. Please type each with its unit, as you measured it. "
        "Upper glass height: 390 mm or 390 in; Lower glass height: 385 mm or 385 in."
    )


def test_settled_unit_is_not_asked_again(liner):
    """Of two numbers the one that is typed with its unit is left alone."""
    found = check(liner, {"upper_glass": "390 mm", "lower_glass": "385"})
    assert found.headline == "Is your lower glass height in millimetres?"
