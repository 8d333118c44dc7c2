"""Who has no e-mail address is called: a line of the watch list until somebody has, one for all there is to say."""

from datetime import timedelta

import pytest
from django.utils import timezone

from ordering.attention import Need
from ordering.events import called, give_dates, place_from_quote, send_to_factories
from ordering.lists.watch import watch_list
from ordering.models import Notice
from tests.ordering.placed import CLERK, FACTORY, accepted_quote, load_shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()


def test_no_address_is_a_call_to_make():
    """A customer without e-mail is put on the watch list to be called, and noted once."""
    quote = accepted_quote(email="")
    place_from_quote(quote.pk, CLERK)
    notice = Notice.objects.get()
    assert [noted.item.why for noted in watch_list()] == [
        "no e-mail address: call Mara Quill, 802 555 0117 (order placed)"
    ]
    assert called(notice.pk, CLERK) and not called(notice.pk, CLERK)
    assert watch_list() == []


def test_all_there_is_to_say_of_an_order_is_one_call():
    """Three notices to somebody without e-mail are one line of the watch list, and one press; what comes later is another."""
    quote = accepted_quote(email="")
    order = place_from_quote(quote.pk, CLERK)
    other = place_from_quote(accepted_quote(email="").pk, CLERK)
    (sent,) = send_to_factories([order.lines.get().pk], CLERK)
    for days in (20, 27):
        day = timezone.localdate() + timedelta(days)
        give_dates(sent.pk, {order.lines.get().pk: day}, FACTORY, why="the mill")
    calls = {n.item.why.split("(")[1]: n.item for n in watch_list() if n.item.need is Need.CALL}
    assert calls.keys() == {"order placed, date confirmed, date moved)", "order placed)"}
    assert called(calls["order placed, date confirmed, date moved)"].key[1], CLERK)
    assert [n.event.order for n in Notice.objects.filter(to="", sent_at=None)] == [other]
    give_dates(sent.pk, {order.lines.get().pk: day + timedelta(7)}, FACTORY, why="the mill")
    assert "call Mara Quill, 802 555 0117 (date moved)" in " ".join(
        n.item.why for n in watch_list()
    )
