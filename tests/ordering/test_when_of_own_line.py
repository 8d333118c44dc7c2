"""A program that asks by the reference of one of the desk's own lines is told what its page says."""

import json
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone

from ordering.events import give_dates, shipped
from ordering.lists.orders import line_views
from tests.ordering.placed import FACTORY, load_shop, sent_order
from tests.quotes.shop import part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    return sent_order(part_opening(quantity=2))


@pytest.fixture
def ask(tmp_path):
    def asked(reference, as_of):
        questions, answers = tmp_path / "q.jsonl", tmp_path / "a.jsonl"
        questions.write_text(json.dumps({"id": 1, "reference": reference}))
        call_command("when", requests=str(questions), answers=str(answers), as_of=str(as_of))
        return json.loads(answers.read_text())

    return asked


@pytest.mark.parametrize("weeks", [1, 30])
def test_the_factorys_own_date_is_within(built, ask, weeks):
    """However far from the usual weeks; page and answer name the same days."""
    order, sent = built
    today = timezone.localdate()
    promised = today + timedelta(weeks=weeks)
    give_dates(sent.pk, {order.lines.get().pk: promised}, FACTORY)
    answer = ask(f"{order.number}/1", today)
    (view,) = line_views(order)
    named = [answer["earliest"], answer["likely"], answer["latest"]]
    assert named == [day.isoformat() for day in view.window.days]
    assert answer["earliest"] <= promised.isoformat() <= answer["latest"]


def test_what_has_left_answers_with_its_day(built, ask):
    """As any order of the past."""
    order, sent = built
    today = timezone.localdate()
    shipped(sent.pk, {order.lines.get().pk: 2}, today, FACTORY)
    assert ask(f"{order.number}/1", today)["latest"] == today.isoformat()


def test_no_such_line(built, ask):
    """One sentence, as of any unknown reference."""
    order, _sent = built
    for reference in (f"{order.number}/9", "C-99999/1"):
        assert reference in ask(reference, timezone.localdate())["error"]


def test_a_whole_order_is_asked_for_by_its_lines(built, ask):
    """The number alone names no line: the answer says how one is written."""
    order, _sent = built
    said = ask(order.number, timezone.localdate())
    assert f"ask for a line of it, {order.number}/1." in said["error"]
