"""What is looked for of a line as people type it or paste it from a mail."""

import pytest

from quotes.scraps import bare_number, tellings, words_of


@pytest.mark.parametrize(
    ("scrap", "words"),
    [
        ("(802) 555-0142 marsh", ["8025550142", "marsh"]),
        ("Marsh, Jo", ["Marsh", "Jo"]),
        ("C 12", ["C-12"]),
        ("f 7", ["f-7"]),
        ("Order C-00012?", ["C-00012"]),
        ("order no. 12", ["12"]),
        ("Factory order F 7", ["F-7"]),
        ("quote #6", ["6"]),
        ("# 12", ["12"]),
        ("PO: 4711", ["4711"]),
        ("your order number: K-4711.", ["your", "K-4711"]),
        ("Mrs. Marsh", ["Marsh"]),
        ("3 Quarry Rd.", ["3", "Quarry"]),
        ("Ann Lane", ["Ann", "Lane"]),
        ("Road", ["Road"]),
        ("Dov & Daughter", ["Dov", "Daughter"]),
        ("dov and daughter", ["dov", "daughter"]),
        ("“Jo Marsh”.", ["Jo", "Marsh"]),
        ("Jo Marsh <jo@marsh.example>", ["Jo", "Marsh", "jo@marsh.example"]),
        ("J. Marsh", ["J", "Marsh"]),
        ("C-00012 – Jo Marsh", ["C-00012", "Jo", "Marsh"]),
        ("C-00012 - Jo Marsh", ["C-00012", "Jo", "Marsh"]),
        # A sentence: what tells nothing of whose it is goes, what could be a name stays.
        ("is the order for Robledo ready", ["Robledo", "ready"]),
        ("Robledo order from last week", ["Robledo", "last", "week"]),
        ("when will C-00002 ship", ["will", "C-00002", "ship"]),
        ("The Glass House", ["Glass", "House"]),
        ("What about the quote for Will May?", ["Will", "May"]),
        ("May order", ["May"]),
        # What could be all there is to look for stays.
        ("for the", ["for", "the"]),
        ("and", ["and"]),
        ("order", ["order"]),
        ("no pane", ["no", "pane"]),
        ("Mr. & Mrs.", ["Mr", "&", "Mrs"]),
        ("...", []),
        ("a b c d e f g h i", ["a", "b", "c", "d", "e", "f", "g", "h"]),
    ],
)
def test_words(scrap, words):
    assert words_of(scrap) == words


@pytest.mark.parametrize(
    ("scrap", "left"),
    [("order K-0047110/2", "K-0047110/2"), ("No. 47", "47"), ("Norman 47", "Norman 47")],
)
def test_what_only_names_the_number_goes(scrap, left):
    assert bare_number(scrap) == left


@pytest.mark.parametrize(
    ("scrap", "looked_for"),
    [
        ("is the order for Robledo ready", ["Robledo"]),
        ("Robledo order from last week", ["Robledo"]),
        ("when will C-00002 ship", ["C-00002"]),
        ("When does Robledo's order leave?", ["Robledo"]),
        ("has Ann-Marie Day's order come in yet", ["Ann-Marie Day"]),
        ("will 802 555 0142 be ready in 2 weeks", ["8025550142"]),
        # Who is called as a word of a sentence is looked for by it first.
        ("when will May Robledo come by", ["May Robledo", "Robledo"]),
        ("is Will's order ready", ["Will"]),
        ("When will Will come", ["Will"]),
        ("is the May order ready", ["May"]),
        ("can Long Do Weeks get it", ["Long Do Weeks"]),
        # Nothing is left out of what is no sentence, and nothing is left of what names nobody.
        ("Will May", ["May"]),
        ("will", []),
        ("May", []),
        ("when will it ship", []),
        ("Robledo", []),
        ("Jo Marsh", []),
        ("Dov & Daughter", []),
        ("", []),
    ],
)
def test_what_a_sentence_is_about(scrap, looked_for):
    """Looked for one after the other, where what was typed finds nothing."""
    assert tellings(scrap) == looked_for


@pytest.mark.parametrize(
    "name",
    ["Will", "May", "An Do", "My To", "He", "Day", "Weeks", "Are", "Has", "The", "For", "Last", "Ship", "Will Day",
     "May Long", "New", "Out", "How", "Ready", "June Next", "April", "So", "Are Has"],
)  # fmt: skip
def test_a_name_is_still_a_name(name):
    """Whatever somebody is called, it is all looked for where it is all that was typed, or asked about."""
    assert words_of(name) == name.split()
    *_, last = name.split()
    assert last in words_of(f"order for {name}")
