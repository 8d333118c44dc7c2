"""The live answer: one opening in, its part, question or reason out."""

import pytest

from tests.quotes.counter_page import page, words_of

SETTLED = {"m-upper_glass": "20 1/4", "m-lower_glass": "20 1/4", "m-opening": "3' 11 7/8\""}
CASES = {
    "one part with its number": (
        {**SETTLED, "m-sash_weight": "12 lb", "finish": "slate"},
        ["One part", "OHL-05MS", "agrees", "List price $"],
    ),
    "on the edge of two weight classes the scale is asked again": (
        {**SETTLED, "m-sash_weight": "12.8", "finish": "slate"},
        ["One part", "size certain", "OHL-05MS", "12.8 lb lies where medium meets heavy",
         "0.5 lb off makes it OHL-05HS. Have it weighed once more"],
    ),
    "the visible glass is found out": (
        {**SETTLED, "m-upper_glass": "19 1/4", "m-lower_glass": "19 1/4",
         "m-sash_weight": "12 lb", "finish": "slate"},
        ["One part", "OHL-05MS", "only the visible glass is measured", "−1"],
    ),
    "backwards from the old part": (
        {"m-long_point": "48 5/8", "m-upper_glass": "20 1/4", "m-sash_weight": "12", "finish": "ash"},
        ["One part", "OHL-05MA"],
    ),
    "a cottage split goes to a special quote": (
        {"m-upper_glass": "15 1/2", "m-lower_glass": "23 3/4", "m-opening": "47 3/8"},
        ["Special quote", "cottage, glass 15 1/2 over 23 3/4 in (39/61)", "way out may change"],
    ),
    "the question is said in words": (
        {"m-upper_glass": "20 1/4"},
        ["Ask the caller", "Ask for the"],
    ),
    "the weight is worked out from the glass": (
        {**SETTLED, "finish": "slate", "cannot-sash_weight": "on", "sash-glass_width": "24",
         "sash-thickness": "1/8", "sash-panes": "1", "sash-frame": "pine"},
        ["worked out from the glass, give or take"],
    ),
    "a sash described in part is no mistake": (
        {**SETTLED, "sash-glass_width": "24", "sash-thickness": "1/8"},
        ["Ask for the sash weight", "still to say: panes, frame."],
    ),
    "no size fits: the nearest is named as such": (
        {"m-upper_glass": "30", "m-lower_glass": "30", "m-opening": "67 3/8"},
        ["Special quote", "Nearest size", "3/4 in under the nearest size"],
    ),
    "too little for one size: the likeliest is named as such": (
        {"m-upper_glass": "24 1/2", "cannot-lower_glass": "on", "cannot-opening": "on", "cannot-long_point": "on"},
        ["Special quote", "Unless more can be measured", "Likeliest size"],
    ),
    "what fits nothing is said at the top of a settled size": (
        {**SETTLED, "m-opening": "61 7/8", "m-sash_weight": "12", "finish": "ash"},
        ["One part to be cleared first This size does not explain: opening height 61 7/8 (47 7/8 here). Have that measured again"],
    ),
    "a size that a number speaks against is not called settled": (
        {**SETTLED, "m-lower_glass": "25 1/2", "m-sash_weight": "12"},
        ["Have that measured again before anything is ordered. Then ask which finish: ash, slate or chalk.",
         "Likeliest so far: glass 20 1/4"],
    ),
    "the usual weeks are not said of what is likely off the table": (
        {"m-long_point": "29 1/2"},
        ["Ask the caller", "Leaves the factory in not known yet: so far it is likelier no size of the table"],
    ),
    "the usual weeks are said while a size is likely": (
        {"m-long_point": "48 5/8"},
        ["Ask the caller", "Leaves the factory in 4 to 6 weeks"],
    ),
    "two boxes changed over": (
        {"m-upper_glass": "47 7/8", "m-lower_glass": "20 1/4", "m-opening": "20 1/4"},
        ["No window is like this: its opening height is 20 1/4 and the glass in it 47 7/8 and 20 1/4."],
    ),
    "a number of the other unit is asked about before its box is": (
        {"m-upper_glass": "390", "m-lower_glass": "390", "m-opening": "47 7/8"},
        ["Ask the caller", "upper glass height, 390 in or 390 mm (15 11/32 in); lower glass height, 390 in or", "Ask which they are"],
    ),
    "a hair's breadth apart has no sign": ({**SETTLED, "m-opening": "1216 mm"}, [" under 1/16 "]),
    "just outside its class": (
        {"m-upper_glass": "46 1/2", "m-opening": "100 3/8", "m-sash_weight": "28.1", "finish": "ash"},
        ["OHL-20HA", "28.25 to 41.5", "just outside its weight range"],
    ),
    "what is offered instead": (
        {"m-upper_glass": "43", "m-lower_glass": "43", "m-opening": "93 3/8",
         "m-sash_weight": "30", "finish": "chalk"},
        ["Special quote", "What this size is offered in", "ash OHL-"],
    ),
    "the rest is answered without a number that can't be read": (
        {**SETTLED, "m-upper_glass": "30 and some", "m-sash_weight": "9", "finish": "ash"},
        ["Can't be read", "Upper glass height: “30 and some”", "Without it (certain): Part OHL-05"],
    ),
    "a text that is no length": (
        {"m-upper_glass": "1/2/3", "m-opening": "47 7/8"},
        ["Can't be read", "Upper glass height: “1/2/3”"],
    ),
    "a wrong count keeps the answer": (
        {**SETTLED, "m-sash_weight": "12", "finish": "ash", "quantity": "two"},
        ["OHL-05MA", "The count is no whole number"],
    ),
    "nobody can say the weight": (
        {**SETTLED, "cannot-sash_weight": "on"},
        ["Unless the weight is worked out from the glass: nobody can say what the sash weighs"],
    ),
    "nothing measured": ({}, ["Nothing measured yet"]),
}  # fmt: skip


def test_nothing_is_called_mixed_up_that_can_be(clerk, liner):
    """An unequal window, one off the table and one with a slip are windows: no warning."""
    for measures in (
        {"m-upper_glass": "15 1/2", "m-lower_glass": "23 3/4", "m-opening": "46 5/8"},
        {"m-upper_glass": "60", "m-lower_glass": "60", "m-opening": "130"},
        {**SETTLED, "m-upper_glass": "19 1/4", "m-sash_weight": "12", "finish": "ash"},
        {"m-upper_glass": "390", "m-lower_glass": "390", "m-opening": "47 7/8"},
    ):
        told = words_of(clerk.post("/counter/answer/?o=0", page(measures)))
        assert "No window is like this" not in told and "does not explain" not in told


@pytest.mark.parametrize("typed, words", CASES.values(), ids=CASES.keys())
def test_live_answer(clerk, liner, typed, words):
    """The panel says what the numbers make of it, in words."""
    shown = words_of(clerk.post("/counter/answer/?o=0", page(typed)))
    assert [word for word in words if word not in shown] == []


def test_live_answer_of_another_opening(clerk, liner):
    """Only the opening that is being typed in is answered."""
    typed = page({"m-upper_glass": "20 1/4"}, {**SETTLED, "m-sash_weight": "12", "finish": "ash"})
    response = clerk.post("/counter/answer/?o=1", typed)
    assert "OHL-05MA" in words_of(response)
    assert 'id="o1-drawing-title"' in response.content.decode()


def test_measure_nobody_can_take_is_not_asked_for(clerk, liner):
    """A measure marked as one that can't be taken is not the question any more."""
    asked = words_of(clerk.post("/counter/answer/?o=0", page({"m-upper_glass": "20 1/4"})))
    first = next(label for label in ("opening height", "lower glass height", "long point")
                 if f"Ask for the {label}" in asked)  # fmt: skip
    code = {"opening height": "opening", "lower glass height": "lower_glass"}.get(
        first, "long_point"
    )
    again = page({"m-upper_glass": "20 1/4", f"cannot-{code}": "on"})
    assert f"Ask for the {first}" not in words_of(clerk.post("/counter/answer/?o=0", again))


def test_metric_family(clerk, balance):
    """A family in millimetres is answered in millimetres, whatever unit is typed."""
    typed = {"family": "heron-balance", "m-channel": "51.7 cm", "m-sash_height": "564",
             "m-sash_weight": "5.5"}  # fmt: skip
    shown = words_of(clerk.post("/counter/answer/?o=0", page(typed)))
    assert "GHB-564-2" in shown
    assert "517" in shown


def test_answer_to_nobody(client, liner):
    """Without a sign-in the panel says so and shows no answer, and the page is not lost."""
    shown = words_of(client.post("/counter/answer/?o=0", page(SETTLED)))
    assert "Your sign-in has run out" in shown
    assert "20 1/4" not in shown


def test_answer_for_no_opening(clerk, liner):
    """A number that is no opening changes nothing on the page."""
    assert clerk.post("/counter/answer/?o=x", page(SETTLED)).status_code == 204
