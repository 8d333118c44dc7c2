import json
from datetime import date, timedelta

import pytest
from django.core.management import CommandError, call_command

from ordering.models import PastOrder, Shortage, Shutdown
from sizing.models import Factory, Family
from tests.ordering.past_of_a_mill import CALENDAR, mill, past

pytestmark = pytest.mark.django_db


@pytest.fixture
def ask(tmp_path):
    def asked(as_of, *requests, level="0.8"):
        questions, answers = tmp_path / "q.jsonl", tmp_path / "a.jsonl"
        questions.write_text(
            "".join(json.dumps({"id": i} | r) + "\n" for i, r in enumerate(requests))
        )
        call_command(
            "when", requests=str(questions), answers=str(answers), as_of=as_of, level=level
        )
        return [json.loads(line) for line in answers.read_text().splitlines()]

    return asked


def days(answer):
    return tuple(date.fromisoformat(answer[k]) for k in ("earliest", "likely", "latest"))


@pytest.mark.parametrize(
    ("low", "high", "placed"),
    [(4, 8, "2026-03-02"), (4, 8, "2026-11-02"), (2, 3, "2026-07-01"), (6, 6, "2026-04-06")],
)
def test_without_history_the_declared_weeks_come_back(ask, low, high, placed):
    """No past order: earliest and latest are the declared calendar weeks, on a working day."""
    mill(ROVE=(low, high))
    (answer,) = ask(placed, {"family": "ROVE", "part_number": "RV-20", "order_on": placed})
    day = date.fromisoformat(placed)
    expected = [CALENDAR.add_workdays(day + timedelta(weeks=w), 0) for w in (low, high)]
    assert [days(answer)[0], days(answer)[2]] == expected
    assert answer["basis"].startswith(f"The factory says it usually takes {low}")


def test_a_steady_past_narrows_the_window(ask):
    """A year of orders that ship after 18 to 22 working days gives a window of about those."""
    mill(ROVE=(4, 8))
    past("ROVE", 90, days=20)
    (answer,) = ask(
        "2025-01-06", {"family": "ROVE", "part_number": "ROVE1", "order_on": "2025-01-06"}
    )
    first, likely, last = (CALENDAR.workdays_between(date(2025, 1, 6), d) for d in days(answer))
    assert 16 <= first <= 19 < likely + 1 <= 22
    assert 21 <= last <= 25
    assert "orders of this part since January 2024" in answer["basis"]


def test_an_order_that_has_left_answers_with_its_day(ask):
    """An order shipped by the as-of date answers with that one day."""
    mill(ROVE=(4, 8))
    left = past("ROVE", 1, days=20)[0].shipped_on
    (answer,) = ask(left.isoformat(), {"reference": "ROVE-0"})
    assert days(answer) == (left, left, left)
    assert answer["basis"] == f"left the factory on {left}"


def test_an_order_under_way_never_answers_with_the_past(ask):
    """An order still open after most have shipped gets a window that lies wholly after the as-of date."""
    mill(ROVE=(4, 8))
    past("ROVE", 90, days=20)
    PastOrder.objects.filter(reference="ROVE-80").update(shipped_on=None)
    as_of = CALENDAR.add_workdays(PastOrder.objects.get(reference="ROVE-80").ordered_on, 30)
    (answer,) = ask(as_of.isoformat(), {"reference": "ROVE-80"})
    assert as_of < days(answer)[0] <= days(answer)[2]
    assert "30 working days gone" in answer["basis"]


def test_nothing_after_the_as_of_date_is_used(ask):
    """What is ordered or shipped after the as-of date changes no answer."""
    mill(ROVE=(4, 8))
    past("ROVE", 90, days=20)
    asked = [
        {"reference": "ROVE-60"},
        {"family": "ROVE", "part_number": "ROVE1", "order_on": "2024-09-09"},
    ]
    before = ask("2024-09-09", *asked)
    PastOrder.objects.filter(ordered_on__gt=date(2024, 9, 9)).delete()
    PastOrder.objects.filter(shipped_on__gt=date(2024, 9, 9)).update(shipped_on=None)
    assert ask("2024-09-09", *asked) == before
    assert "error" not in before[0]


def test_a_reliable_promise_narrows_the_window(ask):
    """Where the factory keeps its promises two days late, the window closes round such a day."""
    factory = mill(ROVE=(4, 8))
    family = Family.objects.get(factory=factory)
    for i in range(120):
        placed = CALENDAR.add_workdays(date(2024, 1, 8) + timedelta(days=3 * i), 0)
        said = 15 + (i * 11) % 20
        PastOrder.objects.create(
            reference=f"K-{i}", family=family, part_number="RV-20", quantity=1, ordered_on=placed,
            promised_on=CALENDAR.add_workdays(placed, said),
            shipped_on=CALENDAR.add_workdays(placed, said + 2),
        )  # fmt: skip
    PastOrder.objects.filter(reference="K-115").update(shipped_on=None)
    order = PastOrder.objects.get(reference="K-115")
    day = order.ordered_on.isoformat()
    promised, plain = ask(
        day, {"reference": "K-115"}, {"family": "ROVE", "part_number": "RV-20", "order_on": day}
    )
    first, _, last = days(promised)
    assert first <= CALENDAR.add_workdays(order.promised_on, 2) <= last
    assert (last - first) < (days(plain)[2] - days(plain)[0]) / 2
    assert (
        f"it promised {order.promised_on.day} {order.promised_on:%B %Y}, and usually ships 2 working days after"
        in promised["basis"]
    )


def test_a_declared_shutdown_moves_the_window(ask):
    """Weeks the factory is shut are put on top of the declared weeks, and said."""
    factory = mill(ROVE=(4, 8))
    Shutdown.objects.create(factory=factory, first_day=date(2026, 3, 9), last_day=date(2026, 3, 20))
    (answer,) = ask(
        "2026-03-02", {"family": "ROVE", "part_number": "RV-20", "order_on": "2026-03-02"}
    )
    assert days(answer)[0] == date(2026, 4, 13)
    assert "shut 2026-03-09 to 2026-03-20" in answer["basis"]


def test_a_shortage_starts_the_clock_later(ask):
    """An order during a shortage counts from the day the manager gave."""
    factory = mill(ROVE=(4, 8), TARN=(4, 8))
    Shortage.objects.create(
        factory=factory,
        family=Family.objects.get(code="ROVE"),
        until=date(2026, 4, 6),
        reason="no pile",
    )
    Shortage.objects.update(said_on=date(2026, 3, 1))
    short, other = ask(
        "2026-03-02",
        {"family": "ROVE", "part_number": "RV-20", "order_on": "2026-03-02"},
        {"family": "TARN", "part_number": "TN-20", "order_on": "2026-03-02"},
    )
    assert days(short)[0] == date(2026, 5, 4)
    assert "shortage until 2026-04-06 (no pile)" in short["basis"]
    assert days(other)[0] == date(2026, 3, 30)


@pytest.mark.parametrize(
    ("request_", "said"),
    [
        ({"reference": "nowhere"}, "No order “nowhere” is known"),
        ({"family": "WEIR", "part_number": "x", "order_on": "2026-03-02"}, "there are: ROVE"),
        ({"family": "ROVE", "part_number": "x", "order_on": "soon"}, "YYYY-MM-DD"),
        ({}, "Give a reference, or family"),
        ({"family": "ROVE", "order_on": "2026-03-02", "quantity": "many"}, "number above 0"),
    ],
)
def test_a_question_that_cannot_be_answered_says_why(ask, request_, said):
    """An unknown reference or family, or a date that is none, gets a sentence; the others are answered."""
    mill(ROVE=(4, 8))
    wrong, right = ask("2026-03-02", request_, {"family": "ROVE", "part_number": "RV-20"})
    assert said in wrong["error"]
    assert "earliest" in right


def test_an_order_of_after_the_as_of_date_is_unknown(ask):
    """An order placed later than the as-of date is not known on it."""
    mill(ROVE=(4, 8))
    past("ROVE", 3, days=20)
    (answer,) = ask("2024-01-07", {"reference": "ROVE-0"})
    assert "error" in answer


def test_a_higher_level_gives_a_wider_window(ask):
    """The window at 95 % holds the one at 80 %, which holds the one at 50 %."""
    mill(ROVE=(4, 8))
    past("ROVE", 90, days=20)
    question = {"family": "ROVE", "part_number": "ROVE1", "order_on": "2025-01-06"}
    spans = [days(ask("2025-01-06", question, level=level)[0]) for level in ("0.5", "0.8", "0.95")]
    assert spans[2][0] <= spans[1][0] <= spans[0][0] <= spans[0][2] <= spans[1][2] <= spans[2][2]
    assert spans[2] != spans[0]


@pytest.mark.parametrize(
    ("as_of", "level", "said"),
    [("today", "0.8", "YYYY-MM-DD"), ("2026-03-02", "80", "type 0.8 for 80 %")],
)
def test_bad_options_are_refused(ask, as_of, level, said):
    """A date or level that is none is one sentence and status 2."""
    with pytest.raises(CommandError, match=said) as refused:
        ask(as_of, level=level)
    assert refused.value.returncode == 2
    assert not Factory.objects.exists()
