"""Whoever was erased gets nothing new written: each act says so, and a page from before brings back no word."""

from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from ordering.events import (
    HandLine,
    PlacingError,
    Who,
    choose_notices,
    erase_customer,
    make_again,
    pay_back,
    place_by_hand,
    place_from_quote,
    say,
    shipped,
    take_back,
    take_deposit,
    write,
)
from ordering.links import page_of
from ordering.models import Notice, Order
from ordering.states import Act, Cause, NotAllowed
from ordering.verifying import findings
from quotes.desk.accepting import NotOpenError, accept, ask_for_changes, say_why_lost
from quotes.desk.drafts import QuoteError, add_line, discard_draft, next_issue
from quotes.desk.enquiries import ask_about
from quotes.desk.holding import ErasedError
from quotes.desk.issuing import issue_quote
from quotes.desk.people import MergeError, choose_customer, merge_customers, save_customer
from quotes.desk.posting import send_quote
from quotes.desk.quoting import begin_quotes
from quotes.desk.requests import RequestError, StaleError, save_request
from quotes.desk.specials import EnquiryError, flag, put_aside
from quotes.lists.requests import said_of
from quotes.models import Acceptance, ChangeAsked, Contact, Customer, Request, Special
from tests.ordering.placed import (
    CLERK,
    FACTORY,
    MANAGER,
    accepted_quote,
    load_shop,
    sent_order,
    user,
)
from tests.quotes.shop import cottage_opening, draft_quote, part_opening, take_request

pytestmark = pytest.mark.django_db
SAID = "has been erased"


@pytest.fixture(autouse=True)
def shop(settings, tmp_path):
    settings.VAR_DIR = tmp_path
    load_shop()


def erased(quote) -> Customer:
    erase_customer(quote.customer_id, "max")
    return Customer.objects.get(pk=quote.customer_id)


def test_no_order_of_what_they_accepted():
    """Nothing waits for an order any more, and who presses all the same is told why there is none."""
    quote = accepted_quote()
    erased(quote)
    with pytest.raises(PlacingError, match=f"Customer {quote.customer_id} {SAID}.*new customer"):
        place_from_quote(quote.pk, CLERK)
    assert not Order.objects.exists()
    assert not Acceptance.objects.filter(waits=True).exists()
    assert list(findings()) == []


def test_no_order_by_hand():
    customer = erased(accepted_quote())
    with pytest.raises(PlacingError, match=SAID):
        place_by_hand(customer.pk, [HandLine("", "Box of screws", 1)], CLERK)
    assert not Order.objects.exists()


def handed_over():
    """(order, factory order) of an order that is over, with a deposit."""
    order, sent = sent_order()
    line = order.lines.get()
    take_deposit(order.pk, Decimal(10), "cash", CLERK)
    shipped(sent.pk, {line.pk: line.quantity}, timezone.localdate(), FACTORY)
    write(order.pk, Act.ARRIVED, {1: line.quantity}, CLERK)
    write(order.pk, Act.HANDED, {1: line.quantity}, CLERK)
    order.refresh_from_db()
    return order, sent


def test_nothing_of_theirs_is_made_again():
    """An order that is over stays over."""
    order, _sent = handed_over()
    erase_customer(order.customer_id, "max")
    with pytest.raises(NotAllowed, match=SAID):
        make_again(order.lines.get().pk, 1, Cause.FACTORY, "bent", CLERK, tells=False)
    assert order.lines.count() == 1


def test_their_order_is_not_opened_again():
    """No event of it is taken back: that it was handed over is how it ended."""
    order, _sent = handed_over()
    erase_customer(order.customer_id, "max")
    with pytest.raises(NotAllowed, match=SAID):
        take_back(order.pk, order.version, "Mara Quill brought it back", MANAGER)
    order.refresh_from_db()
    assert not order.is_open and order.lines.get().step == "handed"


# What the goods of an order that is over refuse by themselves says so already.
EVERY = sorted(set(Act) - {Act.DEPOSIT, Act.REPAID})


@pytest.mark.parametrize("act", EVERY)
def test_no_event_of_their_order_but_money(act):
    order, _sent = handed_over()
    erase_customer(order.customer_id, "max")
    role = Who("desk", "desk") if act is Act.WINDOW else MANAGER
    with pytest.raises(NotAllowed, match=SAID):
        write(order.pk, act, {1: 1}, role, why="Mara Quill")
    assert not order.events.filter(number__gt=order.version).exists()


def test_money_of_theirs_is_still_booked():
    """The books need the amount and the day; words about a person they do not, and none are kept."""
    order, _sent = handed_over()
    erase_customer(order.customer_id, "max")
    with pytest.raises(NotAllowed, match="leave empty how it was paid"):
        pay_back(order.pk, Decimal(10), "to Mara Quill's account", CLERK)
    pay_back(order.pk, Decimal(10), "", CLERK)
    order.refresh_from_db()
    assert order.deposit_paid == 0
    assert list(findings()) == []


def test_a_factorys_words_reach_the_others_orders_alone():
    """What is made together with an order of theirs is asked about; of theirs alone the factory is told to call."""
    order, sent = handed_over()
    erase_customer(order.customer_id, "max")
    with pytest.raises(NotAllowed, match="call us"):
        say(sent.pk, "Was it Mara Quill's?", FACTORY)
    sent.refresh_from_db()
    assert sent.said == "" and order.events.count() == order.version


def test_an_open_order_of_a_restored_copy_comes_to_its_end():
    """A copy from before the erasure has the order open: its goods go on, nobody is written to or to be called."""
    order, sent = sent_order()
    line = order.lines.get()
    erase_customer(order.customer_id, "max", at=timezone.now())
    before = Notice.objects.count()
    shipped(sent.pk, {line.pk: line.quantity}, timezone.localdate(), FACTORY)
    write(order.pk, Act.ARRIVED, {1: line.quantity}, CLERK)
    with pytest.raises(NotAllowed, match=SAID):
        write(order.pk, Act.NOTED, {}, CLERK, why="Mara Quill rang")
    write(order.pk, Act.HANDED, {1: line.quantity}, CLERK)
    order.refresh_from_db()
    assert not order.is_open
    assert Notice.objects.count() == before


def test_their_page_takes_no_choice():
    """Nobody chooses what is mailed to somebody who was erased."""
    order, _sent = handed_over()
    erase_customer(order.customer_id, "max")
    order.refresh_from_db()
    with pytest.raises(NotAllowed, match=SAID):
        choose_notices(order.pk, set())
    assert Client().post("/" + page_of(order).split("/", 3)[3], {}).status_code == 404
    order.refresh_from_db()
    assert order.unwanted == []


def test_the_orders_page_says_so():
    """The sentence, and no boxes for what is refused."""
    order, _sent = handed_over()
    erase_customer(order.customer_id, "max")
    client = Client()
    client.force_login(user("max", "manager"))
    page = client.get(f"/orders/{order.pk}/").content.decode()
    assert SAID in page
    for button in ("Take back</button>", "Add the note", "Make again"):
        assert button not in page
    told = client.post(f"/orders/{order.pk}/note/", {"why": "Mara Quill rang"})
    assert told.status_code == 422 and SAID in told.content.decode()


def test_no_answer_of_theirs():
    """An issue that was open is neither accepted, by whoever had its page, nor asked about."""
    issue = issue_quote(draft_quote(part_opening()).pk, "ann")
    names = [sheet["name"] for sheet in issue.document["openings"]]
    erased(issue.quote)
    with pytest.raises(NotOpenError, match=SAID):
        accept(issue.pk, name="Mara Quill", ticked=names)
    with pytest.raises(NotOpenError, match=SAID):
        ask_for_changes(issue.pk, name="Mara", measures={}, words="Too dear", is_question=True)
    assert not Acceptance.objects.exists() and not ChangeAsked.objects.exists()


def test_what_they_asked_waits_no_more():
    issue = issue_quote(draft_quote(part_opening()).pk, "ann")
    ask_for_changes(issue.pk, name="Mara", measures={}, words="Too dear")
    erased(issue.quote)
    assert not ChangeAsked.objects.filter(done_at=None).exists()


@pytest.mark.parametrize(
    "act",
    [
        lambda issue: next_issue(issue.quote_id),
        lambda issue: begin_quotes(issue.quote.request_id, "ann"),
        lambda issue: send_quote(issue.pk, "mara@quill.example", "ann"),
        lambda issue: say_why_lost(issue.quote_id, "Mara Quill moved"),
    ],
    ids=["next issue", "quoted again", "sent", "why it was lost"],
)
def test_no_quote(act):
    """Neither a new version nor a word more about the one there is."""
    issue = issue_quote(draft_quote(part_opening()).pk, "ann")
    erased(issue.quote)
    with pytest.raises(QuoteError, match=SAID):
        act(issue)


def test_a_draft_can_only_be_put_away():
    issue = draft_quote(part_opening())
    erased(issue.quote)
    with pytest.raises(QuoteError, match=SAID):
        add_line(issue.pk, "Box for Mara Quill", 1, Decimal(4))
    assert discard_draft(issue.pk) is None


def test_a_call_begun_before_is_quoted_for_nobody():
    """A request of theirs that was never quoted."""
    request = take_request(part_opening())
    customer = save_customer(Customer(name="Mara Quill"), [Contact(email=request.email)])
    choose_customer(request.pk, customer.pk, "ann")
    erase_customer(customer.pk, "max")
    with pytest.raises(QuoteError, match=SAID):
        begin_quotes(request.pk, "ann")


def test_a_call_is_not_written_back():
    """The counter's page saves as somebody types: it held the caller's words when they were erased."""
    quote = accepted_quote()
    request = Request.objects.get(pk=quote.request_id)
    said, version = said_of(request), request.version
    erased(quote)
    with pytest.raises(RequestError, match=SAID):
        save_request(said, by="ann", pk=request.pk, version=version, by_itself=True)
    request.refresh_from_db()
    assert (request.caller, request.phone) == ("Erased customer", "")


def test_an_old_call_is_not_written_back_unseen():
    """Of a call that is kept no longer the page says that it was changed."""
    from quotes.desk.erasing import forget_request

    request = take_request(part_opening())
    said, version = said_of(request), request.version
    forget_request(request)
    with pytest.raises(StaleError):
        save_request(said, by="ann", pk=request.pk, version=version, by_itself=True)


def test_their_page_brings_nothing_back():
    """A customer's page opened before the erasure and saved after it: the sentence, and not one word."""
    quote = accepted_quote()
    customer = erased(quote)
    client = Client()
    client.force_login(user("max", "manager"))
    page = client.post(
        reverse("customer", args=[customer.pk]),
        {
            "name": "Mara Quill", "kind": "homeowner", "unit": "in", "channel": "email", "language": "en",
            "contact-TOTAL_FORMS": 1, "contact-INITIAL_FORMS": 0, "contact-0-name": "Mara Quill",
            "address-TOTAL_FORMS": 0, "address-INITIAL_FORMS": 0,
        },
    )  # fmt: skip
    assert page.status_code == 422 and SAID in page.content.decode()
    customer.refresh_from_db()
    assert customer.name == "Erased customer" and not customer.contacts.exists()


@pytest.mark.parametrize("is_kept", [True, False])
def test_no_merging(is_kept):
    """What is merged with an erased customer would be erased again in an older copy."""
    gone = erased(accepted_quote())
    other = Customer.objects.create(name="Ida Lorne")
    pair = (gone.pk, other.pk) if is_kept else (other.pk, gone.pk)
    with pytest.raises(MergeError, match=SAID):
        merge_customers(*pair, "max")


def test_no_call_becomes_theirs():
    gone = erased(accepted_quote())
    call = take_request(part_opening(), caller="Ida Lorne", email="", phone="")
    with pytest.raises(ErasedError, match=SAID):
        choose_customer(call.pk, gone.pk, "ann")
    client = Client()
    client.force_login(user())
    told = client.post(
        reverse("request-customer", args=[call.pk]), {"customer": gone.pk}, follow=True
    )
    assert SAID in told.content.decode()
    assert Request.objects.get(pk=call.pk).customer is None


def test_no_factory_is_asked():
    """About an opening of theirs nobody is asked any more; it can be put aside."""
    quote = draft_quote(part_opening(), cottage_opening("Hall")).quote
    Special.objects.all().delete()
    opening = quote.request.openings.last()
    erased(quote)
    for act in (ask_about, flag):
        with pytest.raises(EnquiryError, match=SAID):
            act(opening.pk, by="ann", words="for Mara Quill")
    assert not Special.objects.exists()
    assert put_aside(opening.pk, by="ann", why="not needed").state == Special.State.CLOSED
