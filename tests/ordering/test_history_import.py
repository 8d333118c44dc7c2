from datetime import date

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command

from ordering.history import COLUMNS
from ordering.models import PastOrder
from sizing.models import PublishedWindow
from tests.ordering.past_of_a_mill import mill

HEAD = "reference,family,part_number,quantity,ordered_on,shipped_on,promised_on\n"
pytestmark = pytest.mark.django_db


@pytest.fixture
def take(tmp_path, capsys):
    mill(ROVE=(4, 8))

    def taken(text, *options):
        path = tmp_path / "past.csv"
        path.write_text(text)
        call_command("import_history", str(path), *options)
        return capsys.readouterr().out

    return taken


def test_orders_are_stored(take):
    """Each line becomes a past order, open where shipped_on is blank."""
    take(
        HEAD + "K-1,ROVE,RV-20,3,2026-01-05,2026-02-10,2026-02-09\nK-2,ROVE,RV-20,1,2026-01-06,,\n"
    )
    first, second = PastOrder.objects.order_by("reference")
    assert (first.shipped_on, first.promised_on) == (date(2026, 2, 10), date(2026, 2, 9))
    assert second.shipped_on is None


def test_a_second_import_brings_up_to_date(take):
    """The same reference again changes the order that is there and doubles none."""
    take(HEAD + "K-1,ROVE,RV-20,3,2026-01-05,,\n")
    said = take(HEAD + "K-1,ROVE,RV-20,4,2026-01-05,2026-02-10,\n")
    assert "Orders read: 1; new: 0." in said
    order = PastOrder.objects.get()
    assert (order.quantity, order.shipped_on) == (4, date(2026, 2, 10))


def test_a_bad_line_far_down_stores_nothing(take):
    """A fault in the last of many lines leaves the database as it was."""
    good = "".join(f"K-{i},ROVE,RV-20,3,2026-01-05,,\n" for i in range(6000))
    with pytest.raises(CommandError, match="line 6002, quantity") as refused:
        take(HEAD + good + "K-x,ROVE,RV-20,none,2026-01-05,,\n")
    assert refused.value.returncode == 2
    assert not PastOrder.objects.exists()


def test_a_file_that_is_not_there(capsys):
    """A wrong file name is one sentence and status 2."""
    with pytest.raises(CommandError, match="cannot be read") as refused:
        call_command("import_history", "nowhere.csv")
    assert refused.value.returncode == 2


def test_part_numbers_no_table_has_are_named(take):
    """Orders of unknown part numbers are kept, and the note says how many and which numbers."""
    said = take(HEAD + "K-1,ROVE,OLD-1,3,2026-01-05,,\nK-2,ROVE,OLD-1,3,2026-01-05,,\n")
    assert "stands in no size table: 2; they are kept. The part numbers: OLD-1." in said


def test_a_promise_before_the_order_is_noted(take):
    """A promise for a day before the order is kept, and said not to be taken for one."""
    said = take(HEAD + "K-1,ROVE,RV-20,3,2026-01-05,,2026-01-02\n")
    assert "promised for a day before they were placed: 1" in said


def test_windows_are_published_after_an_import(take):
    """An import publishes a window for the family and for each part of the past."""
    take(HEAD + "K-1,ROVE,RV-20,3,2026-01-05,2026-02-10,\n")
    assert set(PublishedWindow.objects.values_list("part_number", flat=True)) == {"", "RV-20"}


def test_no_publish_leaves_the_windows(take):
    """With --no-publish the published windows stay as they are."""
    take(HEAD + "K-1,ROVE,RV-20,3,2026-01-05,2026-02-10,\n", "--no-publish")
    assert not PublishedWindow.objects.exists()


def test_the_readme_names_the_columns():
    """Whoever writes the file has nothing else to go by."""
    assert ",".join(COLUMNS) in (settings.BASE_DIR / "README.md").read_text()
