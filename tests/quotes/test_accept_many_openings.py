"""Of a quote with many openings all measures are confirmed by one tick, beside the list of them all."""

import pytest
from django.urls import reverse

from quotes.links import token_of
from quotes.models import Acceptance
from quotes.views.public import MANY
from tests.quotes import shop

pytestmark = pytest.mark.django_db


def quote_of(count):
    shop.load_liner()
    issue = shop.issued_quote(*(shop.part_opening(f"bay {n}") for n in range(count)))
    return reverse("quote-public", args=[token_of(issue.link.nonce)])


def accept(client, page, **ticks):
    return client.post(f"{page}accept/", {"name": "Mara Quill", **ticks})


def test_one_tick(client):
    """Each opening stands in the list with its measures, and the one tick accepts them all by name."""
    page = quote_of(MANY + 1)
    shown = client.get(page).text
    assert all(shown.count(f"bay {n}") >= 2 for n in range(MANY + 1))
    assert f"the measures of all {MANY + 1} openings" in shown
    accept(client, page, **{"tick-all": "yes"})
    assert len(Acceptance.objects.get().ticked) == MANY + 1


def test_none(client):
    """Without it nothing is accepted, and one line says so instead of one for each opening."""
    page = accept(client, quote_of(MANY + 1))
    assert page.status_code == 422 and not Acceptance.objects.exists()
    assert page.text.count('href="#tick-all"') == 1 and 'href="#tick-0"' not in page.text


def test_few(client):
    """A few openings are looked at one by one; a tick for all is none of theirs."""
    page = quote_of(MANY)
    assert "tick-all" not in client.get(page).text
    accept(client, page, **{"tick-all": "yes"})
    assert not Acceptance.objects.exists()
