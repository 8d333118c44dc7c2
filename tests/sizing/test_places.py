"""A state or province is read as its letters or its name; what is no place is refused in a sentence."""

import pytest

from sizing.places import PlaceError, region_of


@pytest.mark.parametrize(
    ("country", "typed", "code"),
    [
        ("US", "pa", "PA"),
        ("US", "  New   hampshire ", "NH"),
        ("CA", "Ontario", "ON"),
        ("US", "AE", "AE"),
        ("MX", "oax", "OAX"),
        ("FR", "idf", "IDF"),
        ("", "vt", "VT"),
        ("US", " ", ""),
    ],
)
def test_read_as_letters(country, typed, code):
    assert region_of(country, typed) == code


@pytest.mark.parametrize(
    ("country", "typed", "words"),
    [
        ("US", "PEN", "“PEN” is no part of US; there are AK, AL"),
        ("CA", "VT", "“VT” is no part of CA; there are AB, BC"),
        ("MX", "Oaxaca", "“Oaxaca” is no code: type up to 3 letters"),
        ("", "V-T", "“V-T” is no code"),
    ],
)
def test_refused_in_a_sentence(country, typed, words):
    with pytest.raises(PlaceError, match=words):
        region_of(country, typed)
