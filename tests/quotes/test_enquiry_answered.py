"""The factory's page: a form without sign-in, every box checked, one answer that can be corrected."""

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.utils import timezone

from quotes.desk.enquiries import ask_lead_time
from quotes.desk.special_prices import price
from quotes.desk.specials import close
from quotes.links import factory_address
from quotes.lists.requests import find_requests
from tests.quotes import shop, specials

pytestmark = pytest.mark.usefixtures("built")


def build():
    specials.set_up()


def address(enquiry):
    return factory_address(enquiry).split("8000")[-1]


def typed(**changed):
    until = timezone.localdate() + timedelta(days=20)
    boxes = {
        "can_be_made": "yes", "unit_cost": "131.40", "currency": "usd", "weeks_min": "5",
        "weeks_max": "6", "valid_until": until.isoformat(), "remarks": "", "name": "Jo Marsh",
    }  # fmt: skip
    return {**boxes, **changed}


def send(enquiry, **changed):
    return Client(enforce_csrf_checks=True).post(address(enquiry), typed(**changed))


def test_an_answer_is_taken():
    """Price, weeks, date and name stand with the enquiry; the page thanks; the special can be priced."""
    enquiry = specials.asked()
    assert send(enquiry).headers["Location"] == f"{address(enquiry)}#standing"
    enquiry.refresh_from_db()
    assert (enquiry.cost_words, enquiry.lead_words) == ("131.40 USD", "5 to 6 working weeks")
    assert enquiry.special.state == "answered"
    assert "Thank you, this is your answer" in Client().get(address(enquiry)).content.decode()
    last = enquiry.special.events.last()
    assert (last.by, last.what) == ("Jo Marsh, Otter Hollow Millwork", "factory answered")


@pytest.mark.parametrize(
    "changed, words",
    [
        ({"can_be_made": "", "unit_cost": ""}, "Choose whether it can be made"),
        ({"unit_cost": ""}, "Type your price"),
        ({"unit_cost": "a lot"}, "such as 214.50"),
        ({"unit_cost": "0"}, "above zero"),
        ({"unit_cost": "-5"}, "above zero"),
        ({"unit_cost": "1.005"}, "USD has 2 decimals"),
        ({"unit_cost": "99.5", "currency": "JPY"}, "JPY has 0 decimals"),
        ({"currency": "XXX"}, "is no currency"),
        ({"currency": ""}, "is no currency"),
        ({"weeks_min": ""}, "whole weeks"),
        ({"weeks_max": "soon"}, "whole weeks"),
        ({"weeks_min": "7"}, "At most 6 is less than at least 7"),
        ({"valid_until": ""}, "Say until which day"),
        ({"valid_until": "2020-01-01"}, "That day is past"),
        ({"valid_until": "next week"}, "is no day; type it like"),
        ({"name": ""}, "Type your name"),
    ],
)
def test_what_is_missing_is_said_and_nothing_typed_is_lost(changed, words):
    """One sentence for each box; the other boxes come back as they were typed."""
    enquiry = specials.asked()
    page = send(enquiry, remarks="<b>by truck only</b>", **changed)
    assert page.status_code == 422 and words in page.content.decode()
    assert "&lt;b&gt;by truck only" in page.content.decode()
    enquiry.refresh_from_db()
    assert enquiry.answered_at is None and enquiry.special.state == "asked"


def test_a_price_says_that_it_can_be_made():
    """Who types a price and forgets the first question has answered it."""
    enquiry = specials.asked()
    send(enquiry, can_be_made="")
    enquiry.refresh_from_db()
    assert enquiry.can_be_made and enquiry.cost_words == "131.40 USD"


@pytest.mark.parametrize("typed", ["a lot", "99999999999", "0", "1.005"])
def test_one_mistake_is_one_error(typed):
    """A price that can't be so has its own sentence; that it can be made is said by it all the same."""
    page = send(specials.asked(), can_be_made="", unit_cost=typed)
    html = page.content.decode()
    (summary,) = re.findall(r'id="summary">.*?</div>', html, re.DOTALL)
    assert (page.status_code, summary.count("<li>")) == (422, 1)
    assert "Choose whether" not in html


def test_who_has_answered_is_not_asked_for_a_question_first():
    """The page begins with the thanks; the box for a question stays below the answer."""
    enquiry = specials.asked()
    assert "A question first?" in Client().get(address(enquiry)).content.decode()
    send(enquiry)
    page = Client().get(address(enquiry)).content.decode()
    assert "A question first?" not in page and 'id="ask"' in page


def test_it_cannot_be_made():
    """No price is wanted then; the special says so."""
    enquiry = specials.asked()
    send(enquiry, can_be_made="no", unit_cost="", weeks_min="", weeks_max="", valid_until="",
         remarks="too tall for our saw")  # fmt: skip
    enquiry.special.refresh_from_db()
    assert enquiry.special.state == "refused"
    assert enquiry.special.events.last().why == "too tall for our saw"


def test_it_can_be_corrected_until_the_desk_has_priced_it():
    """The later answer counts; once priced the page is closed and a late form changes nothing."""
    enquiry = specials.asked()
    send(enquiry)
    send(enquiry, unit_cost="120")
    enquiry.refresh_from_db()
    assert enquiry.unit_cost.amount == Decimal(120)
    price(enquiry.special_id, None, by="ann", is_manager=False)
    send(enquiry, unit_cost="999")
    enquiry.refresh_from_db()
    assert enquiry.unit_cost.amount == Decimal(120)
    assert "Send the answer" not in Client().get(address(enquiry)).content.decode()


def test_an_enquiry_put_aside_takes_no_answer():
    """A form sent after the desk closed the special changes nothing."""
    enquiry = specials.asked()
    close(enquiry.special_id, by="ann", why="sold the house")
    send(enquiry)
    enquiry.refresh_from_db()
    assert enquiry.answered_at is None and enquiry.special.state == "closed"


def test_nobody_else_is_told_the_address():
    """No referrer, no search engine, no copy kept on the way."""
    response = Client().get(address(specials.asked()))
    assert response["Referrer-Policy"] == "no-referrer"
    assert "noindex" in response["X-Robots-Tag"] and "no-store" in response["Cache-Control"]


def test_a_lead_time_is_answered_into_the_request():
    """Asked for part and quantity, the answer stands in the request's note; no price is asked."""
    request = shop.take_request(shop.part_opening())
    part = request.openings.get().part
    enquiry = ask_lead_time(request.pk, part.pk, 12, by="ann")
    assert "unit_cost" not in Client().get(address(enquiry)).content.decode()
    send(enquiry, remarks="half of them sooner")
    request.refresh_from_db()
    assert f"12 x {part.part_number}, 5 to 6 working weeks" in request.note
    assert "half of them sooner" in request.note and request.version == 2
    assert list(find_requests("half sooner")) == [request]
    enquiry.special.refresh_from_db()
    assert enquiry.special.state == "told"


def test_the_same_lead_time_is_asked_once():
    """Part and quantity asked for already: the enquiry that is out is shown."""
    request = shop.take_request(shop.part_opening())
    part = request.openings.get().part
    asked = {ask_lead_time(request.pk, part.pk, 12, by="ann") for _ in range(2)}
    assert len(asked) == 1


def test_the_lead_time_form(clerk):
    """The part is found by its number whatever its case; an unknown one is named."""
    request = shop.take_request(shop.part_opening())
    number = request.openings.get().part.part_number
    page = clerk.post(
        f"/requests/{request.pk}/lead-time/", {"part_number": "nope", "quantity": "3"}
    )
    assert page.status_code == 422 and "“nope” is no part" in page.content.decode()
    done = clerk.post(
        f"/requests/{request.pk}/lead-time/", {"part_number": number.lower(), "quantity": "3"}
    )
    assert done.status_code == 302
    special = request.specials.get()
    assert (special.reason, special.quantity, special.part.part_number) == ("lead_time", 3, number)
