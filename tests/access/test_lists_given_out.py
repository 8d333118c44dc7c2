"""Every list of every page can be taken along as CSV and as a workbook by whoever may see it, and nobody else."""

import csv
import io
import re
from operator import attrgetter

import pytest
from django.db import transaction
from django.test import Client
from django.urls import reverse
from openpyxl import load_workbook

from config.access import RULES
from tests.access.shop import PEOPLE
from tests.access.test_who_may_open_what import ADDRESSES

# Pages that show a list; a page that gets one and is not here fails the first test.
PAGES = (
    "customers", "factory-orders", "notice-texts", "orders", "prices",
    "programs", "quotes", "record", "requests", "schedule", "schedules", "send-to-factories", "size-table",
    "size-tables", "specials", "staff", "watch", "when",
)  # fmt: skip


def address(name, arguments):
    words = "?q=Mara" if name == "when" else ""
    return reverse(name, args=arguments.get(name, [])) + words


def as_file(page, kind: str) -> str:
    return f"{page}{'&' if '?' in page else '?'}as={kind}"


@pytest.fixture
def owner(built, db):
    client = Client()
    client.force_login(built[0]["owner"])
    mark = transaction.savepoint()
    yield client
    transaction.savepoint_rollback(mark)


def lists_of(owner, name, arguments):
    page = owner.get(address(name, arguments))
    return page, (page.context or {}).get("lists") or {}


# The API's own addresses answer programs; signing out and setting up show no page of the desk.
DESK = sorted(
    n for n in ADDRESSES
    if n in RULES and RULES[n].read and ":" not in n and n not in ("sign-out", "setup")
)  # fmt: skip


@pytest.mark.parametrize("name", DESK)
def test_no_list_forgotten(name, owner, built):
    """A page with a list is one of those that are given out, and one of those shows a list."""
    page = owner.get(address(name, built[1]))
    has_list = bool(getattr(page, "context", None) and "lists" in page.context)
    assert has_list == (name in PAGES)


@pytest.mark.parametrize("name", PAGES)
def test_files_say_what_the_page_says(name, owner, built):
    """Each list's files have its own headings and every row; the page's headings are among them."""
    page, lists = lists_of(owner, name, built[1])
    assert lists
    for shown in lists.values():
        heads = [column.words for column in shown.listing.columns if column.filed]
        address_of = address(name, built[1]).split("?")[0]
        text = b"".join(owner.get(address_of + shown.csv).streaming_content).decode("utf-8-sig")
        rows = list(csv.reader(io.StringIO(text)))
        got = owner.get(address_of + shown.xlsx)
        (sheet,) = load_workbook(io.BytesIO(b"".join(got.streaming_content))).worksheets
        assert rows[0] == heads == [cell.value for cell in sheet[1]]
        if name != "when":
            assert len(rows) - 1 == shown.count == sheet.max_row - 1
        if shown.count and name not in ("schedule", "size-table", "send-to-factories", "when"):
            for column in filter(attrgetter("shown"), shown.listing.columns):
                assert re.search(rf"<th[^>]*>{re.escape(column.words)}</th>", page.text), (
                    column.words
                )
        assert re.search(r"\d{4}-\d\d-\d\d\.xlsx", got["Content-Disposition"])


@pytest.mark.parametrize("name", PAGES)
def test_roles_of_a_file_are_those_of_its_list(name, built, db):
    """Who may not open a list gets no file of it either, and who may gets it."""
    people, arguments = built
    page = address(name, arguments)
    for who in PEOPLE:
        client = Client()
        if people[who]:
            client.force_login(people[who])
        asked = (page, as_file(page, "csv"), as_file(page, "xlsx"))
        assert len({client.get(one).status_code for one in asked}) == 1, who


def test_what_nobody_can_read_is_said(owner):
    """A day in an address that is no day gives the page with a sentence, not a file of something else."""
    page = owner.get("/requests/?since=soon&as=csv")
    assert page.status_code == 422
    assert "Taken from: “soon” is no day; type it like 2031-05-14." in page.text
