"""What one caller asked for in two currencies is two quotes, and each leads to the other."""

import pytest
from django.urls import reverse

from quotes.desk.quoting import begin_quotes
from tests.quotes.conftest import clerk_named, publish
from tests.quotes.shop import opening, part_opening, take_request

pytestmark = pytest.mark.django_db


def test_each_draft_links_the_other(client):
    """For as long as there are two, not only in the message of the moment they were begun."""
    for name in ("otter-liner", "heron-strip"):
        publish(name)
    strip = opening("Door", finish="chalk", length="1000")
    strip = type(strip)(**{**strip.__dict__, "family": "heron-strip"})
    one, other = begin_quotes(take_request(part_opening(), strip).pk, "ann")
    client.force_login(clerk_named("mira"))
    for here, there in ((one, other), (other, one)):
        page = client.get(reverse("quote", args=[here.pk])).text
        assert (
            f'also quote <a href="{reverse("quote", args=[there.pk])}">{there.number}</a> in {there.currency}'
            in page
        )
