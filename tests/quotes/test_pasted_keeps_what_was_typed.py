"""A page whose sign-in has run out, or that is older than it, gives back what was typed."""

from django.test import Client

from tests.access.signing_in import known
from tests.quotes.conftest import clerk_named
from tests.quotes.counter_page import fields_of, words_of
from tests.quotes.pasted_page import CLEAN, PASTED, read, send


def signed_in(client):
    from django.contrib.auth.models import User

    client.force_login(User.objects.get(username="mira"))


def test_signed_out_before_reading(clerk, liner):
    """A message sent after the sign-in ran out is read once somebody has signed in."""
    clerk.logout()
    clerk.cookies.load(known())
    sent = read(clerk, CLEAN)
    assert sent.url == f"/sign-in/?next={PASTED}"
    signed_in(clerk)
    page = clerk.get(PASTED)
    assert fields_of(page)["o0-m-opening"] == "47 7/8"
    assert "This is what you had typed" in words_of(page)


def test_signed_out_before_making(clerk, liner):
    """Boxes sent after the sign-in ran out come back as they were, once."""
    page = read(clerk, CLEAN)
    clerk.logout()
    clerk.cookies.load(known())
    send(clerk, page, "make", o0_right="on", **{"o0_m-opening": "47 3/4"})
    signed_in(clerk)
    fields = fields_of(clerk.get(PASTED))
    assert (fields["o0-m-opening"], fields["o0-right"]) == ("47 3/4", "on")
    assert "o0-m-opening" not in fields_of(clerk.get(PASTED))


def test_signed_out_while_typing(clerk, liner):
    """The live answer of somebody signed out is a word about it, not a sign-in page."""
    fields = fields_of(read(clerk, CLEAN))
    clerk.logout()
    answer = clerk.post(f"{PASTED}?o=0", fields, headers={"HX-Request": "true"})
    assert "Your sign-in has run out" in words_of(answer)


def test_page_older_than_the_sign_in(liner):
    """A page from before the present sign-in is given back, not refused."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(clerk_named("mira"))
    sent = client.post(PASTED, {"family": "otter-liner", "text": CLEAN, "do": "read"})
    assert sent.url == PASTED
    assert fields_of(client.get(PASTED))["o0-m-opening"] == "47 7/8"
