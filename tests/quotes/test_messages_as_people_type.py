"""Ways in which people really type: what is counted, headings that ask, mails below, names that are none."""

import re

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES

SIZE = {"upper_glass": 18.375, "opening": 42.375}


def _read(text, table="inch"):
    message = read_message(text, TABLES[table])
    openings = [
        ({code: float(value) for code, value in o.measures.items()}, o.quantity)
        for o in message.openings
    ]
    return openings, [text[words.start : words.end] for words in message.unsure]


@pytest.mark.parametrize("counted", ["4 liners", "4 ea liners", "4 sets of liners"])
def test_what_is_counted_names_no_measure(counted):
    """The number after "liners" is the glass that is named behind it, not the old liner's length."""
    openings, unsure = _read(f'need {counted} 18 3/8" glass, 42-3/8" opening')
    assert (openings, unsure) == ([(SIZE, 4)], [])


def test_a_liners_own_length_stays():
    """With no other name behind it the number after "liners" is theirs."""
    assert _read("4 liners 44 1/8, ash") == ([({"long_point": 44.125}, 4)], [])


@pytest.mark.parametrize("word", ["Need", "Order", "Please send", "Qty"])
def test_a_heading_that_asks_is_a_count(word):
    """Need 2: ..., Need 1: ... are two sizes with their counts, not windows called "need 2"."""
    text = f"{word} 2: glass 18 3/8, opening 42 3/8\n{word} 1: glass 20 3/8, opening 46 3/8"
    message = read_message(text, TABLES["inch"])
    assert [(o.quantity, o.label) for o in message.openings] == [(2, ""), (1, "")]
    assert message.unsure == ()


@pytest.mark.parametrize("words", ["Qty 1, 2, 1", "Quantities: 1, 2, 1", "Qty: 1/2/1"])
def test_counts_in_a_row_are_shown(words):
    """Counts of several windows in one line are not dropped: whose is whose the clerk says."""
    text = (
        f"A: 20 3/8 glass, 46 3/8 opening\nB: 18 3/8 glass, 42 3/8 opening\nC: same as A\n\n{words}"
    )
    openings, unsure = _read(text)
    assert [quantity for _, quantity in openings] == [1, 1, 1]
    assert "".join(unsure).replace(" ", "").replace("/", ",") == "1,2,1"


@pytest.mark.parametrize(
    "headings",
    [
        "From: desk\nSent: Thursday\nSubject: Quote 12\n",
        "Von: desk\nGesendet: Donnerstag\nBetreff: Angebot 12\n",
        "De: desk\nEnviado: jueves\nAsunto: Cotización 12\n",
        "On Thursday the desk wrote:\n",
        "Am Donnerstag schrieb desk <desk@example.org>:\n",
        "El jueves, desk escribió:\n",
        "Le jeudi, desk a écrit :\n",
    ],
)
def test_a_mail_below_is_no_window(headings):
    """What the desk asked is not ordered beside what is answered."""
    text = (
        "From: Pat Doyle <pat@example.org>\nSent: Friday\nTo: desk\nSubject: RE: Quote 12\n\n"
        f"Yes, 2 of them. Glass is 18 3/8.\n\n{headings}\nIs it glass height 20 3/8 and opening 46 3/8?"
    )
    openings, unsure = _read(text)
    assert (openings, unsure) == ([({"upper_glass": 18.375}, 2)], [])
    assert read_message(text, TABLES["inch"]).contact.name == "Pat Doyle"


@pytest.mark.parametrize(
    "said",
    [
        "On the second of May my sister wrote down these sizes: ",
        "On my list I wrote: ",
        "Am Montag schrieb ich auf: ",
    ],
)
def test_what_somebody_wrote_down_is_no_mail_below(said):
    """Who an earlier mail is from stands in a line of its own."""
    assert _read(f"{said}glass 18 3/8, opening 42 3/8") == ([(SIZE, 1)], [])


@pytest.mark.parametrize(
    "said", ["Please see below.", "FYI\nBob Lund, 802 555 0142", "Fwd: windows"]
)
@pytest.mark.parametrize(
    "line", ["", "---------- Forwarded message ---------\n", "-----Original Message-----\n"]
)
def test_a_mail_that_is_passed_on_is_read(said, line):
    """Above it stands nothing of a window: all sizes are those below, whatever line begins it."""
    below = "From: Ann Marsh <ann@marsh.example>\nSent: Monday\nTo: Bob Lund\n\nglass 18 3/8, opening 42 3/8"
    assert _read(f"{said}\n\n{line}{below}") == ([(SIZE, 1)], [])


@pytest.mark.parametrize(
    ("text", "unsure"),
    [
        ("glass 17 3 8, opening 42 3/8", ["17", "3", "8"]),
        ("glass 17-3-8, opening 42 3/8", ["17", "3", "8"]),
        ("glass 17, 3/8 opening 42 3/8", ["17", "3/8"]),
        ("opening 42 3/8\nglass 17\n3/8", ["17", "3/8"]),
    ],
)
def test_a_size_in_pieces_is_shown(text, unsure):
    """Which fraction belongs to it is not said: without one it would be another part."""
    assert _read(text) == ([({"opening": 42.375}, 1)], unsure)


def test_a_fraction_as_it_is_misspelled():
    assert _read("glass eighteen and three eights, opening 42 and 3 eights") == ([(SIZE, 1)], [])


@pytest.mark.parametrize("words", ["both windows", "all three"])
def test_how_many_in_all_is_shown(words):
    """Of this size, or of the house? One would be ordered in silence; where a count is told they ask nothing."""
    assert _read(f"{words}: glass 18 3/8, opening 42 3/8") == ([(SIZE, 1)], [words])
    told = _read(f"6 windows, {words} alike: glass 18 3/8, opening 42 3/8")
    assert told == ([(SIZE, 6)], [])


@pytest.mark.parametrize("words", ["We paid 78 each.", "They were 42 each.", "It has 3 bedrooms."])
def test_what_counts_no_windows(words):
    """Money and a house's rooms are not ordered."""
    openings, _ = _read(f"glass 18 3/8, opening 42 3/8. {words}")
    assert openings == [(SIZE, 1)]


def test_sets_in_spanish():
    assert _read("vidrio 18 3/8, abertura 42 3/8, tres juegos") == ([(SIZE, 3)], [])


@pytest.mark.parametrize("words", ["Ash. 2.", "How much for 10?"])
def test_a_bare_number_that_may_count_is_shown(words):
    """One would be ordered in silence, where ten were asked for."""
    number = re.search(r"\d+", words).group()
    assert _read(f"glass 18 3/8, opening 42 3/8. {words}") == ([(SIZE, 1)], [number])


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("Thanks, Ann Floor", "Ann Floor"),
        ("Thanks,\nTom House\n802 555 0139", "Tom House"),
        ("Regards, Bill Long.", "Bill Long"),
        ("This is Ann May I need two", "Ann"),
        ("Regards, Bill\nHall window is next", "Bill"),
    ],
)
def test_a_surname_that_is_a_word_of_the_trade(words, name):
    """It ends a name; before other words it begins what is said next."""
    read = read_message(f"glass 18 3/8, opening 42 3/8. {words}", TABLES["inch"])
    assert read.contact.name == name


@pytest.mark.parametrize(
    "words",
    [
        "It's unit 12B, 3rd floor. Call 617.555.0199 after 5pm",
        "Merci. Tél 06 12 34 56 78",
    ],
)
def test_no_name_is_made_up(words):
    """The words before a flat's number or a telephone's are nobody's name."""
    assert (
        read_message(f"glass 18 3/8, opening 42 3/8. {words}", TABLES["inch"]).contact.name is None
    )


def test_floors_are_places():
    """A floor is where a window is: the size after it is no distance from the floor."""
    text = "First floor: 2 @ 18 3/8 glass / 42 3/8 opening. Second floor: 3 @ 20 3/8 glass / 46 3/8 opening."
    second = {"upper_glass": 20.375, "opening": 46.375}
    assert _read(text) == ([(SIZE, 2), (second, 3)], [])


def test_the_second_floor_is_no_second_window():
    """On the second, said after the first floor, is another floor, not the window that was told."""
    text = "opening 42 3/8, glass is 18 3/8 on the first floor and 20 3/8 on the second"
    (opening,) = read_message(text, TABLES["inch"]).openings
    assert opening.label == ""


@pytest.mark.parametrize(
    ("words", "weights", "unsure"),
    [
        ("Weight 12 lb for the first and 14 lb for the second.", [12, 14], []),
        ("12 lb for the first one, 14 lb for the second one", [12, 14], []),
        ("sash wt 12 for first, 14 for second", [12, None], ["14"]),
    ],
)
def test_first_and_second_of_windows_told_before(words, weights, unsure):
    """A weight of the first is not the last window's."""
    text = f"glass 18 3/8 opening 42 3/8\nglass 20 3/8 opening 46 3/8\n{words}"
    openings, left = _read(text)
    assert ([measures.get("sash_weight") for measures, _ in openings], left) == (weights, unsure)


def test_a_number_said_again_with_decimals():
    assert _read("Opening 42 3/8 (42.375). Glass 18 3/8 = 18.375.") == ([(SIZE, 1)], [])


@pytest.mark.parametrize("town", ["Dover NH 03820", "Dover, NH 03820", "West Dover VT 05356"])
def test_a_town_is_nobodys_name(town):
    text = f"glass 18 3/8, opening 42 3/8. Ship to: 44 Canal St Apt 6, {town}\nCell 603.555.0177"
    contact = read_message(text, TABLES["inch"]).contact
    assert (contact.name, contact.phone) == (None, "+16035550177")


@pytest.mark.parametrize(
    "text",
    [
        "8 windows total: 5 with glass 18 3/8 & opening 42 3/8, 3 with glass 20 3/8 & opening 46 3/8",
        "5x 18 3/8 glass w/ 42 3/8 opening + 3x 20 3/8 glass w/ 46 3/8 opening",
        "Total 8 windows. 5 with glass 18 3/8, opening 42 3/8; 3 with glass 20 3/8, opening 46 3/8",
    ],
)
def test_so_many_of_each_size(text):
    """The sum of all is no count of the first size."""
    assert _read(text) == ([(SIZE, 5), ({"upper_glass": 20.375, "opening": 46.375}, 3)], [])


@pytest.mark.parametrize(
    "text",
    [
        "2B: glass 18 3/8, opening 42 3/8. 3A: glass 20 3/8, opening 46 3/8. Both slate.",
        "2B - 18 3/8 glass, 42 3/8 opening, slate\n3A - 20 3/8 glass, 46 3/8 opening, slate",
    ],
)
def test_doors_are_windows_labels(text):
    """Flats that go by a number and a letter are told apart, and keep their name as it was written."""
    message = read_message(text, TABLES["inch"])
    assert [(o.label, o.finish) for o in message.openings] == [("2B", "slate"), ("3A", "slate")]
    assert message.unsure == ()


def test_a_french_article_before_a_vowel():
    text = "La vitre fait 18 3/8 pouces, l'ouverture 42 3/8 pouces"
    assert _read(text) == ([(SIZE, 1)], [])


def test_what_is_over_is_nobody():
    text = "glass 18 3/8, opening 42 3/8. If it's over $100 each let me know."
    assert read_message(text, TABLES["inch"]).contact.name is None
