"""Ten minutes after the password was typed, what changes sign-ins asks for it once more."""

from datetime import UTC, datetime

import pytest
import time_machine
from axes.models import AccessAttempt
from django.test import Client
from django.urls import reverse

from quotes.models import Invitation
from tests.access.signing_in import PASSWORD, person

ACTS = ["own-code", "own-code-off", "own-recovery", "own-elsewhere", "rules", "staff-code-off"]


@pytest.fixture
def owner(db):
    """(an owner signed in eleven minutes ago, the clock)."""
    with time_machine.travel(datetime(2027, 3, 1, 9, tzinfo=UTC), tick=False) as clock:
        client = Client()
        client.force_login(person("owner"))
        clock.shift(11 * 60)
        yield client


def act(client, name):
    arguments = [1_000_000] if name == "staff-code-off" else []
    return client.post(reverse(name, args=arguments))


@pytest.mark.parametrize("name", ACTS)
def test_asked(name, owner):
    """It is asked before the act, and not again for ten minutes."""
    assert act(owner, name).url == "/your-sign-in/again/"
    wrong = owner.post("/your-sign-in/again/", {"password": "ink and paper"})
    assert wrong.status_code == 422
    right = owner.post("/your-sign-in/again/", {"password": PASSWORD})
    assert right.status_code == 302
    assert getattr(act(owner, name), "url", "") != "/your-sign-in/again/"


def test_new_owner(owner):
    """Inviting an owner, or making somebody one, asks for it; what was typed stays on the page."""
    typed = {"name": "Una Fell", "email": "una@fell.example", "role": "owner"}
    page = owner.post("/shop/people/invite/", typed)
    words = page.content.decode()
    assert page.status_code == 422 and "Una Fell" in words and "Type your own password" in words
    assert not Invitation.objects.exists()
    owner.post("/shop/people/invite/", {**typed, "own_password": PASSWORD})
    assert Invitation.objects.get().role == "owner"


def test_new_owner_by_role(owner, django_user_model):
    """Giving somebody the role of an owner asks for it as well."""
    user = django_user_model.objects.get(username="staff-person")
    assert (
        owner.post(f"/shop/people/{user.pk}/role/", {"role": "owner"}).url == "/your-sign-in/again/"
    )
    assert user.groups.get().name == "staff"


def test_guessing_it_locks(owner):
    """Guessing at it is counted like any sign-in."""
    answers = [
        owner.post("/your-sign-in/again/", {"password": f"guess {n}"}).status_code for n in range(6)
    ]
    assert answers == [422] * 5 + [429]


def test_not_kept(owner):
    """What was typed wrongly, in whichever box, is kept nowhere."""
    typed = {"name": "Una Fell", "email": "una@fell.example", "role": "owner"}
    owner.post("/shop/people/invite/", {**typed, "own_password": "ink and paper"})
    owner.post("/your-sign-in/again/", {"password": "ink and paper"})
    held = str(list(AccessAttempt.objects.values()))
    assert "again" in held
    assert not any(words in held for words in ("ink", "Fell", "fell.example"))
