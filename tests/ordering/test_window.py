from datetime import date

import numpy as np
import pytest

from ordering.estimator.basis import Basis
from ordering.estimator.forecast import Record
from ordering.estimator.lead_time import FactoryLeadTimes
from ordering.estimator.learned import MOST_ORDERS, Declared, Part, Past, fair_sample, learn
from ordering.estimator.level import Orders, normal_tail
from ordering.estimator.survival import Curve
from ordering.estimator.window import GRID, Outcomes, _replayed, declared_curve, whole_days
from sizing.workdays import Calendar

AS_OF = date(2025, 3, 3)
NEVER = np.datetime64("NaT", "D")


def past_of(days, quantity=None, parts=1, every=2) -> Past:
    """Orders of which the i-th order took days[i] working days; the last was placed by AS_OF."""
    days = np.asarray(days)
    ordered = np.datetime64(AS_OF) - every * np.arange(days.size)[::-1]
    return Past(
        ordered=ordered,
        shipped=Calendar().add(ordered, days),
        promised=np.full(days.size, NEVER),
        quantity=np.ones(days.size, int) if quantity is None else np.asarray(quantity),
        part=np.arange(days.size) % parts,
    )


def desk(days, quantity=None, parts=1, every=2) -> FactoryLeadTimes:
    return desk_of(past_of(days, quantity, parts, every), parts)


def desk_of(past: Past, parts=1, as_of=AS_OF) -> FactoryLeadTimes:
    found = [Part(0, f"RV-{i}", "standard", "ash") for i in range(parts)]
    return FactoryLeadTimes(learn([Declared("ROVE", 4, 8)], found, past, as_of))


def workdays(window, start=AS_OF):
    return [Calendar().workdays_between(start, d) for d in (window.earliest, window.latest)]


NOISE = np.random.default_rng(8).normal(0, 2, 360)


@pytest.mark.parametrize(("share", "day"), [(0.1, 19.5), (0.5, 30.0), (0.9, 40.5)])
def test_the_declared_curve_has_a_tenth_on_each_side(share, day):
    """A tenth lies before the first declared day, a tenth after the last, the middle halfway."""
    curve = declared_curve(20, 40, np.log(26.0), 0.3)
    at = np.exp(np.log(26.0) + 0.3 * curve.quantile(share))
    assert at == pytest.approx(day, abs=0.05)
    assert curve.grid is GRID


def outcomes(middle: float, spread: float) -> Outcomes:
    """Normal on the log scale, by forecasts that always held as they said."""
    even = np.linspace(0.0, 1.0, 201)
    return Outcomes(
        Curve.on(GRID, normal_tail(GRID)), Curve(even, 1.0 - even), np.log(middle), spread
    )


@pytest.mark.parametrize("middle", [8.0, 24.4, 30.5, 60.0])
@pytest.mark.parametrize("spread", [0.15, 0.3])
def test_whole_days_hold_as_often_as_asked(middle, spread):
    """The share that ships from the earliest day's morning to the latest's evening is the level's."""
    made = outcomes(middle, spread)
    span = whole_days(made, 0.2, 0.1, 0)
    held = made.before(span.latest + 0.5) - made.before(span.earliest - 0.5)
    one_day_less = made.before(span.latest - 0.5) - made.before(span.earliest - 0.5)
    assert abs(held - 0.8) <= (held - one_day_less) / 2 + 1e-3


def test_what_cannot_ship_earlier_is_not_missed_early():
    """A window that begins on the first possible day leaves all its misses to the late side."""
    made = outcomes(20.0, 0.1)
    over = np.log(20.5 / 20.0) / 0.1
    gone = Outcomes(made.curve.given_beyond(over), made.held, made.middle, made.spread)
    span = whole_days(gone, 0.2, 0.1, 21)
    assert span.earliest == 21
    assert gone.before(span.latest + 0.5) == pytest.approx(0.8, abs=0.1)


def test_big_orders_take_longer_where_the_history_shows_it():
    """Where lead time rises with quantity, a bigger order gets a later window; else not."""
    quantity = np.tile([1, 2, 8, 16], 90)
    rising = desk(np.rint(22 * quantity**0.12 + NOISE / 2).astype(int), quantity)
    small, big = (workdays(rising.of_part("ROVE", "RV-0", AS_OF, q)) for q in (1, 16))
    assert big[0] > small[1]
    level = desk(np.rint(25 + NOISE).astype(int), quantity)
    small, big = (workdays(level.of_part("ROVE", "RV-0", AS_OF, q)) for q in (1, 16))
    assert abs(big[0] - small[0]) <= 1


def test_a_slowdown_is_noticed_from_orders_still_open():
    """Orders that ought to have shipped and have not move the window before the first late one has left."""
    days = np.rint(20 + NOISE / 2).astype(int)
    steady = workdays(desk(days).of_part("ROVE", "RV-0", AS_OF))
    # The last 24 orders take twice as long, and not one of them has shipped.
    slow = np.r_[days[:-24], days[-24:] * 2]
    assert not (past_of(slow).shipped[-24:] <= np.datetime64(AS_OF)).any()
    assert workdays(desk(slow).of_part("ROVE", "RV-0", AS_OF))[1] > steady[1] + 2


def test_an_old_export_is_read_as_of_its_last_day():
    """A past that ends two years before gives the window of its end: its open orders count as open then."""
    days = np.rint(22 + NOISE).astype(int)
    then, now = desk(days), desk_of(past_of(days).as_of(AS_OF), as_of=date(2027, 3, 1))
    length = workdays(then.of_part("ROVE", "RV-0", AS_OF))
    later = workdays(now.of_part("ROVE", "RV-0", date(2027, 3, 1)), date(2027, 3, 1))
    assert later == pytest.approx(length, abs=1)


def test_a_lasting_slowdown_is_said():
    """A pace a quarter slower than half a year ago is named in the basis."""
    days = np.rint(np.where(np.arange(360) < 290, 20, 27) + NOISE / 2).astype(int)
    assert "slower than half a year ago" in desk(days).of_part("ROVE", "RV-0", AS_OF).basis


def test_an_unknown_part_borrows_from_its_family():
    """A part never ordered gets its family's window, wider than a part's own but far from the declared."""
    known = desk(np.rint(22 + NOISE).astype(int), parts=6)
    first, last = workdays(known.of_part("ROVE", "never seen", AS_OF))
    own = workdays(known.of_part("ROVE", "RV-0", AS_OF))
    assert own[1] - own[0] <= last - first < 14
    assert 16 <= first <= 22 <= last <= 28


def test_a_slow_part_is_told_from_a_quick_one():
    """Parts that differ keep their difference."""
    part = np.arange(360) % 2
    both = desk(np.rint(20 + 8 * part + NOISE / 2).astype(int), parts=2)
    quick, slow = (workdays(both.of_part("ROVE", f"RV-{p}", AS_OF)) for p in (0, 1))
    assert quick[1] < slow[0]


def test_a_weekend_order_is_answered_like_monday():
    """An order of a Saturday has the window of Monday's."""
    known = desk(np.rint(22 + NOISE).astype(int))
    saturday, monday = (known.of_part("ROVE", "RV-0", date(2025, 3, d)) for d in (8, 10))
    assert (saturday.earliest, saturday.latest) == (monday.earliest, monday.latest)


def test_a_fair_sample_keeps_what_is_new_of_every_part():
    """Of too many orders the newest of each part stay, with an even draw of the rest, in order."""
    rows = np.arange(50_000)
    part = np.where(rows % 5000 == 0, 1, 0)
    kept = fair_sample(rows, part)
    assert kept.size <= MOST_ORDERS + 2
    assert np.all(np.diff(kept) > 0)
    assert set(rows[part == 1]) <= set(kept.tolist())
    assert set(range(49_971, 50_000)) <= set(kept.tolist())


def test_the_same_question_has_the_same_answer_in_any_order():
    """Answers don't depend on what was asked before."""
    known = [desk(np.rint(22 + NOISE).astype(int), parts=4) for _ in range(2)]
    names = [f"RV-{i}" for i in range(4)]
    forwards = {n: known[0].of_part("ROVE", n, AS_OF) for n in names}
    backwards = {n: known[1].of_part("ROVE", n, AS_OF) for n in reversed(names)}
    assert forwards == backwards


@pytest.mark.parametrize(("change", "words"), [(1.25, "25 % slower"), (0.8, "20 % quicker")])
def test_a_change_is_said_in_percent(change, words):
    """Four days become five: 25 % slower; five become four: 20 % quicker."""
    told = Basis(40, None, "factory", (4, 8), AS_OF, change=np.log(change)).words()
    assert f"; {words} than half a year ago" in told


@pytest.mark.parametrize("miss", [-2.0, 2.0])
def test_loss_of_a_forecast_by_hand(miss):
    """Two spreads off a normal law whose tenths lie at 1.2816: the quantile loss (Koenker and Bassett 1978) is
    (0.1 x 3.2816 + 0.5 x 2 + 0.9 x 0.7184) / 3 spreads of 0.5, early as late."""
    one = np.ones(1, dtype=int)
    orders = Orders(
        placed=100 * one, rank=100 * one, shipped=130 * one, lead=20.0 * one, middle=30.0 * one,
        quantity=one, promised=np.full(1, np.nan), groups=np.zeros((4, 1), int), heard=130 * one,
    )  # fmt: skip
    record = Record(
        orders, lambda day: day, stops=50 * one, rows=0 * one, block=0 * one,
        middle=np.log(20.0) - miss * 0.5 * one, spread=0.5 * one, outcome=np.log(20.0) * one,
        done=one == 1,
    )  # fmt: skip
    _shares, loss = _replayed(record, Curve.on(GRID, normal_tail(GRID)), 180.0)
    assert loss == pytest.approx(0.3291, abs=0.002)
