"""A factory that writes in its own words that it can't make something has ticked nothing: one press of the desk, beside the
words, makes a refusal of them."""

import re
from datetime import timedelta
from html import unescape

import pytest
from django.utils import timezone

from ordering.events import cannot_make, give_dates, say
from ordering.links import page_of, page_of_factory
from ordering.logged import state_of
from ordering.models import FactoryOrder
from tests.ordering.placed import FACTORY, load_shop, sent_order, user
from tests.quotes.shop import cottage_opening, part_opening

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]

WORDS = "Sorry, the <die> broke, we can't make the slate one."


def build():
    """(order, factory order) of two lines with their dates, and the factory's words."""
    load_shop()
    order, sent = sent_order(part_opening(quantity=3), cottage_opening())
    day = timezone.localdate() + timedelta(30)
    give_dates(sent.pk, dict.fromkeys(sent.lines.values_list("pk", flat=True), day), FACTORY)
    say(sent.pk, WORDS, FACTORY)
    return order, sent


@pytest.fixture
def first(built):
    return built[0].lines.get(number=1)


def text(answer):
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())))


def pressed(client, page, line):
    """Press the button of the line that stands beside the words on a page, with all that its form holds."""
    html = client.get(page).content.decode()
    for form in re.findall(r"<form.*?</form>", html, re.S):
        button = re.search(rf'<button name="cannot" value="{line.pk}"', form)
        if button:
            held = re.findall(r'<input type="hidden" name="([^"]*)" value="([^"]*)"', form)
            fields = {name: unescape(value) for name, value in held}
            address = re.search(r'<form[^>]* action="([^"]*)"', form)
            return client.post(
                address[1] if address else page, {**fields, "cannot": line.pk}, follow=True
            )
    raise AssertionError(f"no button for line {line} on {page}")


@pytest.mark.parametrize("page", ["factory-orders/{sent}", "orders/{order}", "when/?q={number}"])
def test_one_press_wherever_they_are_read(client, built, first, page):
    """On the factory order, on the order and where the day is read out: the line has no day from then on."""
    order, sent = built
    client.force_login(user())
    address = "/" + page.format(sent=sent.pk, order=order.pk, number=order.number)
    done = pressed(client, address if "?" in address else f"{address}/", first)
    now = state_of(order).lines
    assert now[1].is_refused and WORDS in now[1].refused_why and not now[2].is_refused
    assert "can't make it" in text(done)
    assert "cannot be made as ordered" in text(client.get("/" + page_of(order).split("/", 3)[3]))


def test_words_wait_while_they_may_be_of_another_line(client, built, first):
    """Of two lines one is refused: the words may hold more, so they stay until somebody has dealt with them."""
    _order, sent = built
    client.force_login(user())
    address = f"/factory-orders/{sent.pk}/"
    pressed(client, address, first)
    assert WORDS in FactoryOrder.objects.get(pk=sent.pk).said
    assert f'name="cannot" value="{first.pk}"' not in client.get(address).content.decode()
    pressed(client, address, _order.lines.get(number=2))
    sent.refresh_from_db()
    assert sent.said == "" and sent.said_on is None


def test_written_since(client, built, first):
    """Somebody else wrote of the line while the page stood open: it is said, and nothing is refused."""
    order, sent = built
    client.force_login(user())
    sent.refresh_from_db()
    page = f"/factory-orders/{sent.pk}/"
    said = {
        "do": "said",
        "shown": sent.said,
        "cannot": first.pk,
        f"version-{first.pk}": first.version,
    }
    give_dates(
        sent.pk, {first.pk: timezone.localdate() + timedelta(41)}, FACTORY, why="a week more"
    )
    answer = client.post(page, said)
    assert answer.status_code == 422 and "was changed meanwhile" in answer.content.decode()
    assert not state_of(order).lines[1].is_refused


def test_long_words_are_kept_as_far_as_a_reason_goes(client, built, first):
    """Several sayings are longer than one reason: its beginning is kept, all of it stands in the history."""
    order, sent = built
    say(sent.pk, "w" * 490, FACTORY)
    client.force_login(user())
    pressed(client, f"/orders/{order.pk}/", first)
    why = state_of(order).lines[1].refused_why
    assert WORDS in why and len(why) <= 500


def test_not_by_the_link_of_the_factory(client, built, first):
    """It ticks what it can't make, with a reason of its own; what we have dealt with is ours."""
    order, sent = built
    address = "/" + page_of_factory(sent).split("/", 3)[3]
    client.post(address, {"do": "said", "shown": sent.said, "cannot": first.pk})
    assert not state_of(order).lines[1].is_refused
    assert 'value="said"' not in client.get(address).content.decode()


def test_staff_only_reads_it(client, built):
    client.force_login(user("sam", "staff"))
    page = client.get(f"/orders/{built[0].pk}/").content.decode()
    assert "the &lt;die&gt; broke" in page and 'value="said"' not in page


def test_what_is_refused_already_has_no_button(client, built, first):
    cannot_make(built[1].pk, [first.pk], "broken", FACTORY)
    client.force_login(user())
    for page in (f"/factory-orders/{built[1].pk}/", f"/orders/{built[0].pk}/"):
        assert f'name="cannot" value="{first.pk}"' not in client.get(page).content.decode()
