"""A text that is no length, or more than one, is refused in one sentence that says what to type."""

import pytest

from sizing.lengths import LengthError, Unit, parse_length

SUCH = 'type a length such as 33 5/8" or 854 mm.'
ONE = "holds more than one length: type one length, such as 2' 9 5/8\"."
TAPE = "which no tape shows (halves, quarters, 8ths, 16ths, 32nds or 64ths)"
BELOW_ONE = (
    "which is not between 0 and 1: type a whole number and a fraction below one, such as 33 5/8."
)

TWO_READINGS = {
    "2-6": "2' 6\" or two lengths",
    "2 6": "2' 6\" or 26 in",
    "2 9": '2\' 9", 2 9/16" or 29 in',
    "33 5": '33 5/8", 33 5/16" or 335 in',
    "33-5": '33 5/8", 33 5/16" or two lengths',
    "2 9 5/8": "2' 9 5/8\" or 29 5/8 in",
    "2-9 5/8": "2' 9 5/8\" or two lengths",
    "2-9-5/8": "2' 9 5/8\" or two lengths",
    "2' 9 5": "2' 9 5/8\" or 2' 9 5/16\"",
    "33 - 5/8": '33 5/8" or 33 less 5/8',
    "33 − 5/8": '33 5/8" or 33 less 5/8',
    "1 234 mm": "1234 mm or two lengths",
    "1 005": '1\' 005", 1 5/8", 1 5/16" or 1005 in',
    "2 9.5": "2' 9.5\" or 29.5 in",
    "33²": "332 in or two lengths",
    "10 0": "10' 0\" or 100 in",
    "2 0.5": "2' 0.5\" or two lengths",
    "33 .5": "33.5 in or two lengths",
    "33, 5/8": '33 5/8" or two lengths',
    "12/8": '1 1/2" or 12\' 8"',
    "2/8": '1/4" or 2\' 8"',
    "6/8": '3/4" or 6\' 8"',
    "1 half": "1/2 or 1 1/2",
    "3 eighth": "3/8 or 3 1/8",
    "2' 3 quarter": "3/4 or 3 1/4",
}
OTHERS = {
    "1,234": "can be read as 1234 or 1.234: type the one you mean, without the comma.",
    "5/0": f"has 5/0, {TAPE}: type 5' 0\" if it is 5 feet 0 inches.",
    "2/6": f"has 2/6, {TAPE}: type 2' 6\" if it is 2 feet 6 inches.",
    "33 5/7": f"has 5/7, {TAPE}: type it as a decimal.",
    "33 1/3": f"has 1/3, {TAPE}: type it as a decimal.",
    "33 1/128": f"has 1/128, {TAPE}: type it as a decimal.",
    "33 1/0": f"has 1/0, {TAPE}: type it as a decimal.",
    "33 12/8": f"has 12/8, {BELOW_ONE}",
    "33 0/8": f"has 0/8, {BELOW_ONE}",
    "0/8": f"has 0/8, {BELOW_ONE}",
    "1/2/3": "has a slash that makes no fraction: type one fraction, such as 5/8.",
    "33 5/": "has a slash that makes no fraction: type one fraction, such as 5/8.",
    "/8": "has a slash that makes no fraction: type one fraction, such as 5/8.",
    "5/½": "has a slash that makes no fraction: type one fraction, such as 5/8.",
    "1.5/8": "has 1.5/8, which is no fraction: type one fraction, such as 5/8.",
    "2.6.": "has too many points or commas: type it with one decimal point.",
    "1,2,3": "has too many points or commas: type it with one decimal point.",
    "12.34.56": "has too many points or commas: type it with one decimal point.",
    "33 . 5": "has a point with no digit beside it: take it out or write the digits.",
    "2ft.9in": "has a point after ft that may end the word or begin a decimal: "
    "put a space after the point or a 0 before it.",
    "-3": f"begins with “-”, and nothing here is below zero: {SUCH}",
    "−33 5/8": f"begins with “-”, and nothing here is below zero: {SUCH}",
    "+33": f"begins with “+”: {SUCH}",
    "33 &": f"has no number after “&”: {SUCH}",
    "and 5/8": f"begins with “and”: {SUCH}",
    "0": "is not above zero: type what the tape shows.",
    "0' 0\"": "is not above zero: type what the tape shows.",
    "0.00001": "is not above zero: type what the tape shows.",
    "854": "is over 10 m (393 11/16 in): type a shorter length, or 854 mm if it is millimetres.",
    "394 in": "is over 10 m (393 11/16 in): type a shorter length, or 394 mm if it is millimetres.",
    "854 ft": "is over 10 m (393 11/16 in): type a shorter length.",
    "33'": "is over 10 m (393 11/16 in): type a shorter length.",
    "99999999999": "is over 10 m (393 11/16 in): type a shorter length.",
    "2' 12\"": "has 12 in after 2 ft: type whole feet with less than 12 in after them, or all of it in inches.",
    "1 m - 20 cm": ONE,
    "1234,567.8": "has too many points or commas: type it with one decimal point.",
    "2' 14\"": "has 14 in after 2 ft: type whole feet with less than 12 in after them, or all of it in inches.",
    "2.5' 3\"": "has 3 in after 2.5 ft: type whole feet with less than 12 in after them, or all of it in inches.",
    "1 m 120 cm": "has 120 cm after 1 m: type whole metres with less than 100 cm after them, "
    "or all of it in centimetres.",
    "9\" 2'": ONE,
    "33\" 34\"": ONE,
    "33 5/8\" 5/8": ONE,
    "33.5 5/8": ONE,
    "33\" 5/8\"": ONE,
    "33.5\" 5/8": ONE,
    "33 0.5": ONE,
    "½½": ONE,
    "2' 9\" - 3' 1\"": ONE,
    "854 mm 33 in": ONE,
    "33 5/8 mm": "has a fraction of millimetres: type 33.625 mm, or 33 5/8\" if it is inches.",
    "33 inches - 5/8": ONE,
    "strong": f"is no number: {SUCH}",
    "33 x 40": f"holds “x”, which is no number and no unit here: {SUCH}",
    "nan": f"is no number: {SUCH}",
    "inf": f"is no number: {SUCH}",
    "1e3": f"holds “e”, which is no number and no unit here: {SUCH}",
    "twenty-five eighths": "can be read as 20 5/8 or 25/8: type the one you mean.",
    "twenty one thirty-seconds": "can be read as 20 1/32 or 21/32: type the one you mean.",
    "thirty one sixty fourths": "can be read as 30 1/64 or 31/64: type the one you mean.",
    "thirty zero": f"holds “zero”, which is no number and no unit here: {SUCH}",
    "twenty-": f"has no number after “-”: {SUCH}",
    "a": "holds “a” where it says no number: type the number in figures.",
    "quarters": "does not say how many quarters: type one fraction, such as 5/8.",
    "33?": f"holds the mark ?, which cannot be read here: {SUCH}",
    "٣٣": f"holds the character U+0663, which cannot be read here: {SUCH}",
    "33″\U0001d7ce\u0301": f"holds the character U+0301, which cannot be read here: {SUCH}",
    "①": f"holds the character U+2460, which cannot be read here: {SUCH}",
    "33\x00": f"holds the character U+0000, which cannot be read here: {SUCH}",
    "in": f"has no number before “in”: {SUCH}",
    "ft 9": f"has no number before “ft”: {SUCH}",
    "33-": f"has no number after “-”: {SUCH}",
}  # fmt: skip


def refusal(text: str, unit: Unit = Unit.INCH) -> str:
    with pytest.raises(LengthError) as refused:
        parse_length(text, unit)
    return str(refused.value)


@pytest.mark.parametrize("text", TWO_READINGS)
def test_two_readings(text):
    """A text with two readings is refused, and both are named."""
    expected = f"“{text}” can be read as {TWO_READINGS[text]}: type the one you mean."
    assert refusal(text) == expected


@pytest.mark.parametrize("text", OTHERS)
def test_what_is_wrong(text):
    """The sentence names what was typed, what is wrong with it and what to type instead."""
    assert refusal(text) == f"“{text.replace(chr(0), ' ').strip()}” {OTHERS[text]}"


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("33 5/8", '33 5/8" or 33.625 mm'),
        ("⅝", '5/8" or 0.625 mm'),
        ("half", '1/2" or 0.5 mm'),
        ("2 9", '2\' 9", 2 9/16" or 29 mm'),
    ],
)
def test_a_bare_fraction_in_a_millimetre_family(text, readings):
    """A fraction without a unit is not taken for millimetres nor for inches."""
    assert refusal(text, Unit.MM) == f"“{text}” can be read as {readings}: type the one you mean."


@pytest.mark.parametrize("text", ["", "   ", "\n", "\u00a0", "\u200b"])
def test_nothing(text):
    """An empty text says so."""
    assert refusal(text) == f"This length is empty: {SUCH}"


def test_too_long_a_text():
    """An overlong text is refused unread, and shown cut."""
    expected = f"“{'3' * 60}…” is too long (at most 60 characters): {SUCH}"
    assert refusal("3" * 1_000_000) == expected


@pytest.mark.parametrize(
    ("text", "unit"), [("10 m", Unit.INCH), ("393.7", Unit.INCH), ("10000", Unit.MM)]
)
def test_the_longest_length(text, unit):
    """Ten metres are taken, a hair more is not."""
    assert parse_length(text, unit) <= 3_200_000
    assert "over 10 m" in refusal(
        {"10 m": "10.00001 m", "393.7": "393.701", "10000": "10000.01"}[text], unit
    )
