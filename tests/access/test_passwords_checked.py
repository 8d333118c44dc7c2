"""A password that is much used, or made of the shop's own words, is refused in a sentence."""

import pytest
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from quotes.models import Shop


@pytest.fixture(autouse=True)
def shop(db):
    Shop.objects.create(
        pk=1, name="Tarnbrook Joinery", town="Corley", email="desk@tarnbrook.example"
    )


REFUSED = {
    "password1": "too common",
    "short 1": "too short",
    "8123456789": "entirely numeric",
    "Tarnbrook2027": "little more than the shop's name",
    "joinery-corley": "little more than the shop's name",
    "window!balance9": "little more than the shop's name",
}


@pytest.mark.parametrize(("password", "words"), REFUSED.items())
def test_refused(password, words):
    """The sentence says what is wrong with it."""
    with pytest.raises(ValidationError, match=words):
        validate_password(password)


@pytest.mark.parametrize(
    "password",
    ["paper and ink 4711", "four ducks on a window sill", "ключ от старой двери", "x" * 128],
)
def test_taken(password):
    """Any letters, any length, blanks too: only what is easily guessed is refused."""
    assert validate_password(password) is None
