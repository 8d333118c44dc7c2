"""The factory answers on its page without signing in: a date, another date, what has shipped."""

import re
from datetime import timedelta
from io import BytesIO

import pytest
from django.utils import timezone
from pypdf import PdfReader

from ordering.events import write
from ordering.links import page_of_factory
from ordering.logged import state_of
from ordering.models import Notice
from ordering.states import Act
from quotes.models import Letter
from tests.ordering.placed import CLERK, load_shop, sent_order
from tests.quotes.shop import cottage_opening

pytestmark = pytest.mark.usefixtures("built")
COUNTS = ("count", "proposed")
SOON, LATER = timedelta(30), timedelta(51)


def build():
    """(order, factory order)"""
    load_shop()
    return sent_order()


class Page:
    """The factory's page and its form as a browser would send it."""

    def __init__(self, client, sent):
        self.client = client
        self.order, self.sent = sent
        self.line = self.order.lines.get()
        self.address = "/" + page_of_factory(self.sent).split("/", 3)[3]
        self.today = timezone.localdate()

    def send(self, do, version=None, **typed):
        self.line.refresh_from_db()
        version = self.line.version if version is None else version
        return self.client.post(
            self.address, {"do": do, "name": "Jo", f"version-{self.line.pk}": version, **typed}
        )

    @property
    def state(self):
        return state_of(self.order).lines[1]


@pytest.fixture
def page(client, built):
    return Page(client, built)


def kinds():
    return list(Notice.objects.exclude(event=None).values_list("kind", flat=True))


def test_a_date_for_all(page):
    """One date confirms every line, and the customer is told once."""
    assert page.send("dates", all=page.today + SOON).status_code == 302
    assert page.state.promised_on == page.today + SOON
    assert page.state.step == "acknowledged"
    assert kinds() == ["placed", "confirmed"]
    page.sent.refresh_from_db()
    assert page.sent.answered_on == page.today
    assert page.order.events.last().by == "Jo of Otter Hollow Millwork"


def test_the_same_date_again_tells_nobody(page):
    """Pressing the button twice is no second confirmation."""
    page.send("dates", all=page.today + SOON)
    assert page.send("dates", all=page.today + SOON).status_code == 302
    assert kinds() == ["placed", "confirmed"]


def test_moving_needs_a_reason(page):
    """Without a reason the page comes back with what was typed; with one the customer is told it."""
    page.send("dates", all=page.today + SOON)
    refused = page.send("dates", all=page.today + LATER)
    assert refused.status_code == 422
    assert re.search(r'<a href="#why">[^<]*needs its reason', refused.content.decode())
    assert f'value="{page.today + LATER}"' in refused.content.decode()
    assert page.send("dates", all=page.today + LATER, why="No slate.").status_code == 302
    assert kinds() == ["placed", "confirmed", "moved"]
    assert "No slate." in Notice.objects.get(kind="moved").body


def test_shipped_in_parts(page):
    """Two of three, then the third: each shipment is told, none is counted twice."""
    page.send("shipped", **{f"count-{page.line.pk}": 2})
    assert (page.state.left, page.state.left_on) == (2, None)
    assert page.send("shipped", **{f"count-{page.line.pk}": 2}).status_code == 422
    page.send("shipped", **{f"count-{page.line.pk}": 1})
    assert (page.state.step, page.state.left_on) == ("left", page.today)
    assert kinds() == ["placed", "left", "left"]


def shown(answer, line):
    """What the boxes of a line say: the count, and what the page proposed."""
    html = answer.content.decode()
    named = {name: re.search(rf'name="{name}-{line.pk}"[^>]*', html) for name in COUNTS}
    return {
        name: found and re.search(r'value="(\d*)"', found[0])[1] for name, found in named.items()
    }


def test_no_count_is_filled_in_and_looked_at_first(page):
    """Two presses and no typing: the first writes nothing and shows all that is still there, the second marks it."""
    page.send("shipped", **{f"count-{page.line.pk}": 1})
    before = page.order.events.count()
    first = page.send("shipped", **{f"count-{page.line.pk}": ""})
    assert (first.status_code, page.order.events.count()) == (422, before)
    assert "all that is still there (2) leaves" in first.content.decode()
    assert "Mark these as shipped" in first.content.decode()
    assert shown(first, page.line) == {"count": "2", "proposed": "2"}
    filled = {f"{name}-{page.line.pk}": "2" for name in COUNTS}
    assert page.send("shipped", **filled).status_code == 302
    assert (page.state.left, page.state.left_on) == (3, page.today)


def test_what_was_filled_in_counts_by_its_own_button_alone(page):
    """Who gives a date on that page has shipped nothing by it, unless they changed the count."""
    filled = {f"{name}-{page.line.pk}": "3" for name in COUNTS}
    assert page.send("dates", all=page.today + SOON, **filled).status_code == 302
    assert (page.state.promised_on, page.state.left) == (page.today + SOON, 0)
    page.send("have", **filled)
    assert page.state.left == 0
    page.send("dates", **filled | {f"count-{page.line.pk}": "2"})
    assert page.state.left == 2


def test_what_was_filled_in_stays_marked_through_a_mistake(page):
    """A day that is none on the page with filled boxes: it comes back with both."""
    filled = {f"{name}-{page.line.pk}": "3" for name in COUNTS}
    refused = page.send("shipped", on="2199-01-01", **filled)
    assert refused.status_code == 422
    assert shown(refused, page.line) == {"count": "3", "proposed": "3"}


def test_a_date_and_a_shipment_at_one_press(page):
    """Two have left and the third gets a new date: whichever button is pressed, both are written."""
    for do, left in (("shipped", 1), ("dates", 2)):
        day = page.today + SOON * left
        answer = page.send(do, all=day, why="No slate.", **{f"count-{page.line.pk}": 1})
        assert answer.status_code == 302
        assert (page.state.left, page.state.promised_on) == (left, day)
    assert kinds() == ["placed", "confirmed", "left", "moved", "left"]


def test_enter_in_the_box_of_what_has_left(page):
    """Enter presses the page's first button, which is for dates: what has left is not lost by it."""
    assert page.send("dates", **{f"count-{page.line.pk}": 2}).status_code == 302
    assert page.state.left == 2


def test_having_it_with_a_date_typed(page):
    """The third button loses no date either."""
    page.send("have", all=page.today + SOON)
    assert page.state.promised_on == page.today + SOON


def test_a_shipment_leaves_the_dates_that_the_page_came_with(page):
    """The desk wrote another date meanwhile: a shipment of a page opened before does not bring the old one back."""
    own, stood = f"date-{page.line.pk}", f"stood-{page.line.pk}"
    page.send("dates", all=page.today + LATER)
    as_it_came = {own: page.today + SOON, stood: page.today + SOON}
    assert page.send("shipped", **as_it_came, **{f"count-{page.line.pk}": 1}).status_code == 302
    assert page.state.promised_on == page.today + LATER
    moved = as_it_came | {own: page.today + SOON * 2, "why": "Slate came."}
    page.send("shipped", **moved, **{f"count-{page.line.pk}": 1})
    assert page.state.promised_on == page.today + SOON * 2


def test_a_special_stands_there_with_its_measures(client):
    """Who opens the link without the mail's paper at hand reads what is to be made."""
    _, sent = sent_order(cottage_opening())
    shown = client.get("/" + page_of_factory(sent).split("/", 3)[3]).content.decode()
    assert "Upper glass height <strong>16\u00a0in</strong>" in shown
    assert "Opening 1, Stairs" in shown


def test_have_it(page):
    """The order can be acknowledged before there is a date; nobody is mailed for that."""
    page.send("have")
    assert page.state.step == "acknowledged"
    assert kinds() == ["placed"]


@pytest.mark.parametrize(
    ("do", "typed", "words"),
    [
        ("dates", {}, "Give a date for all lines"),
        ("dates", {"all": "12/31/2030"}, "is no day; type it like"),
        ("dates", {"all": "2020-01-01"}, "1 Jan 2020 is over; give a day"),
        ("dates", {"all": "2199-01-01"}, "1 Jan 2199 is more than two years"),
        ("shipped", {"count-1": "0"}, "Say how many"),
        ("shipped", {"count-1": "two"}, "no whole number"),
        ("shipped", {"count-1": "1", "on": "2199-01-01"}, "1 Jan 2199 is still to come"),
    ],
)
def test_what_cannot_be_read(page, do, typed, words):
    """Bad input is one sentence, and nothing is written."""
    typed = {name.replace("-1", f"-{page.line.pk}"): value for name, value in typed.items()}
    answer = page.send(do, **typed)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert page.order.events.count() == 2


def test_the_desk_was_quicker(page):
    """A page that was opened before the desk changed the line is told so."""
    seen = page.line.version
    write(page.order.pk, Act.MAKING, {1: 3}, CLERK)
    answer = page.send("dates", version=seen, all=page.today + SOON)
    assert answer.status_code == 422
    assert "was changed meanwhile: it is being made now" in answer.content.decode()
    assert page.state.promised_on is None


def test_the_paper_is_on_the_page(page):
    """Whoever makes the parts has not got the mail: the page gives its paper, too, as the order stands now."""
    address = f"{page.address}order.pdf"
    assert address in page.client.get(page.address).content.decode()
    paper = page.client.get(address)
    text = PdfReader(BytesIO(paper.content)).pages[0].extract_text()
    assert page.sent.number in text and str(page.line) in text
    assert page.client.get(f"{page.address[:-5]}xxxx/order.pdf").status_code == 404


def test_a_question_reaches_the_desk(page):
    """It is noted with the order and mailed to who sent it, once however often it is pressed; no date is touched."""
    for _ in range(2):
        answer = page.send("say", words="The slate\nis out: will ash do?")
        assert answer.status_code == 302
    letter = Letter.objects.get()
    assert letter.to == "ann@tarnbrook.example"
    assert letter.subject == f"Jo of Otter Hollow Millwork about factory order {page.sent.number}"
    assert (
        "The slate is out: will ash do?" in letter.body
        and f"/factory-orders/{page.sent.pk}/" in letter.body
    )
    noted = page.order.events.get(act=Act.NOTED)
    assert noted.why == "The slate is out: will ash do?" and "Jo of Otter" in noted.by
    assert page.state.promised_on is None
    page.sent.refresh_from_db()
    # It has not answered: what it asked waits for us.
    assert page.sent.answered_on is None
    assert page.sent.said == "Jo of Otter Hollow Millwork: The slate is out: will ash do?"


def test_nothing_said_is_nothing_sent(page):
    """An empty box, too many letters and too many messages are a sentence each, and what was typed is kept."""
    assert page.send("say", words="  ").status_code == 422
    answer = page.send("say", words="w" * 501)
    assert answer.status_code == 422 and "w" * 501 in answer.content.decode()
    for number in range(10):
        page.send("say", words=f"word {number}")
    assert page.send("say", words="one more").status_code == 422
    assert Letter.objects.count() == 10


def test_no_guessing(page):
    """Another token opens nothing; the page of an order is not the page of a factory."""
    from ordering.links import page_of

    assert page.client.get(page.address[:-5] + "xxxx/").status_code == 404
    token = page_of(page.order).rstrip("/").rpartition("/")[2]
    assert page.client.get(f"/f/{token}/").status_code == 404
