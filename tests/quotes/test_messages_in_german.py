"""German words of measuring and ordering are read as the English, Spanish and French ones are."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES

BOTH = {"upper_glass": 460, "lower_glass": 460, "opening": 1060}


def _read(text):
    message = read_message(text, TABLES["mm"])
    return message, [
        ({code: float(value) for code, value in o.measures.items()}, o.quantity)
        for o in message.openings
    ]


@pytest.mark.parametrize(
    ("text", "measures", "quantity"),
    [
        ("Obere Scheibe 460 mm, untere Scheibe 460 mm, Öffnung 1060 mm. Zwei Stück bitte.", BOTH, 2),
        ("Scheibe 460 mm oben und unten, Öffnung 1060 mm, 3 Stk.", BOTH, 3),
        ("Glashöhe oben 46 cm, unten 46 cm, Öffnungshöhe 106 cm", BOTH, 1),
        ("Guten Tag, Glashöhe oben und unten jeweils 460 mm, Öffnung 1060 mm, insgesamt 4 Stück", BOTH, 4),
        ("Beide Scheiben 460 mm hoch, Öffnung 1060 mm. Flügel wiegt 6,5 kg.", BOTH | {"sash_weight": 6.5}, 1),
    ],
)  # fmt: skip
def test_one_window(text, measures, quantity):
    message, read = _read(text)
    assert read == [(measures, quantity)]
    assert message.unsure == ()


@pytest.mark.parametrize(
    "text",
    [
        "Glas oben 460 mm, Glashöhe 460 mm, lichte Höhe 1060 mm. Danke, Uwe Brandt",
        "Die Glashöhe beträgt 460 mm. Nochmal: Glashöhe 460 mm. Öffnung 1060 mm.",
    ],
)
def test_one_height_told_twice(text):
    """The same glass height twice is one height, in doubt with nothing."""
    message, read = _read(text)
    assert read == [({"upper_glass": 460, "opening": 1060}, 1)]
    assert message.unsure == ()


def test_the_article_den_is_no_room():
    """In den zwei Fenstern: two windows, and no den."""
    message, read = _read(
        "In den zwei Fenstern: Glas 460, Öffnung 1060. Für den Keller: Glas 435, Öffnung 1010"
    )
    assert [opening.label for opening in message.openings] == ["", "basement"]
    assert read == [
        ({"upper_glass": 460, "opening": 1060}, 2),
        ({"upper_glass": 435, "opening": 1010}, 1),
    ]


def test_an_about_stays_in_doubt():
    """Ca. 6 kg is no weight that a part could be chosen by."""
    text = "Glashöhe 460 mm, Öffnung 1060 mm, Gewicht ca. 6 kg"
    message, read = _read(text)
    assert read == [({"upper_glass": 460, "opening": 1060}, 1)]
    assert [text[w.start : w.end] for w in message.unsure] == ["6 kg"]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Guten Tag, Glashöhe 460 mm, Öffnung 1060 mm. Danke, Uwe Brandt", "Uwe Brandt"),
        ("Glashöhe 460 mm, Öffnung 1060 mm\nMit freundlichen Grüßen\nUwe Brandt", "Uwe Brandt"),
        ("Guten Tag, Glashöhe 460 mm, Öffnung 1060 mm, insgesamt 4 Stück", None),
    ],
)
def test_who_wrote(text, name):
    """Neither a greeting nor thanks are somebody's name."""
    assert _read(text)[0].contact.name == name
