"""Two clerks on one request: the later writer is told, and nothing is overwritten."""

import pytest

from quotes.models import Request
from tests.quotes.conftest import clerk_named
from tests.quotes.counter_page import fields_of, page, words_of

TYPED = {"m-upper_glass": "20 1/4", "m-opening": "47 7/8"}


@pytest.fixture
def both(clerk, client, liner):
    """A request open on two desks; the first clerk has saved a change."""
    client.force_login(clerk_named("joe"))
    place = clerk.post("/counter/", page(TYPED, caller="Ann"))["Location"]
    first, second = fields_of(clerk.get(place)), fields_of(client.get(place))
    clerk.post(place, {**first, "o0-m-upper_glass": "22", "phone": "802 555 0131"})
    return place, second


def test_later_writer_is_shown_both(client, both):
    """The page shows what is stored beside what was typed, and stores nothing."""
    place, second = both
    response = client.post(place, {**second, "o0-m-upper_glass": "18 1/2"})
    assert response.status_code == 409
    assert "mira changed this request" in words_of(response)
    assert "opening 1: upper glass 22 18 1/2" in words_of(response)
    assert Request.objects.get().openings.get().said["upper_glass"] == "22"


def test_later_writer_keeps_the_words(client, both):
    """The boxes hold what the later writer typed; saving again, now knowingly, stores it."""
    place, second = both
    response = client.post(place, {**second, "o0-m-upper_glass": "18 1/2"})
    fields = fields_of(response)
    assert fields["o0-m-upper_glass"] == "18 1/2"
    client.post(place, fields)
    assert Request.objects.get().openings.get().said["upper_glass"] == "18 1/2"


def test_unseen_change_is_never_overwritten_by_itself(client, both):
    """Saving by itself stops and says who was faster."""
    place, second = both
    response = client.post(place, {**second, "do": "autosave", "caller": "Anne"})
    assert "mira has changed it meanwhile" in words_of(response)
    assert Request.objects.get().caller == "Ann"


def test_same_words_are_no_conflict(clerk, client, liner):
    """Two who wrote the same have nothing to settle."""
    client.force_login(clerk_named("joe"))
    place = clerk.post("/counter/", page(TYPED))["Location"]
    first, second = fields_of(clerk.get(place)), fields_of(client.get(place))
    clerk.post(place, {**first, "caller": "Ann"})
    assert client.post(place, {**second, "caller": "Ann"}).status_code == 302
    assert Request.objects.get().version == 2
