"""Who waits for what was quoted and not ordered is found too, and the page says how it stands."""

import pytest
from django.urls import reverse

from ordering.events import place_from_quote
from tests.ordering.placed import CLERK, accepted_quote, load_shop, user
from tests.quotes.shop import draft_quote

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()


def test_what_was_quoted_and_never_ordered(client):
    """Somebody waits for what nobody ordered: the page says so, by the quote's number and by the name."""
    quote = accepted_quote()
    draft_quote(caller="Ida Lorne")
    client.force_login(user())
    for scrap, words in (
        (quote.number, "Accepted by "), ("quill", "Accepted by "), ("lorne, ida", "Not issued yet."),
    ):  # fmt: skip
        page = client.get(reverse("when"), {"q": scrap}).content.decode()
        assert "Not ordered yet" in page and words in page
        assert "No order" not in page
    place_from_quote(quote.pk, CLERK)
    assert (
        "Not ordered yet" not in client.get(reverse("when"), {"q": quote.number}).content.decode()
    )


def test_a_quote_is_told_to_staff_without_a_link(client):
    """Who may not open quotes reads how it stands all the same."""
    quote = accepted_quote()
    client.force_login(user("sam", "staff"))
    page = client.get(reverse("when"), {"q": quote.number}).content.decode()
    assert f"Quote {quote.number} for" in page and "/quotes/" not in page
