"""The public page is limited in rate and in size, in plain words, and loses nothing that was typed."""

import pytest
from django.core.cache import cache
from django.test import Client

from quotes.models import Request
from quotes.views import measuring

pytestmark = pytest.mark.django_db
PAGE = "/measure/otter-liner/"


@pytest.fixture(autouse=True)
def shop(liner):
    cache.clear()


def send(window, do="send", address="192.0.2.7", **more):
    typed = {"do": do, "m-opening": "47 7/8", "caller": "Bo", "phone": "1", "label": window} | more
    return Client().post(PAGE, typed, REMOTE_ADDR=address)


def test_so_many_from_one_address():
    """One address sends so many an hour; the next is told to wait and keeps its words. Others go on."""
    for place in range(measuring.MOST_SENT):
        assert send(f"window {place}").status_code == 302
    refused = send("one more")
    assert refused.status_code == 429
    assert int(refused["Retry-After"]) > 0
    assert 'value="one more"' in refused.content.decode()
    assert Request.objects.count() == measuring.MOST_SENT
    assert send("from elsewhere", address="192.0.2.8").status_code == 302


def test_so_many_from_all(monkeypatch):
    """All addresses together send so many an hour, counted by the desk's own rows."""
    monkeypatch.setattr(measuring, "MOST_SENT_BY_ALL", 3)
    for place in range(3):
        assert send(f"window {place}", address=f"192.0.2.{place}").status_code == 302
    assert send("one more", address="192.0.2.99").status_code == 429
    assert Request.objects.count() == 3


def test_so_many_checks(monkeypatch):
    """Checks are limited too: each costs the desk its arithmetic."""
    monkeypatch.setattr(measuring, "MOST_CHECKS", 5)
    answers = [send("x", do="check").status_code for _ in range(7)]
    assert answers == [200] * 5 + [429] * 2


def test_too_much_text():
    """A form far larger than the page could send is refused before it is read."""
    refused = send("x", note="y" * (measuring.MOST_BYTES + 1))
    assert refused.status_code == 413
    assert "more text than this page takes" in refused.content.decode()
    assert not Request.objects.exists()


@pytest.mark.parametrize(
    ("field", "longest"), [("caller", 120), ("note", 500), ("m-opening", 60), ("label", 80)]
)
def test_each_box_has_an_end(field, longest):
    """No box takes more than it shows; what is too long is said and kept."""
    text = "9" * (longest + 1)
    refused = send("x", **{field: text})
    assert refused.status_code == 422
    assert text in refused.content.decode()
    assert not Request.objects.exists()
