"""The day by which a caller needs it goes from the call to the order, and is watched on the way."""

import uuid
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from ordering.attention import Need
from ordering.events import place_from_quote, send_to_factories, watch_all
from ordering.lists.orders import line_views, misses
from ordering.logged import state_of
from ordering.models import Order, OrderLine
from ordering.needs import need_of
from quotes.days import short_date
from quotes.models import Customer, Request
from quotes.said import SaidRequest, differences
from tests.ordering.placed import CLERK, accepted_quote, load_shop, sent_order, user
from tests.quotes.counter_page import page
from tests.quotes.shop import draft_quote, part_opening

pytestmark = pytest.mark.usefixtures("built")
SETTLED = {
    "m-upper_glass": "20 1/4", "m-lower_glass": "20 1/4", "m-opening": "47 7/8",
    "m-sash_weight": "9", "finish": "ash",
}  # fmt: skip
NO_DAY = "Needed by: “May” is no day; type it like 2031-05-14."


def build():
    load_shop()


@pytest.fixture
def clerk(client):
    client.force_login(user())
    return client


def in_weeks(count: int) -> date:
    return timezone.localdate() + timedelta(weeks=count)


@pytest.mark.parametrize(
    ("weeks", "words"), [(1, "Too late"), (5, "Perhaps too late"), (12, "In time")]
)
def test_the_counter_says_whether_it_is_in_time(clerk, weeks, words):
    """The family takes four to six weeks; said while the caller is on the phone."""
    typed = page(SETTLED, needed_by=in_weeks(weeks).isoformat())
    # As it is typed, and where the opening's boxes are changed for those of a family.
    for address in ("/counter/answer/?o=0", "/counter/opening/?o=0"):
        assert f"{words}: it leaves" in clerk.post(address, typed).content.decode()


def test_it_is_kept_with_the_call(clerk):
    typed = page(SETTLED, caller="Mara Quill", needed_by="2031-05-14", do="save")
    clerk.post(reverse("counter"), typed)
    assert Request.objects.get().needed_by == date(2031, 5, 14)
    shown = clerk.get(reverse("request", args=[Request.objects.get().pk])).content.decode()
    assert 'value="2031-05-14"' in shown


def test_no_day_is_said_and_kept_typed(clerk):
    answer = clerk.post(reverse("counter"), page(SETTLED, needed_by="May", do="save"))
    assert answer.status_code == 422
    assert NO_DAY in answer.content.decode()
    assert not Request.objects.exists()


def test_an_order_by_hand_says_the_same(clerk):
    """Where an order is typed without a quote, in the same words, with the box's name."""
    customer = Customer.objects.create(name="Mara Quill")
    said = {"customer": customer.pk, "needed_by": "May", "part-0": "OHL-05MS", "page": uuid.uuid4()}
    answer = clerk.post(reverse("order-by-hand"), said)
    assert answer.status_code == 422 and NO_DAY in answer.content.decode()


def test_two_clerks_who_differ_about_it_are_told():
    (found,) = differences(SaidRequest(needed_by=date(2031, 5, 14)), SaidRequest())
    assert (found.where, found.stored, found.typed) == ("needed by", "2031-05-14", "")


@pytest.mark.parametrize(("weeks", "needs"), [(2, Need.NEEDED), (12, None)])
def test_an_order_that_comes_too_late_is_on_the_watch_list(weeks, needs, clerk):
    quote = accepted_quote(part_opening())
    Request.objects.update(needed_by=in_weeks(weeks))
    order = place_from_quote(quote.pk, CLERK)
    send_to_factories([line.pk for line in order.lines.all()], CLERK)
    watch_all()
    assert OrderLine.objects.get().need == needs
    assert state_of(order).is_open
    shown = clerk.get(reverse("watch")).content.decode()
    assert ("needed by" in shown) == (needs is not None)
    # The caller who asks when it ships hears it from whoever reads it out.
    for address in (reverse("order", args=[order.pk]), f"{reverse('when')}?q={order.number}"):
        page = clerk.get(address).content.decode().replace("\xa0", " ")
        assert f"by {short_date(in_weeks(weeks))}.</strong>" in page
        assert ("likeliest not to leave its factory before" in page) == (needs is not None)


def test_what_leaves_on_the_day_itself_comes_too_late(clerk):
    """It has still to travel: the watch list names it as the order's page does."""
    order, _sent = sent_order(part_opening())
    line = order.lines.get()
    likely = line_views(order)[0].window.likely
    for needed, missed in ((likely, True), (likely + timedelta(1), False)):
        Order.objects.update(needed_by=needed)
        watch_all()
        assert (misses(Order.objects.get(), line_views(order)) is not None) is missed
        line = OrderLine.objects.select_related("order", "family__factory", "factory").get()
        item = need_of(line, state_of(order).lines[1], timezone.localdate())
        assert (item is not None and item.need is Need.NEEDED) is missed


def test_the_quote_says_it(clerk):
    issue = draft_quote()
    Request.objects.update(needed_by=in_weeks(2))
    page = clerk.get(reverse("quote", args=[issue.quote_id])).content.decode().replace("\xa0", " ")
    assert f"Needed by {short_date(in_weeks(2))}." in page
