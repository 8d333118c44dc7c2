"""What is looked for of a line as people type it or paste it from a mail."""

import pytest

from quotes.scraps import bare_number, words_of


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
        # What could be all there is to look for stays.
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
