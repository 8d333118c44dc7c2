"""A line that says "same" is a window of its own, or its words are shown as not placed: it never vanishes."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES

ONE = "22 5/8 glass, 53 1/4 opening, 13 lb"
TWO = "18 3/8 glass, 44 1/2 opening, 10 lb"
FIRST = {"upper_glass": 22.625, "opening": 53.25, "sash_weight": 13}
SECOND = {"upper_glass": 18.375, "opening": 44.5, "sash_weight": 10}


def _read(text):
    return read_message(text, TABLES["inch"])


def _windows(text):
    return [
        ({code: float(value) for code, value in o.measures.items()}, o.finish)
        for o in _read(text).openings
    ]


@pytest.mark.parametrize(
    ("text", "finishes"),
    [
        (f"1. {ONE}, slate\n2. same\n3. same", ["slate", "slate", "slate"]),
        (f"1) {ONE}, slate\n2) same as above\n3) same, ash", ["slate", "slate", "ash"]),
        (f"1 {ONE}, slate\n2 same\n3 same", ["slate", "slate", "slate"]),
        (f"1 den {ONE}, slate\n2 porch same\n3 attic same but ash", ["slate", "slate", "ash"]),
        (f"den {ONE}\nporch same\nattic same but ash", [None, None, "ash"]),
        (f"1. den left {ONE}, slate\n2. den right same", ["slate", "slate"]),
        (f"1. {ONE}, slate\n2. ditto\n3. ditto in ash", ["slate", "slate", "ash"]),
        (f'1) {ONE}, slate\n2) "  "\n3) as #1', ["slate", "slate", "slate"]),
        (f"1) {ONE}, slate\n2) same as above\n3) same, ash\n4) \"  \"\n5) as #1", ["slate", "slate", "ash", "ash", "slate"]),
        (f"Den: {ONE}, slate\nPorch: \"\nAttic: '' ''", ["slate", "slate", "slate"]),
        (f"{ONE}, slate\nPorch same", ["slate", "slate"]),
        (f"den {ONE}, slate\nporch the same please", ["slate", "slate"]),
        (f"Window 1: {ONE}, slate\nWindow 2: same", ["slate", "slate"]),
        (f"#1 {ONE}, slate\n#2 same as #1", ["slate", "slate"]),
        (f"Den: {ONE}, slate\nBath: same", ["slate", "slate"]),
    ],
)  # fmt: skip
def test_each_line_is_a_window(text, finishes):
    """The sizes of the window before, and its finish unless another is named; nothing is in doubt."""
    assert _windows(text) == [(FIRST, finish) for finish in finishes]
    assert _read(text).unsure == ()


@pytest.mark.parametrize(
    "third",
    ["3) same as 1", "3) same as #1", "3) as #1", "3) same as no. 1", "3) same as the den",
     "3) same as window 1", "3) loft same as 1", "3) same as number 1"],
)  # fmt: skip
def test_the_window_that_is_named(third):
    """The window after "same as" is meant, not the one before, and its number counts nothing."""
    text = f"1) den {ONE}, slate\n2) porch {TWO}, ash\n{third}"
    assert _windows(text) == [(FIRST, "slate"), (SECOND, "ash"), (FIRST, "slate")]
    assert [opening.quantity for opening in _read(text).openings] == [1, 1, 1]
    assert _read(text).unsure == ()


def test_a_room_of_two_words_is_found_by_one():
    """The den, of "den left", if there is no other den."""
    assert _windows(f"den left {ONE}\nporch {TWO}\nattic same as den")[-1] == (FIRST, None)


def test_count_beside_same():
    """So many of the same."""
    read = _read(f"1. {ONE}\n2. same x3")
    assert [opening.quantity for opening in read.openings] == [1, 3]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (f"{ONE}\nsame\nsame", "same"),
        (f'{ONE}\n"  "', '"'),
        (f"1) {ONE}\n2) {TWO}\n3) same as 7", "same"),
        (f"den {ONE}\nporch {TWO}\nattic same as garage", "same"),
        (f"den left {ONE}\nden right {TWO}\nattic same as den", "same"),
        (f"1. {ONE}\n2. same rail as ours", "same"),
        (f"den {ONE}. The bath is the same as the one you sent me in May, order C-00012", "same"),
        (f"den {ONE}\nbath: same as last time", "same"),
        (f"den: {ONE}\nbath: same as last year's order", "same"),
    ],
)
def test_shown_where_it_is_not_sure(text, words):
    """Which window is meant, or whether it is one, is not said: the clerk is shown the words."""
    assert any(words in said for said in _read(text).unsure)


def test_what_was_bought_before_has_a_size_of_its_own():
    """The bath is no second den."""
    assert _windows(f"den {ONE}. The bath is the same as the one you sent me in May") == [
        (FIRST, None)
    ]


@pytest.mark.parametrize(
    "text",
    [
        "1. upper glass 22 5/8\n2. lower glass same\n3. opening 53 1/4",
        "Den: upper glass 22 5/8, lower the same, opening 53 1/4, same finish as last time: ash",
        f"den {ONE}, measured the same day",
        f'den "north" {ONE}',
    ],
)  # fmt: skip
def test_no_window_is_made_up(text):
    """The same of another sash, a day or a word in quotation marks is no window."""
    assert len(_read(text).openings) == 1


@pytest.mark.parametrize("parted", ["; ", "\n", ", "])
def test_a_flat_that_is_the_same_in_one_breath(parted):
    """Rm 16 same as rm 12, without a colon: a window of its own, and nothing of the one before is doubted."""
    text = parted.join((f"rm 12: {ONE}", f"rm 14: {TWO}", "rm 16 same as rm 12"))
    assert _windows(text) == [(FIRST, None), (SECOND, None), (FIRST, None)]
    assert _read(text).unsure == ()
