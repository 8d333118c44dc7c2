"""What somebody typed never becomes a formula in a workbook that the desk gives out."""

import io
import re
import zipfile

import pytest
from django.test import Client
from django.urls import reverse
from openpyxl import load_workbook

from ordering.models import Order, OrderLine
from quotes.desk.schedules import take_in
from quotes.links import token_of
from quotes.models import Issue
from quotes.schedule import template_bytes
from sizing import lookup
from sizing.models import Family, Revision
from tests.access import shop
from tests.ordering.placed import (
    CLERK,
    accepted_quote,
    load_shop,
    place_from_quote,
    send_to_factories,
)
from tests.quotes.shop import part_opening

HOSTILE = (
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(A1)",
    "\t=1+1",
    '=HYPERLINK("http://evil.example")',
    "|calc",
)
EXPORTS = (
    "quote-sheet", "quote-public-xlsx", "schedule-workbook", "schedule-template",
    "size-table-workbook", "size-table-example-workbook", "factory-order-paper", "customer-data",
)  # fmt: skip
# Where a page's own address gives a workbook by what stands behind it; lists are tried in tests/sizing.
ASKED = {"customer-data": "?as=xlsx"}


def cells_of(content: bytes):
    return [
        cell
        for sheet in load_workbook(io.BytesIO(content))
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    ]


def hostile_schedule():
    """A schedule whose sender typed formulas wherever words may stand, as text and in earnest."""
    revision = Revision.objects.filter(in_force_from__isnull=False).get()
    book = load_workbook(io.BytesIO(template_bytes(lookup.table_of(revision))))
    sheet = book.active
    row = max(cell.row for cell in cells_of(template_bytes(lookup.table_of(revision)))[:60]) + 1
    for at, words in enumerate(HOSTILE):
        sheet.cell(row + at, 1).value = words
        sheet.cell(row + at, 1).data_type = "s"
    out = io.BytesIO()
    book.save(out)
    return take_in(out.getvalue(), "=1+1.xlsx", revision, by="ann")


@pytest.fixture
def exported(db):
    """{address name: what is downloaded there} of a shop in which every word begins like a formula."""
    load_shop()
    owner = shop.people()["owner"]
    client = Client()
    client.force_login(owner)
    openings = [part_opening(label=words.strip()) for words in HOSTILE]
    quote = accepted_quote(*openings, hand=True, caller=HOSTILE[0])
    issue = Issue.objects.get(quote=quote)
    order = place_from_quote(quote.pk, CLERK)
    Order.objects.filter(pk=order.pk).update(note=HOSTILE[1])
    OrderLine.objects.update(description=HOSTILE[5])
    (sent,) = send_to_factories(
        [line.pk for line in order.lines.exclude(factory=None)], CLERK, HOSTILE[2]
    )
    schedule = hostile_schedule()
    revision = Revision.objects.filter(in_force_from__isnull=False).get()
    ways = {
        "quote-sheet": [issue.pk],
        "quote-public-xlsx": [token_of(issue.link.nonce)],
        "schedule-workbook": [schedule.pk],
        "schedule-template": [Family.objects.get().code],
        "size-table-workbook": [revision.pk],
        "size-table-example-workbook": [],
        "factory-order-paper": [sent.pk, "xlsx"],
        "customer-data": [order.customer_id],
    }
    return {
        name: client.get(reverse(name, args=ways.get(name, [])) + ASKED.get(name, ""))
        for name in EXPORTS
    }


def test_no_formula(exported):
    """No cell of any workbook is a formula, in openpyxl's reading and in the file's own XML."""
    for name, page in exported.items():
        assert page.status_code == 200, name
        assert [c.coordinate for c in cells_of(page.content) if c.data_type == "f"] == [], name
        with zipfile.ZipFile(io.BytesIO(page.content)) as book:
            for member in book.namelist():
                if member.startswith("xl/worksheets/sheet"):
                    assert not re.search(rb"<f[ >]", book.read(member)), (name, member)


def test_hostile_words_arrive(exported):
    """The words themselves are there, as words: the check above has something to find."""
    for name in (
        "quote-sheet", "quote-public-xlsx", "schedule-workbook", "factory-order-paper", "customer-data",
    ):  # fmt: skip
        words = " ".join(str(cell.value) for cell in cells_of(exported[name].content))
        assert any(hostile in words for hostile in HOSTILE), name
