"""A length is read in every way people write and say it."""

from fractions import Fraction

import pytest

from sizing.lengths import PER_INCH, PER_MM, Unit, parse_length

INCHES_33_5_8 = [
    "2' 9 5/8\"",
    "2'-9-5/8\"",
    "2'-9 5/8\"",
    "2'9-5/8\"",
    "2'9 5/8",
    "2', 9 5/8\"",
    "2 ft 9.625 in",
    "2ft 9.625in",
    "2 ft. 9 5/8 in.",
    "2 FEET 9 5/8 INCHES",
    "2 foot nine and five eighths",
    "33 5/8",
    "  33  5/8  ",
    "33 5 / 8",
    '33-5/8"',
    "33 5/8''",
    "33.625",
    "33.625000",
    "33,625000",
    "33 and 5/8",
    "33 & 5/8",
    "33+5/8",
    "33 5/8 inches",
    "33 5/8ths",
    "33 five eighths",
    "33 and five eights",
    "33 five eigths",
    "33 and 5 eighth",
    "33 5 eighth",
    "33 inches and 5/8",
    '33"-5/8',
    "33 5/8 strong",
    "33 5/8, full",
    "33 5/8 shy",
    "33 5/8 exactly.",
    "33 and five-eighths inches",
    "33 5/8 in",
    "33 5/8in.",
    '33" 5/8',
    "33 10/16",
    "33 20/32",
    "33 40/64",
    "2’ 9 5/8”",  # curly quotes
    "2‘ 9 5/8“",
    "2′ 9 5⁄8″",  # primes and the fraction slash
    "2′ 9 ⅝″",
    "33⅝",
    "33 ⅝",
    "33⁵⁄₈",  # raised and lowered digits are apart from the whole inches
    "３３．６２５",  # full-width digits
    "３３ ５／８",
    "33\u00a05/8",  # no-break space
    "33\u20095/8",  # thin space
    "33\u202f5/8",
    "33\u200b5/8",  # zero-width space
    "\ufeff33 5/8\u200e",
    "33‑5/8",  # no-break hyphen
    "33–5/8",
    "33\t5/8\n",
]


@pytest.mark.parametrize("text", INCHES_33_5_8)
def test_inches(text):
    """Every spelling of thirty-three and five eighths is the same length."""
    assert parse_length(text, Unit.INCH) == Fraction(269, 8) * PER_INCH


@pytest.mark.parametrize(
    "text",
    [
        *("85.4 cm", "85,4 cm", "854 mm", "854.0mm", "0.854 m", "0,854 m", ".854 m", "854 millimetres"),
        *("85 cm 4 mm", "0.854 meters", "854\u00a0mm", "８５４ mm", "85.4 Centimeters"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("unit", Unit)
def test_metric(text, unit):
    """A metric unit overrides the family's own."""
    assert parse_length(text, unit) == 854 * PER_MM


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        *(("854", 854), ("854.5", "854.5"), ("854,5", "854.5"), ("1,234.5", "1234.5"), ("1.234,5", "1234.5"), ("1234,625", "1234.625"), ("0,125 m", 125)),
        *(("33 5/8\"", "854.075"), ("33 5/8 in", "854.075"), ("2' 9", "838.2"), ("half an inch", "12.7")),
        *(("1 m 20 cm", 1200), ("1 m 5 mm", 1005), ("10 m", 10000), ("0.1", "0.1")),
    ],
)  # fmt: skip
def test_in_a_millimetre_family(text, mm):
    """A bare number is millimetres in a millimetre family, and an inch mark makes it inches."""
    assert parse_length(text, Unit.MM) == Fraction(mm) * PER_MM


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        *(("5/8", "5/8"), (".625", "5/8"), ("⅝", "5/8"), ("half", "1/2"), ("a half", "1/2")),
        *(("one half", "1/2"), ("half an inch", "1/2"), ("a quarter", "1/4"), ("an eighth", "1/8")),
        *(("three eighths", "3/8"), ("three quarters of an inch", "3/4"), ("three-quarters", "3/4")),
        *(("seven sixteenths", "7/16"), ("five thirty-seconds", "5/32"), ("9 sixty fourths", "9/64")),
        *(("33 and a half", "67/2"), ("33 half", "67/2"), ("33 three quarters", "135/4"), ("five", 5)),
        *(("two and a half feet", 30), ("2.5 ft", 30), ("2 1/2'", 30), ("10'", 120), ("10' 0\"", 120)),
        *(("2' 5/8\"", "197/8"), ("0' 9\"", 9), ("2/8\"", "1/4"), ("33.", 33), ("33 in.", 33), ("1/64", "1/64")),
    ],
)  # fmt: skip
def test_fractions_feet_and_words(text, inches):
    """Fractions alone, feet alone and the few spoken fractions are read."""
    assert parse_length(text, Unit.INCH) == Fraction(inches) * PER_INCH


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        *(("thirty-one and five eighths", "253/8"), ("thirty one five eighths", "253/8"), ("twenty and a quarter", "81/4")),
        *(("Forty-seven seven eighths inches", "383/8"), ("twenty", 20), ("ninety-nine", 99), ("sixteen and a half", "33/2")),
        *(("thirty and five thirty-seconds", "965/32"), ("sixty-four", 64), ("sixty four", 64), ("thirty-three half", "67/2")),
        *(("sixty-fourth", "1/64"), ("five thirty seconds", "5/32"), ("eighty centimetres", "4000/127")),
    ],
)  # fmt: skip
def test_as_heard_on_the_phone(text, inches):
    """A number is read in words as the caller says it; thirty-seconds and sixty-fourths stay parts of an inch."""
    assert parse_length(text, Unit.INCH) == round(Fraction(inches) * PER_INCH)


def test_every_whole_number_in_words_to_ninety_nine():
    """Each number from 1 to 99 is read in words, joined by a dash or a space."""
    ones = [
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
    ]
    ones += ["sixteen", "seventeen", "eighteen", "nineteen"]
    tens = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
    for joint in "- ":
        words = [
            *ones,
            *(word + end for word in tens for end in ["", *(joint + one for one in ones[:9])]),
        ]
        assert [parse_length(w, Unit.INCH) / PER_INCH for w in words] == list(range(1, 100))
