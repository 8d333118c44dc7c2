"""All that is held on a customer comes out as JSON and as a workbook, and nothing of anybody else."""

import io
import json

import pytest
from django.test import Client
from openpyxl import load_workbook

from quotes.models import Contact
from tests.ordering.erasable import OWN, customer, own_words_held
from tests.ordering.placed import placed_order, user

pytestmark = pytest.mark.usefixtures("built")


def build():
    made = customer()
    placed_order(caller="Mara Quill", email="mara@quill.example", phone="802 555 0199")
    return made


@pytest.fixture
def person(built):
    return built


def taken(person, kind: str) -> bytes:
    client = Client()
    client.force_login(user("max", "manager"))
    answer = client.get(f"/customers/{person.pk}/data/?as={kind}")
    assert (
        answer.headers["Content-Disposition"]
        == f'attachment; filename="customer-{person.pk}.{kind}"'
    )
    return answer.content


def test_json_holds_all_of_it(person):
    """Every text of the database that has a word of the customer's is in the file."""
    said = taken(person, "json").decode()
    sections = json.loads(said)
    for kind in (
        "customer",
        "requests",
        "issues of quotes",
        "letters",
        "orders",
        "history of orders",
        "notices",
    ):
        assert sections[kind], kind
    # Search words and causes are made of the rest; the tables of the queue hold numbers alone.
    left_out = ("scraps", "OrderWord", "cause")
    for place, text in own_words_held().items():
        if not place.endswith(left_out) and "OrderWord" not in place:
            held = text[:60] in said or json.dumps(text, ensure_ascii=False)[1:61] in said
            assert held or any(
                word in said.casefold() for word in OWN if word in text.casefold()
            ), place


def test_nobody_else_in_it(person):
    """Another customer's name, address and orders are not in it; nor is a key of any link."""
    said = taken(person, "json").decode()
    assert "Quill" not in said and "token_hash" not in said and "nonce" not in said


def test_workbook_says_the_same(person):
    """A sheet a section, a line a row; nothing in it is a formula."""
    Contact.objects.filter(customer=person).update(name="=HYPERLINK(1)")
    book = load_workbook(io.BytesIO(taken(person, "xlsx")))
    sections = json.loads(taken(person, "json"))
    assert {sheet.title: sheet.max_row - 1 for sheet in book} == {
        words: len(rows) for words, rows in sections.items()
    }
    kinds = {cell.data_type for sheet in book for row in sheet for cell in row if cell.value}
    assert kinds == {"s"}


def test_logged(person, caplog):
    """Who took it out stands in the log, by number."""
    with caplog.at_level("INFO", "desk.sign_ins"):
        taken(person, "json")
    (line,) = [r for r in caplog.records if "taken out" in r.message]
    assert line.facts["customer"] == person.pk
