"""A line that its factory says it can't make has no window anywhere until the factory gives a date after all: whoever
asks when it ships is told so instead."""

import json
import re
from datetime import timedelta
from html import unescape

import pytest
from django.core.management import call_command
from django.utils import timezone

from ordering.attention import Need
from ordering.events import cancel, cannot_make, give_dates, shipped, take_back, watch, write
from ordering.links import page_of, page_of_factory
from ordering.lists.orders import line_views
from ordering.lists.watch import watch_list
from ordering.logged import state_of
from ordering.models import Notice, OrderLine, PastOrder
from ordering.sending import sweep
from ordering.sentences import day
from ordering.states import Act, NotAllowed
from ordering.verifying import findings
from quotes.models import Letter
from tests.ordering.placed import CLERK, FACTORY, MANAGER, load_shop, sent_order, user
from tests.quotes.shop import cottage_opening, part_opening

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]

WHY = "The slate <b>die</b> is broken; ash could be made."
WINDOW = re.compile(r"should leave the factory|most likely")


def build():
    """(order, factory order) of two lines, both with the factory's date."""
    load_shop()
    order, sent = sent_order(part_opening(quantity=3), cottage_opening())
    dates = dict.fromkeys(sent.lines.values_list("pk", flat=True), soon())
    give_dates(sent.pk, dates, FACTORY)
    return order, sent


def soon(days=30):
    return timezone.localdate() + timedelta(days)


@pytest.fixture
def first(built):
    return built[0].lines.get(number=1)


@pytest.fixture
def refused(built, first):
    """The order, whose first line can't be made."""
    cannot_make(built[1].pk, [first.pk], WHY, FACTORY)
    return built[0]


def path(address):
    return "/" + address.split("/", 3)[3]


def text(answer):
    assert answer.status_code == 200
    return unescape(re.sub(r"<[^>]+>", " ", answer.content.decode()))


def today():
    return day(timezone.localdate(), timezone.localdate())


def test_by_its_link(client, built, first):
    """The factory ticks the line on its own page and says why: the desk gets a mail, the customer none yet."""
    before = Notice.objects.count()
    address = path(page_of_factory(built[1]))
    said = {"do": "cannot", "name": "Jo", "cannot": first.pk, "cannot_why": WHY}
    answer = client.post(address, said, follow=True)
    assert "noted that it can't be made" in text(answer)
    assert "You wrote on" in text(answer)
    event = built[0].events.last()
    assert (event.act, event.why, event.pieces) == (Act.REFUSED, WHY, {"1": 3})
    assert WHY in Letter.objects.last().body
    assert Notice.objects.count() == before


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"cannot_why": WHY}, "Tick the lines"),
        ({"cannot": "first"}, '<a href="#cannot_why">Say in a few words why'),
        ({"cannot": "first", "cannot_why": "w" * 501}, "at most 500"),
        ({"cannot": "999999", "cannot_why": WHY}, "not in Factory order"),
    ],
)
def test_half_of_it_comes_back_with_what_was_typed(client, built, first, said, words):
    """One sentence; what was ticked and typed stands where it stood, and nothing is written."""
    said = {name: first.pk if value == "first" else value for name, value in said.items()}
    answer = client.post(path(page_of_factory(built[1])), {"do": "cannot", **said})
    page = answer.content.decode()
    assert answer.status_code == 422 and words in page
    assert not built[0].events.filter(act=Act.REFUSED).exists()
    if "cannot" in said and said["cannot"] == first.pk:
        assert re.search(rf'name="cannot" value="{first.pk}"[^>]* checked', page)


def test_the_desk_writes_it_down_for_the_factory(client, built, first):
    """What the factory says by phone, on the desk's page of the factory order; nobody is mailed."""
    client.force_login(user("max", "manager"))
    before = Letter.objects.count()
    said = {"do": "cannot", "cannot": first.pk, "cannot_why": WHY}
    client.post(f"/factory-orders/{built[1].pk}/", said)
    assert state_of(built[0]).lines[1].is_refused
    assert Letter.objects.count() == before


def test_when_names_no_window(client, refused):
    """The sentence says it, the other line keeps its window, and the desk reads the factory's words and what to do."""
    client.force_login(user("max", "manager"))
    page = text(client.get("/when/", {"q": refused.number}))
    sentence = re.search(r"“(.*?)”", page)[1]
    told = f"line 1 cannot be made as ordered, the factory told us on {today()}"
    assert told in sentence and "line 2 should leave the factory" in sentence
    assert len(WINDOW.findall(sentence)) == 2
    assert f"says since {today()} that it can't make it" in page
    assert WHY in page
    assert "Settle with the customer what takes its place" in page


def test_the_orders_page_names_no_window(client, refused):
    """Nor does the section of its line; the customer's next step is the desk's."""
    client.force_login(user("max", "manager"))
    page = client.get(f"/orders/{refused.pk}/").content.decode()
    section = re.search(r'<section[^>]*aria-labelledby="line-1".*?</section>', page, re.S)[0]
    assert not WINDOW.search(section) and "<svg" not in section
    assert "can't make it" in unescape(section) and "Settle with the customer" in section
    assert "<b>die" not in section


def test_staff_is_told_what_it_can_do(client, refused):
    """Who only answers the phone cannot cancel: a note for the counter is what they leave."""
    client.force_login(user("sam", "staff"))
    page = text(client.get("/when/", {"q": refused.number}))
    assert "write on the order what the caller would like" in page


def test_the_customers_page(client, refused):
    """A sentence fit for them, without the factory's words; the calendar takes the entry out."""
    address = path(page_of(refused))
    page = client.get(address).content.decode()
    section = re.search(r'<section[^>]*aria-labelledby="line-1".*?</section>', page, re.S)[0]
    assert "cannot be made as ordered" in section and not WINDOW.search(section)
    assert "<svg" not in section
    assert "slate" not in re.search(r'id="history".*?</section>', page, re.S)[0]
    calendar = client.get(f"{address}order.ics").content.decode()
    assert calendar.count("STATUS:CANCELLED") == 1 and calendar.count("BEGIN:VEVENT") == 2


def test_in_spanish(client, refused):
    """The customer's page speaks their language here, too."""
    type(refused.customer).objects.update(language="es")
    page = client.get(path(page_of(refused))).content.decode()
    assert "cannot be made" not in page and "no se puede" in page


def test_programs_are_told(tmp_path, refused):
    """By reference: no window, and why there is none."""
    asked, answers = tmp_path / "q.jsonl", tmp_path / "a.jsonl"
    asked.write_text(json.dumps({"id": 1, "reference": f"{refused.number}/1"}))
    today = str(timezone.localdate())
    call_command("when", requests=str(asked), answers=str(answers), as_of=today)
    answer = json.loads(answers.read_text())
    assert "can't make it" in answer["error"] and "earliest" not in answer


def test_the_watch_list_and_the_first_page(client, refused, first):
    """It waits there until it is settled, with the factory's words."""
    (one,) = [one for one in watch_list() if one.item.need is Need.REFUSED]
    assert one.item.key == ("line", first.pk) and WHY in one.item.why
    client.force_login(user("max", "manager"))
    for address in ("/", "/watch/"):
        page = text(client.get(address))
        assert "that it can't make it" in page and refused.number in page


def test_nobody_is_told_a_window_of_it(refused):
    """However long it lasts, no moved window and no delay is written of it."""
    before = Notice.objects.count()
    OrderLine.objects.filter(order=refused, number=2).update(is_open=False)
    assert watch(refused.pk) == []
    assert Notice.objects.count() == before
    assert line_views(refused)[0].window is None


def test_nothing_is_learned_of_it(refused):
    """What is not being made is no open order of the factory's past."""
    assert not PastOrder.objects.filter(reference=f"{refused.number}/1").exists()
    assert PastOrder.objects.filter(reference=f"{refused.number}/2").exists()
    assert list(findings()) == []


def test_a_date_after_all_ends_it(client, built, first, refused):
    """The same day as before counts, too; the customer gets it in writing, and the window is back."""
    give_dates(built[1].pk, {first.pk: soon()}, FACTORY)
    now = state_of(refused).lines[1]
    assert not now.is_refused and now.promised_on == soon() and now.told
    assert Notice.objects.last().kind == "confirmed"
    client.force_login(user("max", "manager"))
    page = text(client.get("/when/", {"q": refused.number}))
    assert "can't make it" not in page.split("What happened")[0]
    assert PastOrder.objects.filter(reference=f"{refused.number}/1").exists()
    assert not [one for one in watch_list() if one.item.need is Need.REFUSED]


def test_a_date_for_all_is_none_of_it(client, built, first, refused):
    """A date given for all lines at once is one of those that are made; its own box says that it is made after all."""
    address = path(page_of_factory(built[1]))
    client.post(address, {"do": "dates", "all": soon(40), "why": "later"})
    now = state_of(refused)
    assert now.lines[1].is_refused and now.lines[2].promised_on == soon(40)
    client.post(address, {"do": "dates", f"date-{first.pk}": soon(40)})
    assert not state_of(refused).lines[1].is_refused


def test_a_cancelled_line_ends_it(client, refused):
    """And the counter may cancel it, also where its making had begun."""
    cancel(refused.pk, [1], "the factory can't make it", CLERK, tells=False)
    client.force_login(user("max", "manager"))
    page = text(client.get("/when/", {"q": refused.number}))
    assert "Settle with the customer" not in page and "line 1 was cancelled" in page
    assert not [one for one in watch_list() if one.item.need is Need.REFUSED]


def test_taken_back_the_window_told_stands_again(refused):
    """Written of the wrong line: as if it had not been said, and nobody is written to."""
    before = Notice.objects.count()
    take_back(refused.pk, refused.events.last().number, "the other line", MANAGER)
    now = state_of(refused).lines[1]
    assert not now.is_refused and now.told and now.promised_on == soon()
    assert Notice.objects.count() == before


def test_a_part_of_it_had_left(built, first):
    """Of three one has left: the other two can't be made, and what left is told as it is."""
    shipped(built[1].pk, {first.pk: 1}, timezone.localdate(), FACTORY)
    cannot_make(built[1].pk, [first.pk], WHY, FACTORY)
    (view, _other) = line_views(built[0])
    assert view.stands.startswith("has left in part, 1 of 3; the rest cannot be made as ordered")


def test_what_it_cannot_make_is_not_lost_to_the_customer(built, first):
    """Of what a factory had begun and can't finish the counter cancels the rest, and all of that is paid back."""
    write(built[0].pk, Act.MAKING, {1: 3}, FACTORY)
    shipped(built[1].pk, {first.pk: 1}, timezone.localdate(), FACTORY)
    cannot_make(built[1].pk, [first.pk], WHY, FACTORY)
    cancel(built[0].pk, [1], "the factory can't make the rest", CLERK, tells=False)
    now = state_of(built[0]).lines[1]
    assert (now.going, now.forfeit, now.is_refused) == (1, 0, False)
    assert now.step == "left"


def test_what_waits_to_be_mailed_is_overtaken(built):
    """A date confirmed and not mailed yet is not mailed after it."""
    cannot_make(built[1].pk, built[1].lines.values_list("pk", flat=True), WHY, FACTORY)
    sweep()
    dropped = Notice.objects.get(kind="confirmed")
    assert dropped.dropped_at and dropped.last_error == "the factory can't make it"


def test_said_once(built, first, refused):
    """Pressed again it is refused with a sentence; two windows of a browser do not write it twice."""
    with pytest.raises(NotAllowed, match="already"):
        cannot_make(built[1].pk, [first.pk], WHY, FACTORY)


def test_words_that_wait_are_beside_the_window(client, built):
    """What a factory asks before it says that it can't: whoever reads a window out knows that words wait."""
    from ordering.events import say

    say(built[1].pk, "Is the stop right?", FACTORY)
    client.force_login(user("max", "manager"))
    for address in (f"/when/?q={built[0].number}", f"/orders/{built[0].pk}/"):
        page = text(client.get(address))
        assert "Is the stop right?" in page and "waits for our word" in page
