from datetime import date, timedelta

import numpy as np
import pytest
from django.core.management import call_command
from django.utils import timezone

from ordering import fits
from ordering.answers import When, lead_times
from ordering.estimator.packed import packed, unpacked
from ordering.events import give_dates, shut, write
from ordering.fits import learned_of, stamp_of
from ordering.models import LeadTimeFit, PastOrder
from ordering.publish import publish_windows
from ordering.states import Act
from sizing.models import Factory
from tests.ordering.past_of_a_mill import mill, past
from tests.ordering.placed import FACTORY, MANAGER, load_shop, sent_order

pytestmark = pytest.mark.usefixtures("built")
AS_OF = date(2025, 1, 6)
HEAD = "reference,family,part_number,quantity,ordered_on,shipped_on,promised_on\n"


def build() -> Factory:
    """A mill with a year of orders, some promised, some open, and its windows published."""
    made = mill(ROVE=(4, 8), TARN=(2, 3))
    past("ROVE", 110, days=20, promise=22)
    past("TARN", 40, days=12)
    publish_windows(AS_OF)
    return made


@pytest.fixture
def factory(built) -> Factory:
    return built


@pytest.fixture
def fitted_anew(monkeypatch):
    """The days that the past was read and fitted on."""
    days = []
    learn = fits.read_and_learn
    monkeypatch.setattr(
        fits, "read_and_learn", lambda factory, day: days.append(day) or learn(factory, day)
    )
    return days


def answers(day: date) -> list:
    when = When(day)
    late = PastOrder.objects.filter(ordered_on__lte=day, shipped_on__gt=day).order_by("id")
    asked = [when.of_reference(reference) for reference in late.values_list("reference", flat=True)]
    parts = [("ROVE", "ROVE1"), ("ROVE", "never seen"), ("TARN", "TARN0")]
    return asked + [when.of_part(family, part, day, 3) for family, part in parts]


def test_answers_are_the_same_with_and_without_the_stored_fit(factory, fitted_anew):
    """A stored fit answers to the day and the word as the past read anew does."""
    stored = answers(AS_OF)
    assert fitted_anew == []
    LeadTimeFit.objects.all().delete()
    assert answers(AS_OF) == stored
    assert fitted_anew == [AS_OF]
    assert len(stored) > 6


def test_the_stored_fit_is_the_same_to_the_last_bit(factory):
    """Every number comes back as it was stored."""
    fitted = fits.read_and_learn(factory, AS_OF)
    again = unpacked(packed(fitted))
    assert packed(again) == packed(fitted)
    assert again.calendar == fitted.calendar
    for one, other in zip(again.outlook.fits.made, fitted.outlook.fits.made, strict=True):
        assert np.array_equal(one.covariance, other.covariance)


def test_another_day_is_fitted_anew(factory, fitted_anew):
    """A stored fit answers for its own day only."""
    learned_of(factory, date(2024, 12, 2))
    assert fitted_anew == [date(2024, 12, 2)]


def import_one(folder):
    path = folder / "more.csv"
    path.write_text(HEAD + "N-1,ROVE,ROVE1,2,2024-11-04,2024-12-20,\n")
    call_command("import_history", str(path), no_publish=True)


def change_the_declared_weeks(_):
    factory = Factory.objects.get()
    factory.families.filter(code="TARN").update(lead_weeks_max=5)


def move_to_another_country(_):
    Factory.objects.update(country="CA")


def shut_a_week(_):
    shut(Factory.objects.get().pk, date(2027, 3, 1), date(2027, 3, 5), "")


@pytest.mark.parametrize(
    "change", [import_one, change_the_declared_weeks, move_to_another_country, shut_a_week]
)
def test_a_changed_past_makes_the_stored_fit_stale(factory, fitted_anew, change, tmp_path):
    """After an import, another declared window, country or shutdown the past is read again."""
    change(tmp_path)
    learned_of(Factory.objects.get(), AS_OF)
    assert fitted_anew == [AS_OF]


def test_another_estimator_makes_the_stored_fit_stale(factory, fitted_anew, monkeypatch):
    """A fit stored by another version of the estimator is not used."""
    monkeypatch.setattr(fits, "_estimator", lambda: "another")
    learned_of(factory, AS_OF)
    assert fitted_anew == [AS_OF]


def test_a_new_fit_takes_the_place_of_the_stale_one(factory, fitted_anew, tmp_path):
    """Publishing after an import stores the fit that the next question uses."""
    import_one(tmp_path)
    publish_windows(AS_OF)
    assert LeadTimeFit.objects.count() == 1
    del fitted_anew[:]
    lead_times(factory, AS_OF)
    assert fitted_anew == []


def test_an_order_sent_makes_the_stored_fit_stale():
    """What happens to the desk's own orders changes the stamp: sent, promised, shipped, cancelled."""
    load_shop()
    order, sent = sent_order()
    factory, line = order.lines.get().factory, order.lines.get()
    stamps = [stamp_of(factory)]
    give_dates(sent.pk, {line.pk: timezone.localdate() + timedelta(20)}, FACTORY)
    stamps.append(stamp_of(factory))
    write(order.pk, Act.CANCELLED, {1: 3}, MANAGER, why="sold the house")
    stamps.append(stamp_of(factory))
    assert len(set(stamps)) == 3
