"""Two writers meet on rows that both need: the second waits for the first, and neither is broken off.

A third connection holds the row for which both wait first, so that each has what it takes before that.
"""

import threading
import time
from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.db import connection, transaction
from django.utils import timezone

from ordering.events import (
    ErasingError,
    HandLine,
    PlacingError,
    acknowledge,
    cancel,
    erase_customer,
    place_by_hand,
    place_from_quote,
    say,
    send_to_factories,
    shipped,
)
from ordering.fits import fit_the_stale
from ordering.models import Order, OrderLine
from ordering.states import Act, NotAllowed
from quotes.desk.accepting import NotOpenError, accept
from quotes.desk.drafts import QuoteError, discard_draft
from quotes.desk.erasing import forget_old
from quotes.desk.issuing import issue_quote
from quotes.desk.people import known_customer, merge_customers, save_customer
from quotes.desk.quoting import begin_quotes
from quotes.desk.requests import RequestError, StaleError, put_aside, save_request, take_up
from quotes.desk.schedules import ScheduleError, correct_line, make_request, take_in
from quotes.desk.specials import flag
from quotes.lists.requests import said_of
from quotes.models import (
    Acceptance,
    Contact,
    Customer,
    Erasure,
    Quote,
    Request,
    Schedule,
    ScheduleLine,
    Special,
)
from quotes.said import SaidRequest
from quotes.worklist import changed_since, hidden, settle
from sizing.lookup import in_force
from sizing.models import Factory
from tests.ordering.placed import (
    CLERK,
    FACTORY,
    accepted_quote,
    load_shop,
    placed_order,
    sent_order,
)
from tests.quotes.sheets import GOOD, HEADINGS, grid
from tests.quotes.shop import draft_quote, part_opening, take_request

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        connection.vendor != "postgresql", reason="of SQLite one writer has all of the database"
    ),
]
# What one of the two may be told once the other is done.
REFUSED = (
    NotAllowed,
    ErasingError,
    PlacingError,
    NotOpenError,
    QuoteError,
    RequestError,
    StaleError,
    ScheduleError,
)
WAITING = """SELECT count(*) FROM pg_stat_activity
             WHERE datname = current_database() AND wait_event_type = 'Lock'"""


def _writers_waiting() -> int:
    with connection.cursor() as cursor:
        # Of one transaction the server shows one picture, unless it is asked for another.
        cursor.execute("SELECT pg_stat_clear_snapshot()")
        cursor.execute(WAITING)
        return cursor.fetchone()[0]


def meet(row, first, second) -> None:
    """Let both begin while `row` is held, `first` before `second`, then let the row go. Raises what they raise."""
    failed = []

    def run(act) -> None:
        try:
            act()
        except REFUSED:
            pass
        except Exception as problem:
            failed.append(problem)
        finally:
            connection.close()

    writers = [threading.Thread(target=run, args=(act,)) for act in (first, second)]
    with transaction.atomic():
        type(row).objects.select_for_update().get(pk=row.pk)
        for number, writer in enumerate(writers, 1):
            writer.start()
            until = time.monotonic() + 30
            while _writers_waiting() < number:
                assert time.monotonic() < until, f"writer {number} never came to the row: {failed}"
                time.sleep(0.01)
    for writer in writers:
        writer.join(60)
    assert failed == []


@pytest.fixture
def shop():
    """Its factories are fitted: whoever comes upon one that is not begins again, behind who came after them."""
    load_shop()
    fit_the_stale(timezone.localdate())


def test_cancelling_meets_the_factory(shop):
    """The desk cancels a line, which its factory is told of, while the factory says that it has the order."""
    order, sent = sent_order()
    meet(
        order,
        lambda: cancel(order.pk, [1], "wrong size", CLERK, tells=False),
        lambda: acknowledge(sent.pk, FACTORY),
    )
    assert order.lines.get().step == "cancelled"


def test_cancelling_meets_sending(shop):
    """A line is cancelled while it is sent to its factory."""
    order = placed_order()
    line = order.lines.get()
    meet(
        order,
        lambda: cancel(order.pk, [1], "wrong size", CLERK, tells=False),
        lambda: send_to_factories([line.pk], CLERK),
    )
    assert OrderLine.objects.get().step == "cancelled"


def test_sending_meets_the_factory(shop):
    """Lines of two orders are sent, the later order's first, while a factory writes of both orders."""
    windows = part_opening("Kitchen"), part_opening("Hall", finish="ash")
    orders = [placed_order(*windows, caller=name) for name in ("Mara Quill", "Ida Lorne")]
    firsts, seconds = ([order.lines.get(number=n) for order in orders] for n in (1, 2))
    (sent,) = send_to_factories([line.pk for line in firsts], CLERK)
    OrderLine.objects.filter(pk=seconds[0].pk).update(
        factory=Factory.objects.create(name="Wren Street Mill")
    )
    counts = {line.pk: 1 for line in firsts}
    meet(
        orders[0],
        lambda: shipped(sent.pk, counts, date.today(), FACTORY),
        lambda: send_to_factories([line.pk for line in seconds], CLERK),
    )
    assert {line.step for line in OrderLine.objects.all()} == {"left", "sent"}


def place_theirs(quote: Quote) -> None:
    place_from_quote(quote.pk, CLERK)


def place_for_them(quote: Quote) -> None:
    place_by_hand(quote.customer_id, [HandLine("", "Box of screws", 1)], CLERK)


@pytest.mark.parametrize("erased_first", [True, False])
@pytest.mark.parametrize(
    ("place", "held"), [(place_theirs, Acceptance), (place_for_them, Customer)]
)
def test_erasing_meets_placing(shop, settings, tmp_path, place, held, erased_first):
    """A customer is erased while an order is made of the quote that they accepted, or by hand: either stands, not
    both, and it is what came first."""
    settings.VAR_DIR = tmp_path
    quote = accepted_quote()
    acts = [lambda: erase_customer(quote.customer_id, "max"), lambda: place(quote)]
    meet(held.objects.get(), *(acts if erased_first else reversed(acts)))
    quote.customer.refresh_from_db()
    stands = (Order.objects.count(), Erasure.objects.count(), quote.customer.name)
    assert stands == ((0, 1, "Erased customer") if erased_first else (1, 0, "Mara Quill"))


def test_erasing_meets_accepting(shop, settings, tmp_path):
    """A customer is erased while somebody presses Accept on the page that their link opened."""
    settings.VAR_DIR = tmp_path
    issue = issue_quote(draft_quote().pk, "ann")
    names = [sheet["name"] for sheet in issue.document["openings"]]
    meet(
        issue.quote,
        lambda: erase_customer(issue.quote.customer_id, "max"),
        lambda: accept(issue.pk, name="Mara Quill", ticked=names),
    )
    assert Erasure.objects.exists() and not Acceptance.objects.exists()


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


def test_erasing_meets_an_order_made_beside_theirs(shop, settings, tmp_path):
    """What the factory said of both orders forgets the one customer while the other's order is written to."""
    settings.VAR_DIR = tmp_path
    theirs, other = (placed_order(caller=name) for name in ("Mara Quill", "Ida Lorne"))
    lines = [order.lines.get() for order in (theirs, other)]
    (sent,) = send_to_factories([line.pk for line in lines], CLERK)
    say(sent.pk, "Is it Mara Quill who waits?", FACTORY)
    cancel(theirs.pk, [1], "no", CLERK, tells=False)
    meet(
        other,
        lambda: erase_customer(theirs.customer_id, "max"),
        lambda: shipped(sent.pk, {lines[1].pk: 1}, date.today(), FACTORY),
    )
    assert other.events.get(act=Act.NOTED).why == "Is it … who waits?"
    assert other.events.filter(act=Act.LEFT).exists()


@pytest.mark.parametrize("merged_first", [True, False])
def test_merging_meets_placing(shop, merged_first):
    """Two customers are merged while an order is made of what one of them accepted: it is the kept one's."""
    quote = accepted_quote()
    kept = Customer.objects.create(name="Ida Lorne")
    acts = [
        lambda: merge_customers(kept.pk, quote.customer_id, "max"),
        lambda: place_from_quote(quote.pk, CLERK),
    ]
    meet(Acceptance.objects.get(), *(acts if merged_first else reversed(acts)))
    assert Order.objects.get().customer == kept


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
