"""A manager gives something off list for one quote: in the place of the customer's terms, on every paper, in the order."""

import io
from dataclasses import replace
from decimal import Decimal
from html import unescape

import pytest
from django.core.management import call_command
from django.urls import reverse
from openpyxl import load_workbook
from pypdf import PdfReader
from reportlab.pdfbase import pdfmetrics

from ordering.events import place_from_quote
from quotes.desk.accepting import accept
from quotes.desk.drafts import QuoteError, give_discount, next_issue
from quotes.desk.issuing import issue_quote
from quotes.desk.posting import send_quote
from quotes.documents.pdf import quote_pdf
from quotes.documents.sheet import fonts
from quotes.documents.workbook import quote_workbook
from quotes.links import address_of
from quotes.lists.issues import changed_since_last, document_of
from quotes.models import Customer, Issue
from tests.ordering.placed import CLERK, load_shop
from tests.quotes import shop
from tests.quotes.specials import manager
from tests.quotes.test_quote_pages import fields

pytestmark = pytest.mark.usefixtures("built")
TWELVE = Decimal("12.5")


def build():
    """Four of 78.60 and a special of 180.00, picked up, under terms of 7.5 % off list."""
    load_shop()
    issue = shop.draft_quote(shop.part_opening(quantity=4), shop.cottage_opening())
    Customer.objects.update(terms="trade")
    shop.price_specials(issue)
    return Issue.objects.get()


@pytest.fixture
def draft(built):
    return built


def post(client, issue, **more):
    return client.post(reverse("quote-draft", args=[issue.pk]), fields(issue, **more), follow=True)


def given(issue):
    return Issue.objects.values_list("discount_percent", "discount_by").get(pk=issue.pk)


def test_takes_the_place_of_the_terms(draft):
    """12.5 % of 314.40 is 39.30, no 7.5 % beside it, nothing off the special; the deposit stays the terms'."""
    give_discount(draft.pk, TWELVE, "oswin")
    document = document_of(Issue.objects.get())
    sums = document.sums
    assert [str(a) for a in (sums.goods, sums.discount, sums.total)] == [
        "494.40",
        "39.30",
        "455.10",
    ]
    assert sums.deposit == Decimal("182.04")
    assert document.terms_words == "trade, 12.5 % off list, to pay within 30 days"


def test_nothing_off_is_a_discount_too(draft):
    """0 is list price, though the terms give 7.5 %; empty is what the terms say."""
    give_discount(draft.pk, Decimal(0), "oswin")
    assert document_of(Issue.objects.get()).sums.discount == 0
    give_discount(draft.pk, None, "oswin")
    assert document_of(Issue.objects.get()).sums.discount == Decimal("23.58")
    assert given(draft) == (None, "")


def test_the_manager_gives_it(draft):
    """The page has the box, and says who gave it; the same number sent again changes no name."""
    shown = unescape(post(manager(), draft, discount_percent="12.5").content.decode())
    assert 'name="discount_percent" value="12.5"' in shown
    assert (
        "12.5 % off list for this quote, in the place of the customer's terms, given by " in shown
    )
    assert "given by oswin." in shown
    give_discount(draft.pk, TWELVE, "ann")
    assert given(draft) == (TWELVE, "oswin")


def test_the_counter_does_not(draft, clerk):
    """A clerk's page has no such box; sent all the same it gives nothing, and takes nothing away."""
    shown = post(clerk, draft, discount_percent="50", note="Ring twice")
    assert 'name="discount_percent"' not in shown.content.decode()
    assert given(draft) == (None, "")
    give_discount(draft.pk, TWELVE, "oswin")
    shown = post(clerk, draft, discount_percent="0", note="Ring thrice")
    assert given(draft) == (TWELVE, "oswin")
    assert "given by oswin" in shown.content.decode()
    assert Issue.objects.get().note == "Ring thrice"


@pytest.mark.parametrize("typed", ["12.5%", " 12.5 % "])
def test_the_share_may_be_typed_with_its_sign(draft, typed):
    post(manager(), draft, discount_percent=typed)
    assert given(draft)[0] == TWELVE


@pytest.mark.parametrize("typed", ["much", "%", "12.5 % off", "-5", "101", "NaN"])
def test_what_is_no_share_comes_back_as_typed(draft, typed):
    """One sentence; nothing is stored."""
    shown = post(manager(), draft, discount_percent=typed, note="Ring twice")
    assert shown.status_code == 422
    text = shown.content.decode()
    assert "Type what is taken off as a number from 0 to 100, such as 7.5." in text
    assert f'name="discount_percent" value="{typed}"' in text
    assert (given(draft), Issue.objects.get().note) == ((None, ""), "")


def test_what_is_issued_keeps_it(draft):
    """Nothing is given off a frozen issue; the next begins with the same, and what changes then is said."""
    give_discount(draft.pk, TWELVE, "oswin")
    issue_quote(draft.pk, "ann")
    with pytest.raises(QuoteError, match="frozen"):
        give_discount(draft.pk, Decimal(50), "oswin")
    fresh = next_issue(draft.quote_id)
    assert given(fresh) == (TWELVE, "oswin")
    give_discount(fresh.pk, Decimal(20), "oswin")
    said = changed_since_last(Issue.objects.get(pk=fresh.pk))
    assert any("was trade, 12.5 % off list" in one and "now trade, 20 %" in one for one in said)


def test_every_paper_says_so(draft, client):
    """The customer's page, the mail, the PDF and the workbook: what is off, and the total after it."""
    give_discount(draft.pk, TWELVE, "oswin")
    issue = issue_quote(draft.pk, "ann")
    document = document_of(issue)
    pdf = PdfReader(io.BytesIO(quote_pdf(document))).pages[0].extract_text()
    page = client.get("/" + address_of(issue).split("/", 3)[3]).content.decode()
    for text in (pdf, page):
        assert "12.5 % off list" in text
        assert "39.30" in text
        assert "455.10" in text
    assert "455.10" in send_quote(issue.pk, "mara@quill.example", "ann").body
    sheet = load_workbook(io.BytesIO(quote_workbook(document)))["Quote"]
    cells = [cell.value for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert "trade, 12.5 % off list, to pay within 30 days" in cells
    assert -39.30 in cells
    assert 455.10 in cells


def test_the_order_costs_what_was_quoted(draft, capsys):
    """What was accepted is what is owed, and nothing looks wrong to `verify`."""
    give_discount(draft.pk, TWELVE, "oswin")
    issue = issue_quote(draft.pk, "ann")
    accept(issue.pk, name="Mara Quill", ticked=[s["name"] for s in issue.document["openings"]])
    order = place_from_quote(issue.quote_id, CLERK)
    assert order.total == Decimal("455.10")
    call_command("verify")
    assert capsys.readouterr().out == "Everything agrees.\n"


def test_off_list_is_not_said_where_nothing_is_on_list(draft):
    """A special has its own price: no paper claims a share off it, and whoever gave one reads that nothing comes off."""
    draft.lines.filter(kind="part").delete()
    page = unescape(post(manager(), draft, discount_percent="5").content.decode())
    assert "Nothing comes off" in page
    document = document_of(Issue.objects.get())
    assert document.terms_words == "trade, to pay within 30 days"
    assert document.sums.total == Decimal("180.00")


def test_where_something_comes_off_no_page_says_nothing_does(draft):
    assert "Nothing comes off" not in post(manager(), draft, discount_percent="5").content.decode()


def test_nobody_without_terms_is_told_the_list_price_and_less(draft):
    """Who has no terms pays list price, or something off it: not both in one sentence."""
    Customer.objects.update(terms="")
    assert document_of(Issue.objects.get()).terms_words == "list price, due at pickup or shipping"
    give_discount(draft.pk, TWELVE, "oswin")
    said = document_of(Issue.objects.get()).terms_words
    assert said == "12.5 % off list, due at pickup or shipping"


@pytest.mark.parametrize("language", ["en", "es"])
def test_terms_do_not_run_into_the_title(draft, language):
    """However long they are, in either language: title and terms stand beside each other on the paper."""
    Customer.objects.update(terms="", language=language)
    give_discount(draft.pk, TWELVE, "oswin")
    document = replace(document_of(Issue.objects.get()), terms_words="in any words, " * 12)
    title, terms = [], []

    def drawn(text, _matrix, at, _font, size):
        if text.strip() and size == 14:
            title.append(
                (at[4], at[4] + pdfmetrics.stringWidth(text.strip(), fonts()[1], 14), at[5])
            )
        elif "in any words" in text:
            terms.append((at[4], at[5]))

    page = PdfReader(io.BytesIO(quote_pdf(document))).pages[0]
    page.extract_text(visitor_text=drawn)
    assert len(title) >= 1 and len(terms) >= 2
    assert min(x for x, _ in terms) > max(end for _, end, _ in title)
