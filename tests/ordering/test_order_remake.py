"""Pieces that came out wrong are made again as a new line, with the cause kept."""

from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from ordering.events import cancel, make_again, send_to_factories, shipped, write
from ordering.events.fields import windows_in_words
from ordering.judged import judge_all
from ordering.lists.orders import line_views
from ordering.lists.record import record
from ordering.logged import state_of
from ordering.models import Notice, Order
from ordering.states import Act, Cause, NotAllowed
from ordering.verifying import findings
from tests.ordering.placed import CLERK, FACTORY, load_shop, placed_order, sent_order, user

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    order, sent = sent_order()
    line = order.lines.get()
    shipped(sent.pk, {line.pk: 2}, timezone.localdate(), FACTORY)
    line.refresh_from_db()
    return line


@pytest.fixture
def line(built):
    return built


def test_a_new_line_of_the_same_part(line):
    """The new line has the part, no price, its cause, and can be sent like any other."""
    new = make_again(line.pk, 1, Cause.CALLER, "measured the visible glass", CLERK, tells=False)
    assert (new.number, new.part, new.quantity, new.unit_price) == (2, line.part, 1, None)
    assert (new.remake_of, new.cause, new.step) == (line, "caller", "placed")
    assert send_to_factories([new.pk], CLERK)[0].lines.get() == new


def test_no_more_than_were_made(line):
    """Three can't be made again when two have left."""
    with pytest.raises(NotAllowed, match="2 have been made"):
        make_again(line.pk, 3, Cause.FACTORY, "bent", CLERK, tells=False)
    assert line.order.lines.count() == 1


def test_no_piece_is_made_again_twice(line, client):
    """Both that left are lost and made again: the same two again would bring the customer four for three."""
    make_again(line.pk, 2, Cause.CARRIER, "lost", CLERK, tells=False)
    with pytest.raises(NotAllowed, match="2 of it are made again already, which leaves 0"):
        make_again(line.pk, 1, Cause.CARRIER, "lost", CLERK, tells=False)
    assert line.order.lines.count() == 2
    client.force_login(user())
    assert "again-count-1" not in client.get(reverse("order", args=[line.order_id])).text
    note(line, Act.LEFT, 1)
    assert make_again(line.pk, 1, Cause.CARRIER, "lost, too", CLERK, tells=False).number == 3


def test_what_the_customer_has_is_not_made_again_twice(line):
    """Two handed over and made again: the first two are nobody's trouble any more, the third piece may be."""
    note(line, Act.ARRIVED, 2)
    note(line, Act.HANDED, 2)
    make_again(line.pk, 2, Cause.FACTORY, "scratched", CLERK, tells=False)
    with pytest.raises(NotAllowed, match="2 of it are made again already, which leaves 0"):
        make_again(line.pk, 1, Cause.FACTORY, "scratched", CLERK, tells=False)
    note(line, Act.LEFT, 1)
    make_again(line.pk, 1, Cause.CARRIER, "lost", CLERK, tells=False)
    assert line.order.lines.count() == 3


@pytest.mark.parametrize(("cancelled", "left"), [(2, 0), (1, 1)])
def test_what_was_cancelled_off_our_shelf_is_not_made_again(built, cancelled, left):
    """Screws that came to the dock and were cancelled there go back to the shelf."""
    order = placed_order(hand=True)
    screws = order.lines.get(factory=None)
    note(screws, Act.ARRIVED, 2)
    cancel(
        order.pk, [screws.number], "fewer", CLERK, tells=False, counts={screws.number: cancelled}
    )
    with pytest.raises(
        NotAllowed,
        match=f"2 cannot be made again: {cancelled} of it .* cancelled, which leaves {left}",
    ):
        make_again(screws.pk, 2, Cause.DESK, "rusty", CLERK, tells=False)
    assert order.lines.count() == 2


def test_the_record_counts_causes(line):
    """The desk's record counts what was made again by family and cause."""
    make_again(line.pk, 1, Cause.CARRIER, "crushed", CLERK, tells=False)
    make_again(line.pk, 1, Cause.CARRIER, "crushed", CLERK, tells=False)
    judge_all(date.today())
    assert record().remakes == [("Otter Hollow jamb liner", "Lost or broken by the carrier", 2)]


def test_the_customer_is_told_when(line, client):
    """One mail with what it is, what happened and the window of the new line; the page says so."""
    order = line.order
    said = {
        "count": "1",
        "cause": "carrier",
        "why": "The carton was crushed.",
        "version": line.version,
    }
    client.force_login(user())
    address = reverse("order-again", args=[order.pk, 1])
    page = client.post(address, said, follow=True).content.decode()
    assert "It is made again as line 2; send it to the factory. Mara Quill is written to." in page
    (notice,) = Notice.objects.filter(kind="again")
    told = windows_in_words({2: state_of(order).lines[2]})
    assert "2. 1 pair of " in notice.body and "The carton was crushed." in notice.body
    assert told and told in notice.body
    assert list(findings()) == []


@pytest.mark.parametrize(
    ("pickup", "cause", "words"),
    [
        (True, Cause.FACTORY, "1 pair of line 1, which we had called ready: please do not come for that."),
        (False, Cause.FACTORY, "1 pair of line 1, which we had called ready; that stays with us."),
        (True, Cause.CARRIER, "1 pair of line 1 on the way to us; that will not come."),
    ],
)  # fmt: skip
def test_nobody_drives_for_what_is_made_again(line, pickup, cause, words):
    """Of two on their way one came and was called ready: the mail says which of them is replaced."""
    Order.objects.update(pickup=pickup, ship_to=["4 Mill Lane"])
    note(line, Act.ARRIVED, 1)
    make_again(line.pk, 1, cause, "The corner is crushed.", CLERK, tells=True)
    body = Notice.objects.get(kind="again").body
    assert f"The corner is crushed.\n\nThis takes the place of {words}\n" in body
    assert body.count("takes the place") == 1


def test_what_the_customer_has_is_not_called_away(line):
    """Handed over already: nothing waits that they could drive for."""
    note(line, Act.ARRIVED, 2)
    note(line, Act.HANDED, 2)
    make_again(line.pk, 1, Cause.CALLER, "measured the visible glass", CLERK, tells=True)
    assert "takes the place" not in Notice.objects.get(kind="again").body


def test_who_knows_is_not_written_to(line, client):
    """The customer on the phone needs no mail; what was mistyped stays in its boxes."""
    said = {
        "count": "9",
        "cause": "desk",
        "why": "cut short",
        "version": line.version,
        "known": "yes",
    }
    client.force_login(user())
    address = reverse("order-again", args=[line.order.pk, 1])
    refused = client.post(address, said)
    page = refused.content.decode()
    assert (refused.status_code, 'value="9"' in page, 'value="cut short"' in page) == (
        422,
        True,
        True,
    )
    assert '<option value="desk" selected>' in page
    assert client.post(address, said | {"count": "1"}).status_code == 302
    assert not Notice.objects.filter(kind="again").exists()


def note(line, act, count):
    return write(line.order_id, act, {line.number: count}, CLERK)


def how(line):
    """What is read out of the line, and how it stands."""
    order = Order.objects.get(pk=line.order_id)
    (view,) = (v for v in line_views(order) if v.line.number == line.number)
    return view.counted.split(" of ")[0], view.stands, view.state.words


def test_what_broke_at_our_dock_is_not_ready(line):
    """Of two that came one is broken: one is ready, one is handed over, and then the line is done."""
    note(line, Act.ARRIVED, 2)
    make_again(line.pk, 1, Cause.FACTORY, "cut short", CLERK, tells=False)
    assert how(line)[2].endswith("1 of 3 at our dock; 1 of 3 made again")
    with pytest.raises(NotAllowed, match="1 is at our dock and ready"):
        note(line, Act.HANDED, 2)
    note(line, Act.LEFT, 1)
    note(line, Act.ARRIVED, 1)
    assert how(line)[:2] == ("2 pairs", "is at our dock, ready to be picked up")
    note(line, Act.HANDED, 2)
    assert (how(line)[1].startswith("was handed over"), how(line)[2]) == (
        True,
        "Handed over; 2 of 3 handed over; 1 of 3 made again",
    )
    line.refresh_from_db()
    assert not line.is_open and list(findings()) == []


def test_what_the_carrier_lost_does_not_keep_the_line_open(line):
    """One of three never comes: two at the dock are all that is waited for."""
    note(line, Act.LEFT, 1)
    note(line, Act.ARRIVED, 2)
    make_again(line.pk, 1, Cause.CARRIER, "lost on the way", CLERK, tells=False)
    assert how(line)[:2] == ("2 pairs", "is at our dock, ready to be picked up")
    with pytest.raises(NotAllowed, match="on the way to our dock"):
        note(line, Act.ARRIVED, 1)
    note(line, Act.HANDED, 2)
    line.refresh_from_db()
    assert not line.is_open


def test_a_line_made_again_whole_is_not_handed_over(line):
    """Nothing of it reached the customer: it says that it is made again, as the new line's step says how."""
    note(line, Act.LEFT, 1)
    note(line, Act.ARRIVED, 3)
    make_again(line.pk, 3, Cause.DESK, "wrong finish", CLERK, tells=False)
    assert how(line) == ("3 pairs", "is made again", "Made again")
    line.refresh_from_db()
    assert (line.step, line.is_open, line.order.is_open) == ("again", False, True)
    assert list(findings()) == []


def test_what_the_customer_has_stays_handed_over(line):
    """Measured wrongly and found out at home: the old piece was handed over, as it was."""
    note(line, Act.ARRIVED, 2)
    note(line, Act.HANDED, 2)
    make_again(line.pk, 1, Cause.CALLER, "measured the visible glass", CLERK, tells=False)
    assert "2 of 3 handed over" in how(line)[2] and "made again" not in how(line)[2]


def test_the_cause_is_chosen_not_preset(line, client):
    client.force_login(user())
    said = {"count": "1", "cause": "", "why": "cut short", "version": line.version}
    refused = client.post(reverse("order-again", args=[line.order.pk, 1]), said)
    assert refused.status_code == 422 and "Choose the cause" in refused.content.decode()
