"""The desk's record counts every window told against what came of it, and hides none."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from ordering.lists.record import record
from ordering.models import OrderLine, ToldWindow
from tests.ordering.placed import load_shop, placed_order, user

pytestmark = pytest.mark.django_db
JAN, FEB = date(2025, 1, 6), date(2025, 2, 3)


@pytest.fixture
def told():
    load_shop()

    def told(on, first, last, left_on, step="left"):
        """A window told `on`, from `first` to `last` days later; the line left `left_on` days later."""
        line = placed_order().lines.get()
        ToldWindow.objects.filter(line=line).delete()
        ToldWindow.objects.create(
            line=line, event=line.order.events.get(), told_on=on, earliest=on + timedelta(first),
            likely=on + timedelta(first), latest=on + timedelta(last),
        )  # fmt: skip
        left = None if left_on is None else on + timedelta(left_on)
        OrderLine.objects.filter(pk=line.pk).update(left_on=left, step=step)

    return told


def test_inside_early_late_and_overdue(told):
    """Both ends count as inside; one still at the factory after its last day counts as late."""
    for left in (20, 30):
        told(JAN, 20, 30, left)
    told(JAN, 20, 30, 19)
    told(JAN, 20, 30, 33)
    told(FEB, 20, 26, None)
    kept = record()
    january, february = kept.months
    assert (january.windows, january.inside, january.early, january.late) == (4, 2, 1, 1)
    assert (january.share, january.width, january.worst) == (0.5, 11, 3)
    assert (february.inside, february.late, february.width) == (0, 1, 7)
    assert february.worst == (date.today() - FEB - timedelta(26)).days
    assert kept.whole.windows == 5
    assert [group.name for group in kept.factories] == ["Otter Hollow Millwork"]


def test_what_is_open_is_not_judged(told):
    """A window whose last day is still to come is counted as open; a cancelled line not at all."""
    told(date.today(), 10, 20, None)
    told(JAN, 20, 30, None, step="cancelled")
    kept = record()
    assert (kept.whole, kept.open) == (None, 1)


def test_the_page_shows_plots_with_their_tables(client, told):
    """The numbers of each plot stand in a table under it."""
    told(JAN, 20, 30, 25)
    client.force_login(user("max", "manager"))
    page = client.get(reverse("record")).content.decode()
    assert page.count("<svg") == 2
    assert "Jan 2025" in page and "100 %" in page
    assert "1 of 1 windows held" in page
