"""Who is asked for a deposit reads how to pay it: in the shop's own words, wherever the amount is asked for."""

from io import BytesIO

import openpyxl
import pytest
from django.contrib.auth.models import Group
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from ordering.events import place_from_quote, take_deposit
from ordering.links import page_of
from quotes.desk.accepting import accept
from quotes.desk.issuing import issue_quote
from quotes.desk.posting import send_quote
from quotes.desk.shop import keep_shop
from quotes.documents.pdf import quote_pdf
from quotes.documents.workbook import quote_workbook
from quotes.links import address_of
from quotes.lists.issues import document_of
from quotes.models import Customer, Letter
from tests.ordering.placed import CLERK
from tests.quotes import shop
from tests.quotes.conftest import clerk_named

pytestmark = pytest.mark.django_db
WORDS = "By cheque to Tarnbrook Sash Parts,\nor by card at the counter."


@pytest.fixture
def issue():
    shop.set_up()
    keep_shop({"name": "Tarnbrook", "how_to_pay": WORDS})
    draft = shop.draft_quote()
    Customer.objects.update(terms="trade")
    return issue_quote(draft.pk, "ann")


def shown(address):
    return Client().get("/" + address.split("/", 3)[3]).text


def test_it_stands_on_page_and_papers(issue):
    """As typed, line by line."""
    document = document_of(issue)
    paper = " ".join(p.extract_text() for p in PdfReader(BytesIO(quote_pdf(document))).pages)
    rows = openpyxl.load_workbook(BytesIO(quote_workbook(document))).worksheets[0].values
    assert "By cheque to Tarnbrook Sash Parts,<br>or by card" in shown(address_of(issue))
    assert "or by card at the counter." in paper
    assert any("or by card at the counter." in str(cell) for row in rows for cell in row)


def test_the_mail_that_confirms_says_it_and_the_order_until_it_is_paid(issue):
    """The deposit's amount with how to pay it; the order's page has it as long as something is to pay."""
    send_quote(issue.pk, "mara@quill.example", "ann")
    names = [sheet["name"] for sheet in issue.document["openings"]]
    accept(issue.pk, name="Mara", ticked=names)
    body = Letter.objects.latest("pk").body
    assert f"due now.\n{WORDS}\n" in body
    order = place_from_quote(issue.quote_id, CLERK)
    assert "or by card at the counter." in shown(page_of(order))
    take_deposit(order.pk, order.total, "cash", CLERK)
    assert "or by card at the counter." not in shown(page_of(order))


def test_the_owner_types_it(client):
    """On the page of the shop, beside its address."""
    keep_shop({"name": "Tarnbrook"})
    ida = clerk_named("ida")
    ida.groups.add(Group.objects.create(name="owner"))
    client.force_login(ida)
    page = client.get(reverse("shop"))
    form = page.context["form"]
    data = {name: form[name].value() or "" for name in form.fields} | {"how_to_pay": WORDS}
    assert client.post(reverse("shop"), data).status_code == 302
    assert WORDS.splitlines()[0] in client.get(reverse("shop")).text
