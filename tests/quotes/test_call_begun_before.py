"""Whoever hung up midway and calls back has a call begun already: the counter names it, so none is taken twice."""

from datetime import timedelta

import pytest
from django.urls import reverse

from quotes.desk.requests import put_aside
from quotes.lists.requests import begun_before
from quotes.models import Issue, Request
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


def autosaved(clerk, **typed):
    """The answer to a call typed so far."""
    said = {"openings": "0", "o0-family": "otter-liner", "o0-quantity": "1", "version": "0",
            "page": "6f1f0f0e-3f0e-4a55-9a0e-0d9f1c1c2b3a", "do": "autosave"}  # fmt: skip
    return clerk.post(reverse("counter"), said | typed)


def test_an_open_quote_is_named(clerk):
    """Who calls again about a quote, by its phone: it is named as it is typed, with how it stands, and told once to
    who does not see it; lapsed or accepted it is not."""
    issue = shop.issued_quote(
        caller="Vera Stroud", phone="802 555 0177", email="vera@stroud.example"
    )
    number = issue.quote.number
    swapped = autosaved(clerk, phone="8025550177")
    address = swapped["HX-Replace-Url"]
    assert f'href="{reverse("quote", args=[issue.quote_id])}"' in swapped.text
    assert swapped.text.count(f"quote {number}") == 2 and "Begun before" not in swapped.text
    assert f"quote {number}</a>, open" in clerk.get(address).text
    Issue.objects.update(valid_until=issue.valid_until - timedelta(days=400))
    assert number not in clerk.get(address).text


def test_not_the_quote_of_the_call_itself(clerk):
    """It stands above already."""
    issue = shop.issued_quote(caller="Vera Stroud", phone="802 555 0177", email="")
    page = clerk.get(reverse("request", args=[issue.quote.request_id])).text
    assert issue.quote.number in page and "Quoted before" not in page


def test_nobody_elses_quote(clerk):
    shop.issued_quote(caller="Ida Lorne", phone="802 555 0178", email="ida@lorne.example")
    assert "Quoted before" not in autosaved(clerk, caller="Vera", phone="802 555 0177").text
