"""A customer is erased: every word of theirs is gone, the books still agree to the cent."""

import re
from datetime import timedelta
from importlib import import_module

import pytest
from django.apps import apps
from django.db import connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from ordering.events import ErasingError, cancel, erase_customer, give_dates, say, send_to_factories
from ordering.events.erasing import forget_old, known_erasures
from ordering.links import page_of
from ordering.models import Event, Notice, OrderLine
from ordering.sending import sweep
from ordering.verifying import findings
from quotes.desk import posting
from quotes.documents.content import TO_MAKE, from_plain
from quotes.links import address_of
from quotes.models import Customer, Erasure, Issue, Letter
from quotes.triples import SEARCHED, table_of
from tests.faults.fresh import ENGINE
from tests.ordering.erasable import customer, order_of, own_words_held
from tests.ordering.placed import CLERK, FACTORY, placed_order, user

pytestmark = pytest.mark.usefixtures("built")


build = customer


@pytest.fixture
def person(built):
    return built


def books(person) -> dict:
    """What has to be the same before and after."""
    issue = Issue.objects.get(quote__customer=person)
    document = from_plain(issue.document)
    amounts = [
        (
            line.number,
            line.part_number,
            line.quantity,
            line.unit_price,
            line.net,
            line.tax,
            line.total,
        )
        for line in document.lines
    ]
    sizes = [[m.understood for m in sheet.measures] for sheet in document.openings]
    order = order_of(person)
    return {
        "number": (document.number, document.issue, document.issued_on, document.valid_until),
        "sums": document.sums,
        "tax": (document.tax_words, document.freight_words),
        "lines": amounts,
        "sizes": sizes,
        "order": (order.number, order.total, order.placed_on, order.version, order.town),
        "events": list(Event.objects.filter(order=order).values_list("number", "act", "on", "by", "pieces")),
        "parts": list(OrderLine.objects.filter(order=order).values_list("number", "part", "quantity")),
    }  # fmt: skip


def test_words_are_gone(person):
    """No column of the whole database holds the name, a number, an address, a note or a typed word."""
    assert len(own_words_held()) > 20
    erase_customer(person.pk, "max")
    assert own_words_held() == {}


def triples_held() -> set[bytes]:
    """Of a few triples of the name, those that SQLite's indexes hold in any form."""
    parts = b""
    for model in SEARCHED:
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT block FROM {table_of(model)}_data")  # noqa: S608
            parts += b" ".join(bytes(block) for (block,) in cursor.fetchall())
    return {part for part in (b"tzb", b"zbe", b"rtz", b"bec") if part in parts}


@pytest.mark.skipif(ENGINE != "sqlite", reason="PostgreSQL's vacuum takes out what is gone")
def test_the_indexes_of_letters_forget(person):
    """An index that only notes that a name is gone holds its letters still: the night's work takes them out."""
    erase_customer(person.pk, "max")
    assert triples_held()
    forget_old()
    assert triples_held() == set()


def test_who_was_erased_before_is_gone_from_the_english_too(person):
    """An upgrade takes out what an older version has left in what the factory reads."""
    issue = Issue.objects.get(quote__customer=person)
    left = issue.document[TO_MAKE]
    assert "Attic" in left[0]["name"]
    erase_customer(person.pk, "ida")
    Issue.objects.filter(pk=issue.pk).update(document=issue.document)
    import_module("quotes.migrations.0028_nobody_in_english_either").erase(apps, None)
    issue.refresh_from_db()
    now = issue.document[TO_MAKE]
    assert [sheet["name"] for sheet in now] == ["Opening 1", "Opening 2"]
    assert {measure["said"] for sheet in now for measure in sheet["measures"]} == {""}


def test_words_of_mails_sent_are_gone(person):
    """What was sent keeps its date, and neither its reader nor its words."""
    sweep(), posting.sweep()
    erase_customer(person.pk, "max")
    assert own_words_held() == {}
    sent = Letter.objects.filter(issue__quote__customer=person)
    assert sent and not sent.exclude(body="").exists() and not sent.filter(sent_at=None).exists()


def test_what_a_factory_said_of_several_orders_names_nobody(person):
    """Its words stand in the history of another's order, too, in mail about that, and in the desk's."""
    theirs = placed_order(caller="Zebulon Quartzbeck", email="zeb@quartzbeck.example")
    other = placed_order(caller="Ida Lorne", email="ida@lorne.example")
    lines = [order.lines.get().pk for order in (theirs, other)]
    (sent,) = send_to_factories(lines, CLERK)
    say(sent.pk, "Is it Mr Quartzbeck who waits?", FACTORY)
    for ahead in (40, 50):
        day = timezone.localdate() + timedelta(days=ahead)
        give_dates(sent.pk, dict.fromkeys(lines, day), FACTORY, "Quartzbeck comes first")
    posting.sweep()
    cancel(theirs.pk, [1], "no", CLERK, tells=False)
    erase_customer(person.pk, "max")
    kept = set(Event.objects.filter(order=other).exclude(why="").values_list("why", flat=True))
    assert kept == {"Is it Mr … who waits?", "… comes first"}
    assert "Is it Mr … who waits?" in Letter.objects.get(cause__startswith="said of ").body
    assert own_words_held() == {}
    assert list(findings()) == []


def test_books_stay(person):
    """Numbers, dates, parts, prices, taxes and totals of the frozen quote and the order stay to the cent."""
    before = books(person)
    erase_customer(person.pk, "max")
    assert books(person) == before


def test_books_still_agree(person):
    """Verifying finds nothing, before and after."""
    assert list(findings()) == []
    erase_customer(person.pk, "max")
    assert list(findings()) == []


def test_links_are_dead(person):
    """Whoever kept a link of the quote or the order opens nothing with it."""
    kept = [address_of(Issue.objects.get(quote__customer=person)), page_of(order_of(person))]
    paths = [page.removeprefix("http://127.0.0.1:8000") for page in kept]
    assert {Client().get(path).status_code for path in paths} == {200}
    erase_customer(person.pk, "max")
    assert {Client().get(path).status_code for path in paths} <= {404, 410}


def test_nothing_is_sent_any_more(person, mailoutbox):
    """What still waited to be sent never is; nobody is asked to call."""
    erase_customer(person.pk, "max")
    sweep(), posting.sweep()
    assert [mail.to for mail in mailoutbox if mail.to != ["orders@otterhollow.example"]] == []
    assert not Notice.objects.filter(event__order__customer=person, sent_at=None).exists()


def test_a_factory_is_still_asked_to_stop(person, mailoutbox):
    """What it was sent is cancelled, whoever ordered it; the mail says nothing of them."""
    erase_customer(person.pk, "max")
    sweep()
    (stop,) = [mail for mail in mailoutbox if "do not make" in mail.subject]
    assert stop.to == ["orders@otterhollow.example"]
    assert not re.search("zeb|quartz|tealwood", stop.body, re.IGNORECASE)


def test_the_list_asks_no_more_for_more_erasures(person, django_assert_num_queries):
    """Each erasing writes the whole list anew: it is read at once, with whoever was merged into each."""
    gone = set()
    for name in ("Ida Lorne", "Una Fell", "Bea Lund"):
        kept = Customer.objects.create(name=name)
        gone |= {kept.pk, Customer.objects.create(name=name, merged_into=kept).pk}
        erase_customer(kept.pk, "max")
    with django_assert_num_queries(3):
        assert gone <= set(known_erasures())


def test_who_and_when_are_kept(person):
    """One erasure with who and when, however often it is pressed."""
    first = erase_customer(person.pk, "max")
    assert erase_customer(person.pk, "ann") == first == Erasure.objects.get()
    assert (first.by, first.at is not None) == ("max", True)


def test_others_are_untouched(person):
    """Another customer of the same name's beginning keeps every word."""
    other = placed_order(
        caller="Zeb Marsh", email="zeb@marsh.example", phone="802 555 0199"
    ).customer
    erase_customer(person.pk, "max")
    other.refresh_from_db()
    document = from_plain(Issue.objects.get(quote__customer=other).document)
    assert document.customer[0] == other.name == "Zeb Marsh"
    assert order_of(other).email == "zeb@marsh.example"


def test_not_while_an_order_is_open():
    """A customer to whom something is still owed is not erased, and the sentence says what."""
    order = placed_order()
    with pytest.raises(ErasingError, match=rf"{order} is still open"):
        erase_customer(order.customer_id, "max")
    assert order.customer.name == "Mara Quill"


PAGES = ("customer", "customer-data", "quote", "order", "quote-paper", "quote-sheet", "request")


@pytest.mark.parametrize("name", PAGES)
def test_pages_still_open(name, person):
    """Every page and paper of what stays still opens, and shows nobody."""
    erase_customer(person.pk, "max")
    issue, order = Issue.objects.get(quote__customer=person), order_of(person)
    key = {
        "customer": person, "customer-data": person, "quote": issue.quote, "order": order,
        "quote-paper": issue, "quote-sheet": issue, "request": issue.quote.request,
    }[name]  # fmt: skip
    client = Client()
    client.force_login(user("max", "manager"))
    page = client.get(reverse(name, args=[key.pk]))
    assert page.status_code == 200
    assert b"Quartzbeck" not in page.content


def test_page_asks_whether_sure(person):
    """The page says what goes and what stays, and erases only once it was ticked."""
    client = Client()
    client.force_login(user("max", "manager"))
    page = client.get(f"/customers/{person.pk}/data/").content.decode()
    assert "What goes, for good" in page and "What stays, for the books" in page
    client.post(f"/customers/{person.pk}/erase/")
    assert not Erasure.objects.exists()
    client.post(f"/customers/{person.pk}/erase/", {"sure": "yes"})
    assert Erasure.objects.get().by == "max"
