"""Whoever hung up midway and calls back has a call begun already: the counter names it, so none is taken twice."""

import pytest
from django.urls import reverse

from quotes.desk.requests import put_aside
from quotes.lists.requests import begun_before
from quotes.models import Request
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    shop.set_up()


def call(caller="", phone="", email=""):
    return shop.take_request(
        shop.opening(upper_glass="20 1/4"), caller=caller, phone=phone, email=email
    )


@pytest.fixture
def first():
    return call("Vera Stroud", "802 555 0177", "vera@stroud.example")


@pytest.mark.parametrize(
    "again",
    [
        {"caller": "Vera", "phone": "(802) 555-0177"},
        {"caller": "Vera", "phone": "+1 802-555-0177"},
        {"phone": "555 0177"},
        {"email": "VERA@stroud.example"},
        {"caller": "vera stroud"},
    ],
)
def test_by_phone_mail_or_name(first, again):
    """However the number is written, and whether capital or small."""
    assert begun_before(call(**again)) == [first]


@pytest.mark.parametrize(
    "other", [{"caller": "Vera"}, {"phone": "802 555 0178"}, {"phone": "177"}, {"email": "era@stroud.example"}]
)  # fmt: skip
def test_nobody_else(first, other):
    """Another number or name is somebody else, and so are a few digits or letters of theirs."""
    assert begun_before(call(**other)) == []


def test_not_what_is_finished(first):
    """A call that is quoted, or of which nothing came, is not begun any more."""
    shop.draft_quote(caller="Vera Stroud", phone="", email="")
    Request.objects.update(waits=True)  # a mark too many hides nothing and shows nothing
    assert begun_before(call("Vera Stroud")) == [first]
    put_aside(first.pk, "ann")
    assert begun_before(call("", "802 555 0177")) == []


def test_the_page_names_it_as_it_is_saved(clerk, first):
    """The new call's page links to the one before, at once as the phone is typed and when it is opened again."""
    link = f'href="{reverse("request", args=[first.pk])}"'
    typed = {"openings": "0", "o0-family": "otter-liner", "o0-quantity": "1", "version": "0",
             "page": "6f1f0f0e-3f0e-4a55-9a0e-0d9f1c1c2b3a", "phone": "8025550177", "do": "autosave"}  # fmt: skip
    swapped = clerk.post(reverse("counter"), typed)
    assert "Begun before" in swapped.text and link in swapped.text
    assert link in clerk.get(swapped["HX-Replace-Url"]).text
