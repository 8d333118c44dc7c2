import pytest
from django.core.management import call_command

from ordering.models import PastOrder
from ordering.publish import publish_windows
from sizing.models import PublishedWindow
from tests.ordering.past_of_a_mill import mill, past

pytestmark = pytest.mark.django_db


def test_without_history_the_declared_weeks_are_published():
    """A family without a past is published with five working days to its declared week."""
    mill(ROVE=(4, 8))
    publish_windows()
    window = PublishedWindow.objects.get()
    assert (window.earliest_days, window.likely_days, window.latest_days) == (20, 30, 40)
    assert window.basis.endswith("the factory says 4 to 8 weeks")


def test_every_part_of_the_past_has_its_window():
    """Each part ordered before is published, narrower than the declared weeks."""
    mill(ROVE=(4, 8))
    past("ROVE", 90, days=20)
    publish_windows()
    parts = PublishedWindow.objects.exclude(part_number="")
    assert {w.part_number for w in parts} == {"ROVE0", "ROVE1", "ROVE2"}
    assert all(w.earliest_days <= w.likely_days <= w.latest_days < 30 for w in parts)


def test_publishing_again_replaces():
    """A second run leaves one window a part, and none for a part that is gone."""
    mill(ROVE=(4, 8), TARN=(2, 3))
    past("ROVE", 30, days=20)
    publish_windows()
    PastOrder.objects.filter(part_number="ROVE2").delete()
    call_command("publish_windows")
    assert sorted(PublishedWindow.objects.values_list("family__code", "part_number")) == [
        ("ROVE", ""), ("ROVE", "ROVE0"), ("ROVE", "ROVE1"), ("TARN", ""),
    ]  # fmt: skip
