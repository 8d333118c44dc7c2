"""The manager keeps the margin rules by date, beside the other prices."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from quotes.models import MarginRule
from tests.quotes import specials

pytestmark = pytest.mark.django_db


def add(client, **changed):
    boxes = {
        "family": "",
        "currency": "usd",
        "in_force_from": "2027-01-01",
        "percent": "40",
        "check_over": "900",
    }
    posted = {f"margins-{name}": value for name, value in {**boxes, **changed}.items()}
    return client.post("/prices/", {"kind": "margins", **posted})


def test_a_rule_is_stored():
    """Percent on cost, limit of the check, currency and day, for every family."""
    assert add(specials.manager()).status_code == 302
    rule = MarginRule.objects.get()
    assert (rule.family, rule.currency, rule.in_force_from) == (None, "USD", date(2027, 1, 1))
    assert (rule.percent, rule.check_over) == (Decimal(40), Decimal(900))


@pytest.mark.parametrize(
    "changed, words",
    [
        ({"currency": "xxx"}, "“XXX” is no currency"),
        ({"percent": "-1"}, "On the factory&#x27;s cost, %: type 0 or more"),
        ({"percent": ""}, "On the factory&#x27;s cost, %: type it"),
        ({"in_force_from": "soon"}, "is no day"),
    ],
)
def test_what_cannot_be_is_said(changed, words):
    """The form comes back with the sentence, and nothing is stored."""
    page = add(specials.manager(), **changed)
    assert page.status_code == 422 and words in page.content.decode()
    assert not MarginRule.objects.exists()


def test_a_second_of_one_day_is_refused():
    """One family, currency and day have one rule."""
    client = specials.manager()
    add(client)
    assert "There is a margin in USD from 1 Jan 2027 already" in add(client).content.decode()
    assert MarginRule.objects.count() == 1


def test_only_what_is_to_come_is_taken_back():
    """A rule in force since before today stays; one of today or a later day goes."""
    client = specials.manager()
    today = timezone.localdate()
    rules = [
        MarginRule.objects.create(
            currency="USD", percent=40, in_force_from=today + timedelta(days=days)
        )
        for days in (-1, 0, 1)
    ]
    for rule in rules:
        client.post(f"/prices/margins/{rule.pk}/back/")
    assert list(MarginRule.objects.all()) == rules[:1]


def test_a_clerk_does_not_open_it(clerk):
    """Margins are the manager's."""
    assert clerk.get("/prices/").status_code == 403
