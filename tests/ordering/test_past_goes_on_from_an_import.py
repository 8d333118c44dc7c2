"""A shop imports its past once and works on from there: what the import left open is not open for ever after, and the
weeks until its own first orders leave are no shutdown."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from ordering.estimator.lead_time import FactoryLeadTimes
from ordering.estimator.learned import NEVER, Declared, Part, Past, learn
from ordering.history import Line
from ordering.models import PastOrder
from ordering.past import store
from ordering.reading import read_and_learn
from sizing.models import Factory, Family
from sizing.workdays import Calendar
from tests.quotes.shop import load_liner

IMPORTED = date(2025, 3, 3)
TOOK = np.rint(22 + np.random.default_rng(8).normal(0, 2, 360)).astype(int)


def orders(days, first, every=2):
    ordered = np.datetime64(first) + every * np.arange(days.size)
    none, one = np.full(days.size, NEVER), np.ones(days.size, int)
    return Past(ordered, Calendar().add(ordered, days), none, one, 0 * one)


def imported(heard=NEVER):
    past = orders(TOOK, IMPORTED - timedelta(days=2 * (TOOK.size - 1))).as_of(IMPORTED)
    assert np.isnat(past.shipped).sum() > 10, "some are open as it is imported"
    return replace(past, heard=np.where(np.isnat(past.shipped), heard, NEVER))


def together(one, other):
    names = Past.__dataclass_fields__
    return Past(*(np.concatenate([getattr(one, n), getattr(other, n)]) for n in names))


def answers(past, as_of):
    part = Part(0, "RV-0", "standard", "ash")
    return FactoryLeadTimes(learn([Declared("ROVE", 4, 8)], [part], past, as_of))


def own(count, took=22):
    """As often as before, from the week after the import."""
    return orders(np.full(count, took), IMPORTED + timedelta(days=7))


@pytest.mark.parametrize("weeks", [2, 5, 7])
def test_its_windows_stay_as_they_were(weeks):
    """While the first own orders are made, and as they begin to leave, the window of a new one is what it was."""
    as_of = IMPORTED + timedelta(weeks=weeks)
    times = answers(together(imported(np.datetime64(IMPORTED)), own(3 * weeks)), as_of)
    window = times.of_part("ROVE", "RV-0", as_of)
    took = [Calendar().workdays_between(as_of, day) for day in (window.earliest, window.latest)]
    assert 17 <= took[0] <= 22 <= took[1] <= 27


def test_until_the_first_have_left_it_is_not_shut():
    """Of the weeks in which nothing could leave, each day counts for an order that waits."""
    as_of = IMPORTED + timedelta(weeks=8)
    past = together(imported(np.datetime64(IMPORTED)), own(20))
    calendar = answers(past, as_of).calendar
    shut = [IMPORTED + timedelta(days=n) for n in range(56)]
    assert [day for day in shut if calendar.why_shut(day) == "shutdown"] == []


def test_weeks_in_which_what_waits_does_not_leave_are_a_shutdown():
    """The same gap with as much waiting as ever: nothing has left although it might have."""
    past = orders(TOOK, IMPORTED - timedelta(days=2 * (TOOK.size - 1)))
    late = (past.shipped > np.datetime64(IMPORTED)) & (past.shipped < np.datetime64("2025-03-24"))
    past = replace(past, shipped=np.where(late, np.datetime64("2025-03-24"), past.shipped))
    calendar = answers(past, date(2025, 5, 1)).calendar
    assert calendar.why_shut(date(2025, 3, 12)) == "shutdown"


@pytest.mark.django_db
def test_only_what_was_imported_ends_with_the_import(monkeypatch):
    """Open rows of the import are heard of until its last day, the desk's own every day."""
    load_liner()
    family = Family.objects.get()
    said = [("A-1", date(2025, 1, 2), date(2025, 2, 3)), ("A-2", date(2025, 2, 10), None)]
    store(Line(ref, family.pk, "OHL-05LS", 1, placed, left, None) for ref, placed, left in said)
    PastOrder.objects.create(
        reference="C-00001/1", family=family, part_number="OHL-05LS", quantity=1,
        ordered_on=date(2025, 3, 3),
    )  # fmt: skip
    seen = []
    monkeypatch.setattr("ordering.reading.learn", lambda *them, **more: seen.append(them[2]))
    read_and_learn(Factory.objects.get(), date(2025, 6, 1))
    assert seen[0].heard.astype(str).tolist() == ["NaT", "2025-02-10", "NaT"]
