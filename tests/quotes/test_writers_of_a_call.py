"""Two write of one call: the second waits for the first, and each word is kept or its writer told."""

import threading
from dataclasses import replace
from datetime import timedelta

import pytest
from django.db import connection
from django.utils import timezone

from ordering.events import (
    erase_customer,
)
from quotes.desk.drafts import discard_draft
from quotes.desk.erasing import forget_old
from quotes.desk.people import known_customer, merge_customers, save_customer
from quotes.desk.quoting import begin_quotes
from quotes.desk.requests import put_aside, save_request, take_up
from quotes.desk.schedules import correct_line, make_request, take_in
from quotes.desk.specials import flag
from quotes.lists.requests import said_of
from quotes.models import (
    Contact,
    Customer,
    Quote,
    Request,
    Schedule,
    ScheduleLine,
    Special,
)
from quotes.said import SaidRequest
from quotes.worklist import changed_since, hidden, settle
from sizing.lookup import in_force
from tests.ordering.meeting import TWO_AT_ONCE, meet
from tests.ordering.placed import (
    accepted_quote,
    load_shop,
)
from tests.quotes.sheets import GOOD, HEADINGS, grid
from tests.quotes.shop import draft_quote, part_opening, take_request

pytestmark = TWO_AT_ONCE


@pytest.fixture
def shop():
    load_shop()


def test_erasing_meets_a_call(shop, settings, tmp_path):
    """A customer is erased while the counter's page saves what it holds of their call."""
    settings.VAR_DIR = tmp_path
    quote = accepted_quote()
    request = Request.objects.get(pk=quote.request_id)
    said = said_of(request)
    meet(
        request,
        lambda: erase_customer(quote.customer_id, "max"),
        lambda: save_request(said, by="ann", pk=request.pk, version=request.version),
    )
    assert Request.objects.get(pk=request.pk).caller == "Erased customer"


def test_merging_meets_a_call(shop):
    """Two customers are merged while one of them is on the phone and says which language they read."""
    gone, kept = (Customer.objects.create(name=name) for name in ("Mara Quill", "Ida Lorne"))
    request = take_request()
    Request.objects.update(customer=gone, customer_chosen_by="ann")
    said = SaidRequest(caller="Mara Quill", language="es", openings=())
    meet(
        gone,
        lambda: merge_customers(kept.pk, gone.pk, "max"),
        lambda: save_request(said, by="ann", pk=request.pk, version=request.version),
    )
    assert Request.objects.get(pk=request.pk).customer == kept


def test_forgetting_old_calls_meets_the_counter(shop):
    """A call that nobody has touched for years is taken up again as it is about to be erased."""
    request = take_request(part_opening())
    Request.objects.update(changed_at=timezone.now() - timedelta(days=3000))
    said = replace(said_of(request), note="rings back")
    meet(
        request,
        lambda: save_request(said, by="ann", pk=request.pk, version=request.version),
        lambda: forget_old(timezone.now() - timedelta(days=1000)),
    )
    now = Request.objects.get()
    assert (now.note, now.openings.count()) == ("rings back", 1)


def test_the_nights_look_at_marks_meets_a_call_taken_up(shop):
    """A call that was put aside, with a mark too many, is taken up again as the marks are looked through."""
    request = take_request(caller="Mara Quill")
    put_aside(request.pk, "ann")
    Request.objects.update(waits=True)
    meet(request, lambda: take_up(request.pk), settle)
    assert list(hidden()) == []
    assert Request.objects.get().waits


def test_discarding_meets_beginning(shop):
    """A draft is put away while its request is quoted again."""
    quote = draft_quote().quote
    meet(
        quote,
        lambda: discard_draft(quote.issues.get().pk),
        lambda: begin_quotes(quote.request_id, "ann"),
    )
    assert Quote.objects.get().request_id == quote.request_id


def test_merging_comes_between_a_new_call_and_its_quote(shop, monkeypatch):
    """Two customers are merged in the moment in which a call is stored as that of the one who goes."""
    kept = Customer.objects.create(name="Ida Lorne")
    gone = save_customer(Customer(name="Mara Quill"), [Contact(email="mara@quill.example")])

    def known(request: Request) -> Customer | None:
        found = known_customer(request)
        merging = threading.Thread(target=merge)
        merging.start()
        merging.join(30)
        return found

    def merge() -> None:
        try:
            merge_customers(kept.pk, gone.pk, "max")
        finally:
            connection.close()

    monkeypatch.setattr("quotes.desk.requests.known_customer", known)
    request = take_request(part_opening(), caller="Mara Quill", email="mara@quill.example")
    (quote,) = begin_quotes(request.pk, "ann")
    assert quote.customer == kept == Request.objects.get().customer


def test_flagging_meets_the_counter(shop):
    """An opening is flagged while the counter's page stores what was measured anew."""
    request = take_request(part_opening())
    said = said_of(request)
    (opening,) = said.openings
    measured = replace(opening, measures={**opening.measures, "opening": "48 7/8"})
    meet(
        request,
        lambda: save_request(
            replace(said, openings=(measured,)), by="ann", pk=request.pk, version=request.version
        ),
        lambda: flag(request.openings.get().pk, by="ann", words="a notch in the sill"),
    )
    special = Special.objects.get()
    assert special.said["measures"]["opening"] == "48 7/8" and not changed_since(special)


def scheduled() -> tuple[Request, ScheduleLine]:
    """A request that was made of a window schedule of one line, and the line."""
    schedule = take_in(grid(HEADINGS, GOOD), "s.xlsx", in_force("otter-liner"), by="ann")
    return make_request(schedule.pk, by="ann"), schedule.lines.get()


def corrected(line: ScheduleLine) -> ScheduleLine:
    return correct_line(line.pk, {**line.cells, "label": "Hall"}, [], left_out=False, by="bea")


@pytest.mark.parametrize("saved_first", [True, False])
def test_a_schedules_line_meets_the_counter(shop, saved_first):
    """A line is corrected on the schedule's page while the counter's saves the request that was made of it: the
    counter's finds that it was changed, or the line's words are the last."""
    request, line = scheduled()
    said = replace(said_of(request), note="rings back")
    acts = [
        lambda: save_request(said, by="ann", pk=request.pk, version=request.version),
        lambda: corrected(line),
    ]
    meet(request, *(acts if saved_first else reversed(acts)))
    now = Request.objects.get(pk=request.pk)
    assert now.openings.get().label == "Hall"
    assert "\nhall\n" in now.scraps and ("rings back" in now.scraps) == saved_first
    assert ("rings back" in now.note, now.version) == (
        saved_first,
        request.version + 1 + saved_first,
    )


def test_erasing_meets_a_schedules_line(shop, settings, tmp_path):
    """A customer is erased while a line of the schedule that they sent is corrected."""
    settings.VAR_DIR = tmp_path
    request, line = scheduled()
    customer = Customer.objects.create(name="Mara Quill")
    Request.objects.update(customer=customer)
    quote = Quote.objects.create(request=request, customer=customer, currency="USD", taken_by="ann")
    meet(quote, lambda: erase_customer(customer.pk, "max"), lambda: corrected(line))
    assert not Schedule.objects.exists()
    assert Request.objects.get(pk=request.pk).openings.get().label == ""
