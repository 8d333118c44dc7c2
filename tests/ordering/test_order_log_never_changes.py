"""What has happened can't be changed or deleted."""

import pytest

from ordering.models import Event
from ordering.models.orders import NeverChanged
from tests.ordering.placed import load_shop, placed_order

pytestmark = pytest.mark.django_db


def change(event):
    event.why = "otherwise"
    event.save()


@pytest.mark.parametrize(
    "tamper",
    [
        change,
        lambda event: event.delete(),
        lambda event: Event.objects.filter(pk=event.pk).update(why="otherwise"),
        lambda event: Event.objects.all().delete(),
        lambda event: Event.objects.bulk_update([event], ["why"]),
        lambda event: event.order.events.update(by="nobody"),
    ],
    ids=["save", "delete", "update", "delete all", "bulk update", "through the order"],
)
def test_every_way_is_refused(tamper):
    """Each ordinary way of writing to an event is refused, and it reads as before."""
    load_shop()
    event = placed_order().events.get()
    before = Event.objects.values().get()
    with pytest.raises(NeverChanged):
        tamper(event)
    assert Event.objects.values().get() == before
