"""Wrong passwords are counted for a name from an address; after six there is a rest."""

import re
from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.test import Client

from tests.access.shop import people

PASSWORD = "paper and ink 4711"
RIGHT, WRONG = {"password": PASSWORD}, {"password": "ink and paper"}


@pytest.fixture(autouse=True)
def ann(db):
    person = people()["counter"]
    person.set_password(PASSWORD)
    person.save()
    return person


def sign_in(said, name="counter-person", address="192.0.2.7"):
    return Client().post("/sign-in/", {"username": name, **said}, REMOTE_ADDR=address)


def test_right_password_after_five_wrong_ones(db):
    """Five slips are forgiven, and forgotten once the right password was typed."""
    for _ in range(2):
        assert [sign_in(WRONG).status_code for _ in range(5)] == [200] * 5
        assert sign_in(RIGHT).status_code == 302


def test_locked_after_six(db):
    """The sixth wrong password locks; then even the right one is refused, in one clear sentence."""
    for _ in range(6):
        page = sign_in(WRONG)
    for locked in (page, sign_in(RIGHT)):
        assert locked.status_code == 429
        words = re.sub(r"\s+", " ", locked.content.decode())
        assert "This name cannot sign in from this place for the next 10 minutes." in words


def test_others_are_not_locked(db):
    """Neither the same name from another address nor another name from the same one is locked."""
    for _ in range(6):
        sign_in(WRONG)
    assert sign_in(RIGHT, address="192.0.2.8").status_code == 302
    assert sign_in(WRONG, name="manager-person").status_code == 200


def test_unlocked_after_ten_minutes(db):
    """Ten minutes later the right password opens, however often it was tried meanwhile."""
    with time_machine.travel(datetime.now(UTC), tick=True) as clock:
        for _ in range(6):
            sign_in(WRONG)
        clock.shift(timedelta(minutes=6))
        assert sign_in(RIGHT).status_code == 429
        clock.shift(timedelta(minutes=5))
        assert sign_in(RIGHT).status_code == 302
