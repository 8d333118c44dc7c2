"""Who waits for what was quoted and not ordered is found too, and the page says how it stands."""

from dataclasses import replace

import pytest
from django.urls import reverse

from ordering.events import place_from_quote
from quotes.desk.requests import save_request
from quotes.lists.quotes import find_quotes
from quotes.lists.requests import said_of
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


def test_by_what_was_noted_of_the_call(client):
    """Somebody rings about the red barn: the list of quotes finds it, and When? before and after it is ordered."""
    quote, other = accepted_quote(), accepted_quote(caller="Ida Lorne")
    call = quote.request
    said = replace(said_of(call), note="The red barn, call after four")
    save_request(said, by="ann", pk=call.pk, version=call.version)
    client.force_login(user())

    def found(scrap: str) -> tuple[str, list[int]]:
        listed = [one.pk for one in find_quotes(scrap).every()]
        return client.get(reverse("when"), {"q": scrap}).text, listed

    page, listed = found("barn quill")
    assert "Not ordered yet" in page and quote.number in page and listed == [quote.pk]
    order = place_from_quote(quote.pk, CLERK)
    place_from_quote(other.pk, CLERK)
    page, listed = found("red barn")
    assert order.number in page and "Not ordered yet" not in page and listed == [quote.pk]
    assert (
        order.number
        in client.get(reverse("when"), {"q": "red barn", "as": "csv"}).getvalue().decode()
    )
    page, listed = found("red shed")
    assert "No order" in page and listed == []


def test_a_call_that_is_not_quoted_yet(client):
    """Who called this morning and has neither quote nor order is found among the calls; staff open no calls."""
    client.force_login(user("mira"))
    page = client.get(reverse("when"), {"q": "Stroud & 0177"}).text
    assert f'href="{reverse("requests")}?q=Stroud%20%26%200177"' in page
    client.force_login(user("una", "staff"))
    assert "Look among the calls" not in client.get(reverse("when"), {"q": "Stroud & 0177"}).text
