"""Reminders of a letter about several openings: one mail with what still waits, by the factory's working days."""

from datetime import date, datetime

import pytest
import time_machine
from django.utils.timezone import get_default_timezone

from quotes.desk.enquiries import ask_factory, remind
from quotes.enquiries import MOST_REMINDERS
from quotes.lists.specials import waiting
from quotes.models import Enquiry, Letter
from tests.quotes import letters, specials
from tests.quotes.specials import take_answer

pytestmark = pytest.mark.django_db
WEDNESDAY = datetime(2026, 11, 25, 15, tzinfo=get_default_timezone())
DAYS = [date(2026, 12, day) for day in (2, 4, 8)]


@pytest.fixture
def asked(db):
    with time_machine.travel(WEDNESDAY):
        specials.set_up()
        return letters.ask(letters.request_of(3))


def answer(enquiry):
    with time_machine.travel(WEDNESDAY):
        take_answer(enquiry.pk, specials.usual_answer())


def reminders():
    return list(Letter.objects.filter(subject__startswith="Reminder"))


def test_one_mail_for_all(asked):
    """Three unanswered openings: one reminder a day that is due, which names them all; then none."""
    days = [DAYS[0], DAYS[0], *DAYS[1:], date(2026, 12, 30)]
    assert [remind(asked[0].pk, day) for day in days] == [True, False, True, True, False]
    assert len(reminders()) == MOST_REMINDERS
    assert "we asked about 3 specials" in reminders()[0].body
    assert "None of them is answered yet:" in reminders()[0].body
    assert all(f"Opening {place} of" in reminders()[0].body for place in (1, 2, 3))


def test_what_is_answered_is_left_out(asked):
    """The mail names what still waits and says how many of how many."""
    answer(asked[0])
    remind(asked[0].pk, DAYS[0])
    (letter,) = reminders()
    assert "2 of them are still open:" in letter.body and "Opening 1 of" not in letter.body
    assert letter.enquiry == asked[0] and letter.subject.startswith(f"Reminder: {asked[0]} for 2")
    counts = Enquiry.objects.order_by("pk").values_list("reminders", flat=True)
    assert list(counts) == [0, 1, 1]
    happened = [specials.happened(one.special).count("factory reminded") for one in asked]
    assert happened == [0, 1, 1]


def test_the_last_one_left(asked):
    """One of three: the letter still says that there were three."""
    for enquiry in asked[:2]:
        answer(enquiry)
    remind(asked[0].pk, DAYS[0])
    (letter,) = reminders()
    assert "we asked about 3 specials" in letter.body and "1 of them is still open:" in letter.body
    assert letter.subject.startswith(f"Reminder: {asked[0]} for a special")


def test_answered_between_two(asked):
    """Reminders are counted by letter: an answer to its first does not begin them anew."""
    remind(asked[0].pk, DAYS[0])
    answer(asked[0])
    assert [remind(asked[0].pk, day) for day in (date(2026, 12, 3), *DAYS[1:])] == [
        False, True, True,
    ]  # fmt: skip
    assert not remind(asked[0].pk, date(2026, 12, 30))


def test_all_answered(asked):
    """Who has answered all is not reminded."""
    for enquiry in asked:
        answer(enquiry)
    assert not remind(asked[0].pk, DAYS[0])


def test_taken_out_mended_asked_anew(asked):
    """What can't be answered any more is not asked after; the letter's own first among it."""
    with time_machine.travel(WEDNESDAY):
        ask_factory(asked[0].special_id, by="ann")
    letters.change(asked[1].special.opening, lower_glass="25")
    remind(asked[0].pk, DAYS[0])
    (letter,) = reminders()
    assert "1 of them is still open:" in letter.body and "Opening 3 of" in letter.body
    asked[2].special.opening.delete()
    assert not remind(asked[0].pk, DAYS[1])


def test_overdue_and_to_call_by_opening(asked):
    """The list shows what is overdue, and whom to call after the last reminder; an answered one is neither."""
    answer(asked[0])
    for day in DAYS:
        remind(asked[0].pk, day)
    shown = {line.name: (line.overdue, line.to_call) for line in waiting(date(2026, 12, 9))}
    assert list(shown.values()) == [(False, False), (True, True), (True, True)]


def test_as_many_questions_for_thirty_as_for_five(django_assert_num_queries):
    """A reminder costs the database the same however many openings it names."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    specials.set_up()
    costs = []
    for count in (5, 30):
        asked = letters.ask(letters.request_of(count))
        with CaptureQueriesContext(connection) as seen:
            assert remind(asked[0].pk, date(2099, 1, 1))
        costs.append(len(seen))
    assert costs[0] == costs[1]
