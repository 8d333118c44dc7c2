"""Prices are read as people type them, and what could be meant otherwise is refused."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from quotes.desk.special_prices import price
from quotes.desk.specials import EnquiryError
from quotes.forms.amount_field import AmountField
from quotes.models import QuoteLine, Special
from tests.quotes import shop, specials
from tests.quotes.test_quote_pages import fields


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("214.5", "214.5"),
        ("$214.50", "214.50"),
        ("$ 118", "118"),
        ("1,250.00", "1250.00"),
        ("$1,250", "1250"),
        ("12,345,678.90", "12345678.90"),
        (" 7 ", "7"),
    ],
)
def test_read(typed, meant):
    """A currency's sign and the commas between thousands are no mistake."""
    assert AmountField().clean(typed) == Decimal(meant)


@pytest.mark.parametrize(
    "typed", ["118,40", "1,2", "1,2500", "$", "1.2.3", "12 USD", "$-5", "five"]
)
def test_refused(typed):
    """Anything else is asked for again, with an example."""
    with pytest.raises(ValidationError, match=r"such as 214\.50"):
        AmountField().clean(typed)


@pytest.mark.django_db
def test_a_price_without_words_is_not_lost(clerk):
    """A new line's price was typed and its words forgotten: the page asks for them."""
    shop.load_liner()
    issue = shop.draft_quote()
    typed = fields(issue, **{"new-unit_price": "$12.50"})
    shown = clerk.post(reverse("quote-draft", args=[issue.pk]), typed)
    assert shown.status_code == 422
    assert (
        "New line. What: type it" in shown.content.decode()
        and 'value="$12.50"' in shown.content.decode()
    )


@pytest.mark.django_db
def test_a_special_without_a_price_leads_to_its_enquiry(clerk):
    """The draft says who has the price and leads there; with a price it no longer does."""
    shop.load_liner()
    issue = shop.draft_quote(shop.cottage_opening())
    asks = reverse("special-flag", args=[issue.quote.request.openings.get().pk])
    address = reverse("quote", args=[issue.quote_id])
    assert asks in clerk.get(address).content.decode()
    posted = fields(issue, "issue")
    shown = clerk.post(reverse("quote-draft", args=[issue.pk]), posted, follow=True)
    assert "Line 1 has no price yet: ask the factory" in shown.content.decode()
    QuoteLine.objects.update(unit_price=199)
    assert asks not in clerk.get(address).content.decode()


@pytest.mark.django_db
def test_a_price_by_hand_below_its_cost_is_a_slip():
    """21 for 210 against a cost of 100: nobody's word lets it into the quote from here."""
    specials.set_up()
    special = specials.answered()
    with pytest.raises(EnquiryError, match=r"21\.00 USD is less than the factory's 100\.00 USD"):
        price(special.pk, Decimal("21.00"), by="ann", is_manager=True, why="a digit is missing")
    assert Special.objects.get().state == "answered"
