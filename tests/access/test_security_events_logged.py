"""Who let whom in, and who refused whom, can be read from the log afterwards: numbers, no names."""

import logging

import pytest
from django.contrib.auth.models import User

from quotes.desk import staff
from quotes.desk.integrations import make_integration, switch_off
from quotes.desk.shop import Account
from quotes.models import Invitation
from tests.access.signing_in import person


def invited():
    return staff.invite("Una Fell", "una@fell.example", "staff", "Oswin")


def joined():
    account = Account("Una Fell", "una", "una@fell.example", "paper and ink 4711")
    staff.join(Invitation.objects.get().pk, account)


def the(role: str) -> User:
    return User.objects.get(username=f"{role}-person")


EVENTS = {
    "invited": (lambda: None, invited),
    "joined": (invited, joined),
    "role given": (lambda: None, lambda: staff.give_role(the("staff").pk, "manager", the("owner"))),
    "switched off": (lambda: None, lambda: staff.switch(the("staff").pk, False, the("owner"))),
    "switched on": (lambda: None, lambda: staff.switch(the("staff").pk, True, the("owner"))),
    "key made": (lambda: None, lambda: make_integration("till", "ann")),
    "key switched off": (
        lambda: None,
        lambda: switch_off(make_integration("till", "ann")[0].pk),
    ),
}


@pytest.mark.parametrize("words", EVENTS)
def test_logged(words, db, caplog):
    """Each such act writes one line that names people by their numbers."""
    person("owner")
    before, act = EVENTS[words]
    before()
    with caplog.at_level(logging.INFO, "desk.sign_ins"):
        act()
    (line,) = [record for record in caplog.records if record.message == words]
    assert line.facts and all(
        isinstance(value, int) or key == "role" for key, value in line.facts.items()
    )
