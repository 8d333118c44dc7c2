"""The desk's record counts every window told against what came of it, and hides none."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from ordering.judged import judge_all
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


def judged(**said):
    """The record after the night's judging, of what `said` asks for."""
    judge_all(date.today())
    return record(said)


def test_inside_early_late_and_overdue(told):
    """Both ends count as inside; one still at the factory after its last day counts as late."""
    for left in (20, 30):
        told(JAN, 20, 30, left)
    told(JAN, 20, 30, 19)
    told(JAN, 20, 30, 33)
    told(FEB, 20, 26, None)
    kept = judged()
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
    kept = judged()
    assert (kept.whole, kept.open) == (None, 1)


def test_from_one_month_to_another(told):
    """Only what was told in these months counts, both included; of one factory only its own."""
    for on in (JAN, FEB, date(2025, 3, 3)):
        told(on, 20, 30, 25)
    assert judged(since="2025-02", until="2025-02").whole.windows == 1
    assert [m.name for m in judged(since="2025-02").months] == ["Feb 2025", "Mar 2025"]
    factory = OrderLine.objects.first().factory_id
    assert judged(factory=factory).whole.windows == 3
    assert judged(factory=factory + 1000).whole is None


def test_middle_width(told):
    """Half are as wide or less: of an even count halfway between the two in the middle."""
    for last in (20, 21, 25):
        told(JAN, 20, last, 20)
    assert judged().whole.width == 2
    told(JAN, 20, 28, 20)
    assert judged().whole.width == 4


def test_judged_again(told):
    """Each night judges anew: a late line that has left since is counted once, as what it came to."""
    told(JAN, 20, 30, None)
    assert judged().whole.worst > 1
    OrderLine.objects.update(left_on=JAN + timedelta(31))
    again = judged()
    assert (again.whole.windows, again.whole.late, again.whole.worst) == (1, 1, 1)
    assert again.judged_on == date.today()


def test_the_page_shows_plots_with_their_tables(client, told):
    """The numbers of each plot stand in a table under it."""
    told(JAN, 20, 30, 25)
    judged()
    client.force_login(user("max", "manager"))
    page = client.get(reverse("record")).content.decode()
    assert page.count("<svg") == 2
    assert "Jan 2025" in page and "100 %" in page
    assert "1 of 1 windows held" in page
    assert f"{date.today():%B %Y}" in page
