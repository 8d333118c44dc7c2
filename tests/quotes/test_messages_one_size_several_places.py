"""One size counted for several places is as many openings, each with its own count: none is lost in silence."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES

ONE, TWO = "glass 18 3/8, opening 42 3/8", "glass 16 3/8, opening 38 3/8"
FIRST, SECOND = (18.375, 42.375), (16.375, 38.375)


def _said(text, table="inch"):
    """(how many, where, finish) of each opening; and what was left unsure."""
    message = read_message(text, TABLES[table])
    unsure = [text[words.start : words.end] for words in message.unsure]
    return [(o.quantity, o.label, o.finish) for o in message.openings], unsure


def _sizes(text):
    openings = read_message(text, TABLES["inch"]).openings
    return [tuple(float(o.measures[c]) for c in ("upper_glass", "opening")) for o in openings]


@pytest.mark.parametrize(
    "words",
    [
        f"{ONE}. 2 for the kitchen, 1 for the bath.",
        f"{ONE} - 2 for kitchen 1 for bath",
        f"{ONE}. Two for the kitchen and one for the bath",
        f"{ONE} – kitchen ×2, bath ×1",
        f"{ONE}\nkitchen (2), bath (1)",
        f"{ONE}\n- kitchen: 2\n- bath: 1",
        f"{ONE}\n• 2 for the kitchen\n• 1 for the bath",
        f"{ONE}. Kitchen needs 2, bath needs 1. Thanks, Ann",
        f"2 for the kitchen, 1 for the bath: {ONE}",
        f"{ONE}. kitchen 2, bath 1",
        f"{ONE} kitchen 2 and bath 1",
        f"Kitchen 2, bath 1. {ONE}",
        f"I need 3: {ONE}. 2 for the kitchen, 1 for the bath.",
    ],
)
def test_each_place_has_its_own(words):
    """However it is written, before the size or after it."""
    assert _said(words) == ([(2, "kitchen", None), (1, "bath", None)], [])
    assert _sizes(words) == [FIRST, FIRST]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("3 for the front and 2 for the back of the house", [(3, "front"), (2, "back")]),
        ("2 for unit 12 and 3 for unit 14", [(2, "unit 12"), (3, "unit 14")]),
        ("One is for the den and one for the porch", [(1, "den"), (1, "porch")]),
        ("two for living rm ; one for dining rm ; four for bedrms",
         [(2, "living rm"), (1, "dining rm"), (4, "bedrms")]),
    ],
)  # fmt: skip
def test_sides_and_flats(words, said):
    """A side of the house or the number of a flat is a place, too."""
    read, unsure = _said(f"{ONE}, {words}, all ash")
    assert (read, unsure) == ([(number, label, "ash") for number, label in said], [])


def test_a_finish_of_its_own():
    """A finish beside each place is that place's; one at the end is of all."""
    own, _ = _said(f"{ONE}, 2 for the kitchen in ash, 1 for the bath in slate")
    assert own == [(2, "kitchen", "ash"), (1, "bath", "slate")]
    of_all, _ = _said(f"{ONE}, 2 for the kitchen, 1 for the bath, slate")
    assert of_all == [(2, "kitchen", "slate"), (1, "bath", "slate")]


@pytest.mark.parametrize(
    ("text", "table", "said"),
    [
        ("Vidrio: 46 cm. Hueco: 106 cm. Son 3 ventanas, 2 en la sala y 1 en el baño.", "mm", [(2, "living"), (1, "bathroom")]),
        ("Bonjour, vitre du haut 435 mm, ouverture 1010 mm. Deux fenêtres pour la cuisine et une pour la salle de bain.",
         "mm", [(2, "kitchen"), (1, "bathroom")]),
    ],
)  # fmt: skip
def test_other_languages(text, table, said):
    read, unsure = _said(text, table)
    assert ([(number, label) for number, label, _ in read], unsure) == (said, [])


def test_each_size_with_its_places():
    """Sizes below each other, each with its places."""
    text = f"{ONE}\n2 for the kitchen, 1 for the bath\n\n{TWO}\n1 for the hall, 2 for the den"
    read, _ = _said(text)
    assert [number for number, *_ in read] == [2, 1, 1, 2]
    assert _sizes(text) == [FIRST, FIRST, SECOND, SECOND]


@pytest.mark.parametrize(
    ("text", "unsure"),
    [
        (f"2 for the kitchen and 1 for the bath.\n{ONE}\n{TWO}", "2 for the kitchen and 1"),
        (f"{ONE}\n{TWO}\n2 for the kitchen, 1 for the bath", "2 for the kitchen, 1"),
        (f"2 for the kitchen, 1 for the bath. Hall: {TWO}", "2 for the kitchen, 1"),
        ("2 for the kitchen, 1 for the bath", "2 for the kitchen, 1"),
        (f"I need 4 windows: {ONE}. 2 for the kitchen, 1 for the bath.", "4 windows"),
        (f"{ONE}. 2 for the kitchen, 1 for the bath, 3 for the kitchen.", "2"),
        (f"{ONE}. 2 go to the kitchen and 3 to the bath.", "3"),
        (f"{ONE}. bedroom 2, bath 1", "2, bath 1"),
        (f"{ONE}. kitchen and bath", "kitchen and bath"),
        (f"1 and 2: {ONE}\n3: {TWO}", "1 and 2:"),
    ],
)
def test_told_where_it_is_not_sure(text, unsure):
    """Which of two sizes goes where, or a sum that differs: the words are shown."""
    assert unsure in _said(text)[1]


def test_rooms_with_sizes_of_their_own():
    """A room that has a size of its own takes its count there."""
    text = f"2 for the kitchen and 1 for the bath.\nkitchen {ONE}\nbath {TWO}"
    assert _sizes(text) == [FIRST, SECOND]


@pytest.mark.parametrize("words", ["2 left, 1 right", "2 for the annexe, 1 for my mother"])
def test_a_count_of_what_is_no_place_is_shown(words):
    """How many of which hand, or for whom: nobody dares to read it, so it is shown."""
    assert _said(f"{ONE}. {words}")[1] == ["2", "1"]


def test_places_before_what_is_said_of_all():
    """3 LR, 2 DR - all of this size."""
    said, unsure = _said("3 LR, 2 DR, 1 BR - all 18 3/8 glass 42 3/8 opening")
    assert ([(number, label) for number, label, _ in said], unsure) == (
        [(3, "lr"), (2, "dr"), (1, "br")], [],
    )  # fmt: skip
