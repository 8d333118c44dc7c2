"""The demo's customer who reads Spanish meets no English: on page, paper, mail, in the calendar, of any family."""

import re
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import transaction
from django.test import Client

from fixtures.quotes import SPANISH
from ordering.links import page_of
from ordering.models import Notice, Order
from quotes.documents.content import from_plain
from quotes.documents.naming import describe_part
from quotes.documents.pdf import quote_pdf
from quotes.documents.workbook import quote_workbook
from quotes.links import address_of
from quotes.models import Issue, Letter
from sizing import lookup
from sizing.models import Family, Part
from sizing.wording import speaking
from tests.words.reader import SAME, in_page, in_pdf, in_workbook, outside, speaks_marks

pytestmark = pytest.mark.django_db
FAMILIES = ["otter-liner", "heron-balance", "heron-strip"]
# Names and places, and what she typed herself.
NAMES = "Inés Robledo ines robledo Tarnbrook Sash Parts Otter Hollow Grey Heron Weir Lane VT Cocina Escalera Gracias por consultarnos"


class _Done(Exception):
    """Ends the transaction that the demo was loaded in."""


@pytest.fixture(scope="module", autouse=True)
def demo(django_db_setup, django_db_blocker):
    """The demo as it is loaded with a Spanish that marks each text it is asked for."""
    with pytest.MonkeyPatch.context() as patch, django_db_blocker.unblock():
        speaks_marks(patch)
        try:
            with transaction.atomic():
                call_command("demo", "--without-people", stdout=StringIO())
                yield
                raise _Done
        except _Done:
            pass


def english(text: str) -> list[str]:
    """What of a text is neither asked of the catalogue nor said by a table in Spanish nor a name."""
    said = [
        NAMES,
        *Part.objects.values_list("part_number", flat=True),
        *(
            w
            for f in Family.objects.all()
            for _, _, w in lookup.table_of(lookup.in_force(f.code)).words
        ),
    ]
    known = SAME | {w.lower() for t in said for w in re.findall(r"[^\W\d_]{2,}", t or "")}
    text = text.replace("‹the page of this mail›", "")
    return sorted({word for word in outside(text) if word.lower() not in known})


def visit(address: str, **posted) -> str:
    client = Client(headers={"accept-language": "es"})
    path = re.sub(r"^https?://[^/]+", "", address)
    return in_page((client.post(path, posted) if posted else client.get(path)).content.decode())


def issues() -> list[Issue]:
    found = list(Issue.objects.filter(quote__customer__name=SPANISH[0]).exclude(document=None))
    assert found
    return found


def test_quotes():
    """Each of her quotes as page, PDF and workbook."""
    for issue in issues():
        link, document = address_of(issue), from_plain(issue.document)
        assert english(visit(link)) == [], issue
        assert english(in_pdf(quote_pdf(document, link))) == []
        assert english(in_workbook(quote_workbook(document, link))) == []


def test_orders():
    """Each of her orders as page and calendar."""
    orders = Order.objects.filter(customer__name=SPANISH[0])
    assert orders
    for order in orders:
        page = page_of(order)
        assert english(visit(page)) == []
        calendar = visit(page + "order.ics").replace("\r\n ", "")
        said = re.findall(r"^(?:SUMM|DESC|X-WR)[^:]*:(.*)$", calendar, re.MULTILINE)
        assert said
        assert english(" ".join(said)) == []


def test_mails():
    """Each letter and notice to her."""
    sent = [
        *Letter.objects.filter(to=SPANISH[2]),
        *Notice.objects.filter(event__order__customer__name=SPANISH[0]),
    ]
    assert sent
    for mail in sent:
        assert english(f"{mail.subject} {mail.body}") == []


MEASURES = {
    "otter-liner": {"upper_glass": "20 1/4", "lower_glass": "20 1/4", "opening": "46"},
    "heron-balance": {"sash_height": "738", "channel": "708", "sash_weight": "6 kg"},
    "heron-strip": {"length": "700"},
}


@pytest.mark.parametrize("code", FAMILIES)
def test_measuring(code):
    """A family's measuring page, blank and checked, and its sheet on paper."""
    page = f"/measure-es/{code}/"
    typed = {f"m-{measure}": words for measure, words in MEASURES[code].items()}
    assert english(visit(page)) == []
    assert english(visit(page, do="check", **typed)) == []
    assert english(visit(page, do="send", **typed)) == []
    assert english(in_pdf(Client().get(f"{page}sheet.pdf").content)) == []


def test_every_part_is_described():
    """Each family's part with its weight class and finish."""
    parts = {
        (p.revision_id, p.weight_class, p.finish): p for p in Part.objects.exclude(part_number=None)
    }
    assert len(parts) > 8
    with speaking("es"):
        for part in parts.values():
            assert english(f"«» {describe_part(part)}") == []
