"""Staff accept on the customer's word."""

import pytest
from django.urls import reverse

from quotes.models import Acceptance
from tests.quotes import shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def issue():
    shop.set_up()
    return shop.issued_quote()


def press(clerk, issue, **data):
    return clerk.post(reverse("quote-word", args=[issue.pk]), data, follow=True)


def test_who_when_and_how_are_kept(issue, clerk):
    """The name, the clerk and the way are stored and shown."""
    page = press(clerk, issue, name="Mara Quill", how="phone", measures_read_out="on")
    stored = Acceptance.objects.get()
    assert (stored.name, stored.taken_by, stored.how) == ("Mara Quill", "mira", "phone")
    assert "Accepted by Mara Quill, by phone" in page.content.decode()
    assert "(taken by mira)" in page.content.decode()


def test_measures_must_have_been_read_out(issue, clerk):
    """Without the measures confirmed nothing is accepted; the name stays in its box."""
    page = press(clerk, issue, name="Mara Quill", how="phone")
    assert page.status_code == 422
    assert "Read the measures out first" in page.content.decode()
    assert 'value="Mara Quill"' in page.content.decode()
    assert not Acceptance.objects.exists()


def test_the_link_is_no_way_for_staff(issue, clerk):
    """A clerk cannot pass an acceptance off as the customer's own click."""
    press(clerk, issue, name="Mara", how="link", measures_read_out="on")
    assert not Acceptance.objects.exists()


def test_too_late_is_told(issue, clerk):
    """After the customer's own acceptance the clerk is told who was first."""
    press(clerk, issue, name="Mara Quill", how="phone", measures_read_out="on")
    page = press(clerk, issue, name="Otto", how="email", measures_read_out="on")
    assert "Not accepted: Accepted by Mara Quill" in page.content.decode()
    assert Acceptance.objects.get().name == "Mara Quill"


def test_the_caller_is_named_already(issue, clerk):
    """Who called stands in the box of who accepted, and the box has a key of its own."""
    page = clerk.get(reverse("quote", args=[issue.quote_id]))
    box = page.context["word"]["name"]
    assert box.value() == issue.quote.request.caller != ""
    assert 'accesskey="w"' in str(box)


def test_without_a_call_nobody_is_named(issue, clerk):
    """Of a quote without a request nobody is named."""
    issue.quote.request = None
    issue.quote.save()
    page = clerk.get(reverse("quote", args=[issue.quote_id]))
    assert not page.context["word"]["name"].value()
