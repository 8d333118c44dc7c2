"""A customer who reads Spanish meets no word of ours that the catalogue was not asked for."""

import re

import pytest
from django.test import Client

from ordering import events
from ordering.events.fields import sample_values
from ordering.events.telling import text_for
from ordering.links import page_of
from ordering.models import Notice
from ordering.notices import FOR_CUSTOMERS, filled
from quotes.desk.accepting import accept, ask_for_changes
from quotes.desk.posting import send_quote
from quotes.documents.content import from_plain
from quotes.documents.pdf import quote_pdf
from quotes.documents.workbook import quote_workbook
from quotes.letters.customer import (
    Said,
    lapsed_letter,
    priced_letter,
    refused_letter,
    stands_letter,
)
from quotes.links import address_of
from sizing.models import Revision
from sizing.wording import speaking
from tests.ordering.placed import FACTORY, load_shop, sent_order
from tests.quotes.shop import cottage_opening, issued_quote, part_opening
from tests.words.reader import data_words, in_page, in_pdf, in_workbook, outside, speaks_marks

pytestmark = pytest.mark.django_db
OWN = (
    "Mara Quill Kitchen Stairs state cart list price slate Tam the lower glass is longer extruder down"
    " jpg OL WS jamb liner medium strip Jo Marsh"
)


@pytest.fixture
def shop(monkeypatch):
    """Sizes and prices in force; Spanish marks each text it is asked for."""
    speaks_marks(monkeypatch)
    load_shop()
    return Revision.objects.get()


@pytest.fixture
def left(shop):
    """What of a text is in English and no data."""
    known = data_words(shop, OWN)
    return lambda text: sorted({word for word in outside(text) if word.lower() not in known})


def spanish(issue):
    assert issue.quote.customer.language == "es"
    assert issue.document["language"] == "es"
    return issue


def issued(*openings):
    return spanish(issued_quote(*openings, language="es"))


def path(address: str) -> str:
    return re.sub(r"^https?://[^/]+", "", address)


def visit(address: str, **posted) -> str:
    """The page as a browser in Spanish gets it, or what comes of posting to it."""
    client = Client(headers={"accept-language": "es-MX,es;q=0.9"})
    answer = client.post(address, posted, follow=True) if posted else client.get(address)
    return in_page(answer.content.decode())


def test_marks_are_seen():
    """Words outside the marks are found, those inside any number of marks are not."""
    assert outside("«Order «two» here» Forgotten 12 in «x»") == ["Forgotten", "in"]


def test_quote_page(left):
    """The page of a quote with a part and a special: open, tried, with a question, sent back, accepted."""
    issue = issued(part_opening(quantity=2), cottage_opening())
    page = path(address_of(issue))
    assert left(visit(page)) == []
    assert left(visit(page + "accept/", name="")) == []
    assert left(visit(page + "change/", name="Tam")) == []
    ask_for_changes(issue.pk, name="Tam", measures={}, words="12?", is_question=True)
    assert left(visit(page)) == []
    ask_for_changes(issue.pk, name="Tam", measures={}, words="the lower glass is longer")
    assert left(visit(page)) == []


def test_accepted_quote_page(left):
    """The page after acceptance."""
    issue = issued(part_opening())
    accept(issue.pk, name="Mara Quill", ticked=[s["name"] for s in issue.document["openings"]])
    assert left(visit(path(address_of(issue)))) == []


@pytest.mark.parametrize(
    "address",
    [
        "/your-quote/gone/", "/your-quote/gone/quote.pdf", "/o/gone/", "/o/gone/order.ics",
        "/measure/gone/", "/nothing/",
    ],
)  # fmt: skip
def test_gone_page(left, address):
    """An address that opens nothing, in the language the browser asks for."""
    assert left(visit(address)) == []


def test_too_large(left):
    """More than any page takes, sent to a page for everybody."""
    client = Client(headers={"accept-language": "es"})
    answer = client.post("/measure/otter-liner/", CONTENT_LENGTH=str(10**9))
    assert answer.status_code == 413
    assert left(in_page(answer.content.decode())) == []


def test_not_taken(left):
    """Sent to a page for everybody that only shows something."""
    answer = Client(headers={"accept-language": "es"}).put("/measure/otter-liner/")
    assert answer.status_code == 405
    # HTTP's own names are no English.
    assert left(in_page(answer.content.decode())) == ["GET", "POST", "PUT"]


def test_too_often(left, monkeypatch):
    """The measuring page used more often than it may be."""
    monkeypatch.setattr("quotes.views.measuring.MOST_CHECKS", 0)
    assert left(visit("/measure/otter-liner/", **{"m-opening": "47 7/8", "do": "check"})) == []


def test_quote_papers(left):
    """PDF and workbook of a quote."""
    document = from_plain(issued(part_opening(quantity=2), cottage_opening()).document)
    assert left(in_pdf(quote_pdf(document, "https://desk.example/x/"))) == []
    assert left(in_workbook(quote_workbook(document, "https://desk.example/x/"))) == []


def test_quote_letters(left):
    """The letters about a quote and about a special."""
    issue = issued(part_opening())
    letter = send_quote(issue.pk, "mara@quill.example", "ann")
    body = letter.body.replace("‹the page of this mail›", "")
    assert left(f"{letter.subject} {body}") == []
    document = from_plain(issue.document)
    with speaking("es"):
        for said in (
            stands_letter(document, Said(["3"], "12"), "12"),
            stands_letter(document, Said(["3"], ""), "12"),
            lapsed_letter(document, Said([], "12")),
            priced_letter("Mara", ("Tarnbrook",), [("12", "9.00 USD", "pair", "")], "00012"),
            priced_letter(
                "Mara",
                ("Tarnbrook",),
                [("12", "9.00 USD", "pair", "7"), ("3", "9", "piece", "")],
                "00012",
            ),
            refused_letter("Mara", ("Tarnbrook",), "12", ""),
        ):
            assert left(" ".join(said)) == []


MEASURES = [
    {},
    {"upper_glass": "20 1/4", "lower_glass": "20 1/4", "opening": "47 7/8"},
    {"upper_glass": "20 1/4", "lower_glass": "20 1/4", "opening": "44"},
    {"upper_glass": "24 3/8", "lower_glass": "24 1/2", "opening": "58 1/2"},
    {"upper_glass": "15 1/2", "lower_glass": "23 3/4", "opening": "46 5/8"},
    {"upper_glass": "2-6", "opening": "1/3", "sash_weight": "1 2 3"},
    {"upper_glass": "200", "lower_glass": "1", "opening": "x"},
]


@pytest.mark.parametrize("measures", MEASURES, ids=range(len(MEASURES)))
def test_measuring_page(left, measures):
    """The public measuring page, its check and its errors."""
    typed = {f"m-{code}": words for code, words in measures.items()}
    assert left(visit("/measure/otter-liner/")) == []
    assert left(visit("/measure/otter-liner/", do="check", **typed)) == []
    assert left(visit("/measure/otter-liner/", do="send", email="no", quantity="0", **typed)) == []


def test_measures_sent(left):
    """The page after sending, and the request that came of it reads Spanish."""
    sent = {"caller": "Mara Quill", "phone": "802", "m-opening": "47 7/8", "do": "send"}
    assert left(visit("/measure/otter-liner/", **sent)) == []


def test_measuring_sheet(left):
    """The measuring sheet to print."""
    answer = Client(headers={"accept-language": "es"}).get("/measure/otter-liner/sheet.pdf")
    assert left(in_pdf(answer.content)) == []


@pytest.fixture
def order(shop):
    order, sent = sent_order(cottage_opening(), part_opening(quantity=3), language="es")
    assert order.customer.language == "es"
    return order, sent


def test_order_page_mails_and_calendar(left, order):
    """Everything told of an order: its page, each mail it caused, its calendar file."""
    order, sent = order
    keys = [line.pk for line in sent.lines.all()]
    day = sent.sent_on.replace(year=sent.sent_on.year + 1)
    events.give_dates(sent.pk, dict.fromkeys(keys, day), FACTORY)
    page = path(page_of(order))
    assert left(visit(page)) == []
    for notice in Notice.objects.filter(event__order=order):
        body = notice.body.replace("‹the page of this mail›", "")
        assert left(f"{notice.subject} {body}") == []
        assert 'lang="es"' in notice.html
    calendar = Client().get(page + "order.ics").content.decode().replace("\r\n ", "")
    said = [li.partition(":")[2] for li in calendar.splitlines() if re.match("SUMM|DESC|X-WR", li)]
    assert said
    assert left(" ".join(said)) == []
    assert left(visit(page, kind="placed")) == []


@pytest.mark.parametrize("kind", FOR_CUSTOMERS)
def test_each_notice(left, kind):
    """The built-in words of every notice to customers."""
    with speaking("es"):
        values = sample_values() | {"reason": "", "link": ""}
        text = filled(text_for(kind, "es"), values)
    assert left(f"{text.subject} {text.body}") == []
