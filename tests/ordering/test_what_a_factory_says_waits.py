"""What a factory asks or says of an order waits on the watch list until the desk has dealt with it; so long nobody
takes the factory for silent or reminds it."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from ordering.attention import Need
from ordering.events import Who, chase, dealt_with, say
from ordering.links import page_of
from ordering.lists.watch import fetched, watch_list
from ordering.models import FactoryOrder
from ordering.states import NotAllowed
from tests.ordering.placed import CLERK, load_shop, sent_order, user

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]

FACTORY = Who("Jo of Otter Hollow Millwork", "factory")
WORDS = "The slate is out: will ash do?"


def build():
    """The factory order, sent long ago and not answered."""
    load_shop()
    _order, sent = sent_order()
    FactoryOrder.objects.update(sent_on=timezone.localdate() - timedelta(days=30))
    return sent


def deal(sent):
    """As the desk's page shows it now."""
    sent.refresh_from_db()
    dealt_with(sent.pk, sent.said, CLERK)


def needs(sent):
    return {one.item.need for one in watch_list() if one.item.key == ("factory_order", sent.pk)}


def test_it_waits_until_it_is_dealt_with(built):
    """In the place of the silence stands what the factory says, on the list and the first page; then silence again."""
    assert needs(built) == {Need.NO_ANSWER}
    say(built.pk, WORDS, FACTORY)
    assert needs(built) == {Need.ASKS}
    (one,) = fetched([one for one in watch_list() if one.item.need is Need.ASKS])
    assert one.item.why == f"of {built.number}: {FACTORY.name}: {WORDS}" and one.asks
    deal(built)
    assert needs(built) == {Need.NO_ANSWER}


def test_two_sayings_stand_together(built):
    """The second does not take the place of the first, and both wait since the first."""
    say(built.pk, WORDS, FACTORY)
    FactoryOrder.objects.update(said_on=timezone.localdate() - timedelta(days=3))
    say(built.pk, "And the oak?", FACTORY)
    built.refresh_from_db()
    assert built.said.splitlines() == [f"{FACTORY.name}: {WORDS}", f"{FACTORY.name}: And the oak?"]
    assert built.said_on == timezone.localdate() - timedelta(days=3)


def test_what_came_meanwhile_waits_on(built):
    """Only what the desk's page showed is dealt with, sent by a browser with its own line ends; pressed twice, once."""
    say(built.pk, WORDS, FACTORY)
    say(built.pk, "In a week.", FACTORY)
    built.refresh_from_db()
    shown = built.said.replace("\n", "\r\n")
    say(built.pk, "And the oak?", FACTORY)
    for _press in range(2):
        dealt_with(built.pk, shown, CLERK)
        built.refresh_from_db()
        assert built.said == f"{FACTORY.name}: And the oak?" and built.said_on


def test_it_is_not_reminded_meanwhile(built):
    """Who waits for our word is not asked again for its answer."""
    say(built.pk, WORDS, FACTORY)
    with pytest.raises(NotAllowed, match="waits for our word"):
        chase(built.pk, CLERK)
    deal(built)
    chase(built.pk, CLERK)


def test_on_its_page(client, built):
    """The desk reads it on the factory order and on both lists, and one press takes it off."""
    say(built.pk, "Is <b>ash</b> right?", FACTORY)
    client.force_login(user("max", "manager"))
    address = f"/factory-orders/{built.pk}/"
    assert address in client.get("/watch/").text and "Factories ask" in client.get("/").text
    page = client.get(address).text
    assert "Is &lt;b&gt;ash&lt;/b&gt; right?" in page and "Dealt with" in page
    client.post(address, {"do": "dealt", "shown": f"{FACTORY.name}: Is <b>ash</b> right?"})
    built.refresh_from_db()
    assert (built.said, built.said_on) == ("", None)
    assert "Dealt with" not in client.get(address).text


def test_not_by_the_factorys_own_link(built):
    """Only the desk says that it is dealt with."""
    say(built.pk, WORDS, FACTORY)
    with pytest.raises(NotAllowed):
        dealt_with(built.pk, "", FACTORY)
    built.refresh_from_db()
    assert built.said


def test_the_customer_does_not_read_it(client, built):
    """The customer's page has the order's history without the desk's notes."""
    say(built.pk, WORDS, FACTORY)
    order = built.lines.get().order
    page = client.get("/" + page_of(order).split("/", 3)[3])
    assert page.status_code == 200 and "slate is out" not in page.text


def test_it_is_found_by_its_own_index(built):
    """Joined with the factory, a database may begin there and read every order that it ever had: of a million 150 ms."""
    say(built.pk, WORDS, FACTORY)
    with CaptureQueriesContext(connection) as asked:
        watch_list()
    (question,) = [one["sql"] for one in asked if '"said_on" IS NOT NULL' in one["sql"]]
    assert "JOIN" not in question
