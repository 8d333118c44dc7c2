"""The first page counts what waits and leads to where it is done; what is done is gone from it."""

import re
from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.utils import timezone

from ordering.events import give_dates
from ordering.lists.today import start_of_day
from ordering.sending import sweep
from quotes.desk.accepting import ask_for_changes
from quotes.desk.quoting import begin_quotes
from quotes.desk.requests import put_aside
from quotes.models import Issue, Letter, Request
from tests.ordering.placed import FACTORY, accepted_quote, load_shop, sent_order, user
from tests.quotes import specials
from tests.quotes.shop import cottage_opening, draft_quote, issued_quote, part_opening, take_request

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()


def page_of(role="owner"):
    client = Client()
    client.force_login(user("kay", role))
    return client.get("/").content.decode()


def counts(page):
    """{heading: count} of what waits."""
    found = re.findall(r'<span class="count number">(\d+)</span> ([^<]+)<', page)
    return {words.strip(): int(count) for count, words in found}


def test_call_without_a_quote():
    """A request without a quote is a call to finish; once it has a quote that waits to be sent."""
    request = take_request(part_opening())
    page = page_of()
    assert counts(page) == {"Calls to finish": 1}
    assert f'href="/requests/{request.pk}/"' in page
    begin_quotes(request.pk, "ann")
    assert counts(page_of()) == {"Quotes to send": 1}


def test_old_call():
    """A call of three weeks ago still waits, behind those of these days, until it is put aside."""
    old = take_request(part_opening(), caller="Una Brandt")
    Request.objects.update(created_at=timezone.now() - timedelta(days=21))
    take_request(part_opening(), caller="Otis Rand")
    page = page_of()
    assert counts(page) == {"Calls to finish": 2}
    assert page.index("Otis Rand") < page.index("Una Brandt")
    assert 'href="/requests/?stands=unquoted"' in page
    put_aside(old.pk, "kay")
    assert counts(page_of()) == {"Calls to finish": 1}


def test_special():
    """An opening that needs a special quote waits among the specials."""
    take_request(cottage_opening())
    assert counts(page_of("manager"))["Specials waiting"] == 1


def test_quote_that_lapses():
    """A quote counts from a week before its last day, until it is accepted, sent back or over."""
    issue = issued_quote()
    assert "Quotes lapsing" not in counts(page_of())
    with time_machine.travel(issue.valid_until - timedelta(days=6)):
        assert counts(page_of()) == {"Quotes lapsing": 1}
    with time_machine.travel(issue.valid_until + timedelta(days=2)):
        assert "Quotes lapsing" not in counts(page_of())
    ask_for_changes(issue.pk, name="Mara Quill", measures={}, words="other finish")
    with time_machine.travel(issue.valid_until - timedelta(days=6)):
        assert counts(page_of()) == {"Quotes asked about": 1}


def test_only_the_latest_issue_lapses():
    """An issue that a newer one has replaced is nobody's work any more."""
    issue = issued_quote()
    last = issue.valid_until
    Issue.objects.create(
        quote=issue.quote, number=2, issued_at=timezone.now(), valid_until=last + timedelta(days=90)
    )
    with time_machine.travel(last - timedelta(days=3)):
        assert "Quotes lapsing" not in counts(page_of())


def test_accepted_quote():
    """An accepted quote waits to be placed."""
    accepted_quote()
    assert counts(page_of("counter"))["Accepted, to be ordered"] == 1


def test_silent_factory_and_late_risk():
    """A factory that answers nothing is counted for manager and staff, who look at the watch list; so is what gets late."""
    sent_order()
    assert "Factories silent" not in counts(page_of("manager"))
    with time_machine.travel(timezone.now() + timedelta(days=12)):
        assert counts(page_of("manager"))["Factories silent"] == 1
        silent = start_of_day({"staff"})[-1]
        assert (silent.words, silent.count) == ("Factories silent", 1)
        assert {line.url for line in silent.lines} == {"/watch/"}
    with time_machine.travel(timezone.now() + timedelta(days=150)):
        assert counts(page_of("staff"))["Late risks"] == 1


def test_overdue_special_leads_to_the_overdue_specials():
    """What the heading counts stands on the list that it leads to, and nothing that is not overdue."""
    overdue = specials.asked(caller="Una Brandt")
    with time_machine.travel(timezone.now() + timedelta(days=30)):
        specials.asked(caller="Otis Rand")
        (heading,) = (h for h in start_of_day({"manager"}) if h.words.startswith("Answers on"))
        assert (heading.count, heading.lines[0].url) == (1, f"/specials/{overdue.special_id}/")
        assert "Factories silent" not in counts(page_of("manager"))
        client = Client()
        client.force_login(user("kay", "manager"))
        page = client.get(heading.url).content.decode()
        assert "Una Brandt" in page and "Otis Rand" not in page


def test_silent_factory_leads_to_its_order():
    """A day that a factory let go by is asked about on the factory order; staff may not open that."""
    order, sent = sent_order()
    day = timezone.localdate() + timedelta(days=5)
    give_dates(sent.pk, {line.pk: day for line in sent.lines.all()}, FACTORY)
    with time_machine.travel(timezone.now() + timedelta(days=20)):
        urls = {
            role: next(h for h in start_of_day({role}) if h.words == "Factories silent")
            .lines[0]
            .url
            for role in ("manager", "staff")
        }
    assert urls == {"manager": f"/factory-orders/{sent.pk}/", "staff": f"/orders/{order.pk}/"}


def test_nothing_waits():
    """With nothing to do the page says so, and of what."""
    page = page_of("staff")
    assert counts(page) == {}
    assert "Nothing waits under: Late risks; Customers to call; Factories silent." in page


def test_many_are_counted_in_full():
    """The count is of all of them, though only the first are named."""
    for _ in range(7):
        draft_quote(part_opening())
    page = page_of("counter")
    assert counts(page)["Quotes to send"] == 7
    # A sequence of PostgreSQL goes on from test to test, so the numbers themselves are not known.
    assert len(re.findall(r"Quote \d{5}", page)) == 4


def test_a_special_that_waits_for_us_is_counted_beside_those_with_the_factory():
    """Five are with the factory for days; the answer that came today still needs its price."""
    for number in range(5):
        specials.asked(caller=f"Una {number}")
    specials.answered({"caller": "Otis Rand"})
    (heading,) = (h for h in start_of_day({"manager"}) if h.words == "Specials waiting")
    assert (heading.count, heading.beside) == (1, "5 at the factory")
    assert [line.words.partition(":")[0] for line in heading.lines] == ["Otis Rand"]
    assert 'Specials waiting <span class="beside">5 at the factory</span></a>' in page_of("manager")


def test_specials_that_are_all_with_the_factory_wait_for_nobody():
    """They are counted where nothing waits."""
    specials.asked(caller="Una Brandt")
    page = page_of("manager")
    assert counts(page) == {}
    assert "Specials waiting (1 at the factory)" in page


def test_mail_that_no_worker_takes_up():
    """Ten minutes after a mail was written and never tried the first page says that no worker runs; one that
    was tried, or is on its way, is no such sign."""
    sent_order()
    assert "Mail stands still" not in page_of()
    with time_machine.travel(timezone.now() + timedelta(minutes=11)):
        page = page_of("staff")
        assert "Mail stands still" in page and "manage.py work" in page
        sweep()
        Letter.objects.update(sent_at=timezone.now())
        assert "Mail stands still" not in page_of("staff")
