"""Links of customers, factories and people invited: the unguessable address is the whole permission."""

import hmac
import re
from datetime import timedelta

import pytest
from django.apps import apps
from django.db import models
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from config.access import LINK, RULES
from ordering.models import FactoryOrder, Order
from quotes.desk import staff
from quotes.desk.shop import Account
from quotes.links import hash_of, new_nonce, token_of
from quotes.models import Acceptance, ChangeAsked, Enquiry, Invitation, Link

NAMES = sorted(name for name, rule in RULES.items() if LINK in (rule.read, rule.write))
LINKED = (Link, Enquiry, Order, FactoryOrder, Invitation)


def ask(name: str, token: str):
    """What a stranger gets at this link's address, with each method that it takes."""
    client, rule = Client(raise_request_exception=False), RULES[name]
    methods = [method for method in ("GET", "POST") if rule.who(method)]
    said = {"name": "Mara Quill", "tick-0": "yes", "do": "have", "words": "wider"}
    return [
        getattr(client, method.lower())(reverse(name, args=[token]), said) for method in methods
    ]


def is_gone(response) -> bool:
    """One plain page: not found or gone, with nothing of the shop's on it."""
    words = re.sub(r"<[^>]+>|\s+", " ", response.content.decode(errors="replace"))
    return (
        response.status_code in (404, 410)
        and "Quill" not in words
        and "Otter Hollow" not in words
        and len(words) < 1000
    )


@pytest.mark.parametrize("model", LINKED)
def test_unguessable(model, built, db):
    """A token has 256 bits, and differs from row to row."""
    tokens = [token_of(row.nonce) for row in model.objects.all()]
    assert tokens and len(set(tokens)) == len(tokens)
    assert all(re.fullmatch(r"[\w-]{43}", token) for token in tokens)
    assert len({new_nonce() for _ in range(1000)}) == 1000


@pytest.mark.parametrize("model", LINKED)
def test_only_the_hash_is_stored(model, built, db):
    """No column of the whole database holds a token, not even the mails that say it."""
    tokens = {token_of(row.nonce) for row in model.objects.all()}
    for other in apps.get_models():
        fields = [f.attname for f in other._meta.concrete_fields if isinstance(f, _WORDS)]
        for row in other._base_manager.values_list(*fields) if fields else ():
            held = " ".join(map(str, row))
            assert not any(token in held for token in tokens), other


_WORDS = (models.CharField, models.TextField, models.JSONField)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    "change",
    [
        lambda token: token[:-1] + ("A" if token[-1] != "A" else "B"),
        lambda token: token[:-1],
        lambda token: token + "A",
        lambda token: token.swapcase(),
        hash_of,
        lambda token: "%00",
        lambda token: "' OR 1=1 --",
        lambda token: "A" * 5000,
    ],
    ids=["one letter off", "cut", "longer", "other case", "its hash", "nul", "sql", "long"],
)
def test_guessed(name, change, built, db):
    """A token that is nearly right, or nothing like one, opens nothing and does nothing."""
    assert all(map(is_gone, ask(name, change(built[1][name][0]))))
    assert not ChangeAsked.objects.exists()


@pytest.mark.parametrize("name", NAMES)
def test_anothers(name, built, db):
    """The token of one kind of link opens no other kind's page."""
    known = built[1]
    own = known[name][0]
    for other in {known[n][0] for n in NAMES} - {own}:
        assert all(map(is_gone, ask(name, other)))


@pytest.mark.parametrize("name", NAMES)
def test_expired(name, built, db):
    """After its time a quote's, an enquiry's and an invitation's link are gone; an order's lives on."""
    past = timezone.now() - timedelta(seconds=1)
    for model in (Link, Enquiry, Invitation):
        model.objects.update(expires_at=past)
    accepted = Acceptance.objects.count()
    lasting = name.startswith(("order-", "factory-public"))
    answers = ask(name, built[1][name][0])
    assert [is_gone(answer) for answer in answers] == [not lasting] * len(answers)
    assert Acceptance.objects.count() == accepted


def test_invitation_used_twice(built, db):
    """An invitation opens once: whoever has its link afterwards finds nothing."""
    token = built[1]["join"][0]
    invitation = Invitation.objects.get(token_hash=hash_of(token))
    account = Account("Una Fell", "una", "una@fell.example", "paper and ink 4711")
    staff.join(invitation.pk, account)
    assert all(map(is_gone, ask("join", token)))


@pytest.mark.parametrize("name", NAMES)
def test_compared_in_constant_time(name, built, db, monkeypatch):
    """A row that was found is accepted only after a comparison that takes the same time for any token."""
    seen = []
    monkeypatch.setattr(hmac, "compare_digest", lambda a, b: seen.append((a, b)) or False)
    assert all(map(is_gone, ask(name, built[1][name][0])))
    assert hash_of(built[1][name][0]) in {a for a, _ in seen}
