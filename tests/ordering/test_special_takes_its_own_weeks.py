"""A special's window comes of the weeks that its factory said for it, not of what the family takes."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.conf import settings
from django.utils import timezone

from ordering.answers import When
from ordering.documents.factory_order import paper_of
from ordering.events import make_again, place_from_quote, send_to_factories, shipped
from ordering.expected import forget, window_of
from ordering.links import page_of
from ordering.logged import state_of
from ordering.models import Notice, OrderLine, PastOrder
from ordering.reading import read_and_learn
from ordering.states import Cause
from quotes.desk.accepting import accept
from quotes.desk.drafts import next_issue
from quotes.desk.enquiries import ask_about, ask_lead_time
from quotes.desk.issuing import issue_quote
from quotes.desk.special_prices import price
from quotes.models import Customer, Enquiry, QuoteLine
from tests.ordering.placed import CLERK, FACTORY, load_shop
from tests.quotes import shop, specials
from tests.quotes.specials import take_answer

pytestmark = pytest.mark.django_db


def ordered(**answer: object) -> OrderLine:
    """The line of a cottage split that the factory has answered, we have priced, the customer accepted."""
    load_shop()
    issue = shop.draft_quote(shop.cottage_opening())
    opening = issue.quote.request.openings.get()
    enquiry = ask_about(opening.pk, by="ann")
    special = take_answer(enquiry.pk, specials.usual_answer(**answer))
    price(special.pk, Decimal("180"), by="ann", is_manager=True)
    line = QuoteLine.objects.get(specials=special)
    Customer.objects.update(channel="email")
    issued = issue_quote(line.issue_id, "ann")
    accept(issued.pk, name="Mara Quill", ticked=[s["name"] for s in issued.document["openings"]])
    forget()
    return place_from_quote(issued.quote_id, CLERK).lines.get()


def window(line: OrderLine):
    line = OrderLine.objects.select_related("family__factory", "order").get(pk=line.pk)
    return window_of(line, state_of(line.order).lines[line.number], timezone.localdate())


def test_the_window_is_what_the_factory_answered():
    line = ordered(weeks_min=10, weeks_max=12)
    told, today = window(line), timezone.localdate()
    assert line.weeks == (10, 12)
    assert timedelta(weeks=9) < told.earliest - today <= told.latest - today < timedelta(weeks=15)
    assert "10 to 12" in told.basis and "for this order" in told.basis


def test_what_is_made_again_takes_as_long():
    line = ordered(weeks_min=10, weeks_max=12)
    (sent,) = send_to_factories([line.pk], CLERK)
    shipped(sent.pk, {line.pk: 1}, timezone.localdate(), FACTORY)
    again = make_again(line.pk, 1, Cause.CARRIER, "one bent", CLERK, tells=False)
    assert again.weeks == (10, 12)


def test_the_past_keeps_the_weeks_and_nothing_is_learned_of_the_family():
    """The row answers for its reference alone; sixty of such weeks would make every window wide."""
    line = ordered(weeks_min=10, weeks_max=12)
    send_to_factories([line.pk], CLERK)
    past, today = PastOrder.objects.get(), timezone.localdate()
    assert past.weeks == (10, 12)
    assert len(read_and_learn(line.factory, today).outlook.track) == 0
    assert When(today).of_reference(str(line)).earliest - today > timedelta(weeks=9)


def test_a_lead_time_asked_for_alone_holds_for_its_part():
    """Forty are asked about by telephone: quote and order say what the factory said of them."""
    load_shop()
    issue = shop.draft_quote()
    line = issue.lines.get(kind=QuoteLine.Kind.PART)
    enquiry = ask_lead_time(issue.quote.request_id, line.part_id, 40, by="ann")
    take_answer(enquiry.pk, specials.usual_answer(weeks_min=10, weeks_max=12, unit_cost=None))
    issued = issue_quote(issue.pk, "ann")
    assert "10 to 12 working weeks, as the factory answered" in issued.document["lines"][0]["lead"]
    accept(issued.pk, name="Mara Quill", ticked=[s["name"] for s in issued.document["openings"]])
    forget()
    placed = place_from_quote(issued.quote_id, CLERK).lines.get(part=line.part)
    assert placed.weeks == (10, 12)
    assert "10 to 12" in window(placed).basis


def test_its_order_says_what_the_factory_answered(client):
    """Mail, paper and workbook hold the order against the answer; nothing of it reaches the customer."""
    line = ordered()
    (sent,) = send_to_factories([line.pk], CLERK)
    answered = f"as you answered {Enquiry.objects.get()}: 100.00 USD per pair, 5 to 6 working weeks"
    assert answered in Notice.objects.get(factory_order=sent).body
    assert paper_of(sent).rows[0].description.endswith(answered)
    theirs = client.get(page_of(line.order).removeprefix(settings.SITE_URL)).content.decode()
    assert "100.00" not in theirs
    assert not Notice.objects.filter(factory_order=None, body__contains="100.00").exists()


def test_a_later_issue_has_the_same_weeks():
    """The customer had asked for changes: what the factory said of the special holds in the next issue as well."""
    load_shop()
    issue = shop.draft_quote(shop.cottage_opening())
    enquiry = ask_about(issue.quote.request.openings.get().pk, by="ann")
    special = take_answer(enquiry.pk, specials.usual_answer(weeks_min=10, weeks_max=12))
    price(special.pk, Decimal("180"), by="ann", is_manager=True)
    first = issue_quote(QuoteLine.objects.get(specials=special).issue_id, "ann")
    issued = issue_quote(next_issue(first.quote_id).pk, "ann")
    accept(issued.pk, name="Mara Quill", ticked=[s["name"] for s in issued.document["openings"]])
    line = place_from_quote(issued.quote_id, CLERK).lines.get()
    assert (line.weeks_min, line.weeks_max) == (10, 12)
    (sent,) = send_to_factories([line.pk], CLERK)
    assert "as you answered Enquiry" in Notice.objects.get(factory_order=sent).body
