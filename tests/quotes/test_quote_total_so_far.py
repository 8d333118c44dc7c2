"""A total that lacks something says so, on the page and on paper."""

import io

import pytest
from pypdf import PdfReader

from quotes.desk.drafts import Head, change_head
from quotes.documents.content import from_plain, to_plain
from quotes.documents.pdf import quote_pdf
from quotes.lists.issues import document_of
from quotes.lists.shop import the_shop
from quotes.models import FreightStep, TaxRate
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    """What is picked up is taxed where the counter is."""
    shop.set_up()
    keeper = the_shop()
    keeper.country, keeper.region = "US", "VT"
    keeper.save()


def words_of(document):
    return next(label for label, _ in document.totals if label.startswith("Total"))


def test_a_special_without_a_price_is_named_beside_the_total():
    """While a special has no price nobody can read its total out as the whole."""
    issue = shop.draft_quote(shop.part_opening(), shop.cottage_opening())
    document = document_of(issue)
    assert words_of(document) == "Total so far, without line 2"
    page = PdfReader(io.BytesIO(quote_pdf(document, ""))).pages[0].extract_text()
    assert "Total so far, without line 2" in page
    shop.price_specials(issue)
    assert words_of(document_of(issue)) == "Total"


def test_freight_still_to_be_asked_for_is_named_beside_the_total():
    """Freight that no rate covers is missing in the total, and the tax of an address that nobody has said."""
    FreightStep.objects.all().delete()
    issue = shop.draft_quote()
    change_head(issue.pk, Head(None, False, None, "", 30))
    issue.refresh_from_db()
    assert words_of(document_of(issue)) == "Total so far, without freight, sales tax"


def test_tax_that_is_not_worked_out_is_named_beside_the_total():
    """Where no rate is kept the tax of 0.00 is no sum; a rate of 0 says that there is none."""
    rate = TaxRate.objects.get()
    TaxRate.objects.all().delete()
    issue = shop.draft_quote()
    assert words_of(document_of(issue)) == "Total so far, without sales tax"
    rate.pk, rate.percent = None, 0
    rate.save(force_insert=True)
    assert words_of(document_of(issue)) == "Total"


def test_a_quote_frozen_before_reads_as_before():
    """A document stored without the list of what is to come has a plain total."""
    document = document_of(shop.issued_quote())
    plain = to_plain(document)
    del plain["to_come"]
    assert from_plain(plain) == document


def test_many_missing_prices_are_counted():
    """More than a few lines without a price are counted instead of listed."""
    issue = shop.draft_quote(*(shop.cottage_opening(f"Stairs {at}") for at in range(6)))
    assert words_of(document_of(issue)) == "Total so far, without 6 lines"
