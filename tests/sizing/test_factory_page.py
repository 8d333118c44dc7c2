"""A factory's page: where it is, whom to write to, and what is refused."""

import pytest
from django.urls import reverse

from sizing.models import Factory
from tests.sizing.stored import in_force, wren
from tests.sizing.table_pages import text

pytestmark = pytest.mark.django_db


def test_factory(manager):
    """The factory's address and country are kept; country and state in capitals."""
    in_force(wren())
    factory = Factory.objects.get()
    said = {"email": "shop@wrenhill.example", "contact": "Ada", "country": "ca", "region": "qc"}
    manager.post(reverse("factory", args=[factory.pk]), said)
    factory.refresh_from_db()
    assert (factory.email, factory.country, factory.region) == ("shop@wrenhill.example", "CA", "QC")


@pytest.mark.parametrize(
    ("country", "region", "codes"),
    [("Germany", "Bayern", ("DE", "BY")), ("us", "Vermont", ("US", "VT"))],
)
def test_a_factorys_place_by_name(manager, country, region, codes):
    """A country is chosen from the list, and a name is never cut to the letters of another place."""
    in_force(wren())
    factory = Factory.objects.get()
    address = reverse("factory", args=[factory.pk])
    assert '<option value="DE">Germany</option>' in text(manager.get(address))
    manager.post(address, {"email": "", "contact": "", "country": country, "region": region})
    factory.refresh_from_db()
    assert (factory.country, factory.region) == codes


def test_factory_refused(manager):
    """A wrong address is refused, and what was typed stays on the page."""
    in_force(wren())
    factory = Factory.objects.get()
    page = manager.post(
        reverse("factory", args=[factory.pk]), {"email": "shop at wren", "country": "US"}
    )
    assert page.status_code == 422
    assert 'value="shop at wren"' in text(page)
    factory.refresh_from_db()
    assert factory.email == ""


@pytest.mark.parametrize(
    ("country", "region", "sentence"),
    [
        ("QQ", "", "“QQ” is no country: choose one from the list."),
        ("", "", "Choose a country from the list."),
        ("US", "ZZ", "“ZZ” is no part of US; there are AK, AL"),
        ("DE", "XX", "XX is no part of DE with its own holidays; there are BB, BE"),
    ],
)
def test_factory_without_calendar(manager, country, region, sentence):
    """A country or state whose holidays nobody knows is refused: working days could not be counted."""
    in_force(wren())
    said = {"email": "", "contact": "", "country": country, "region": region}
    page = manager.post(reverse("factory", args=[Factory.objects.get().pk]), said)
    assert (page.status_code, sentence in text(page)) == (422, True)
