"""A country, a state or province is read as its letters or its name; what is no place is refused in a sentence."""

import warnings

import pytest

from sizing.places import PlaceError, countries, country_of, region_of
from sizing.workdays import public_holidays


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


@pytest.mark.parametrize(
    ("typed", "code"),
    [("de", "DE"), ("Germany", "DE"), (" united  states ", "US"), ("Georgia", "GE"), (" ", "")],
)
def test_a_country_is_read(typed, code):
    assert country_of(typed) == code


@pytest.mark.parametrize("typed", ["Germ", "QQ", "EU", "USA!"])
def test_what_is_no_country_is_never_cut_to_one(typed):
    with pytest.raises(PlaceError, match=f"“{typed}” is no country: choose one"):
        country_of(typed)


def test_every_country_of_the_list_has_a_calendar():
    """A factory's working days are counted by it, whichever is chosen, and nothing is said beside it."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for code, _ in countries():
            public_holidays.__wrapped__(code)  # raises CalendarError
    assert len(countries()) > 240
