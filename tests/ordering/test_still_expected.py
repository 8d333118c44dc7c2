"""What is still expected of a factory is one rule, asked of a line's state or of the database."""

from datetime import timedelta
from importlib import import_module
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection
from django.utils import timezone

from ordering.events import cancel, cannot_make, give_dates, make_again, shipped, take_back, write
from ordering.lists.steps import with_steps
from ordering.logged import state_of
from ordering.models import Order, OrderLine
from ordering.models.orders import STILL_EXPECTED
from ordering.states import Act, Cause
from ordering.verifying import findings
from tests.ordering.placed import CLERK, FACTORY, MANAGER, load_shop, placed_order, sent_order
from tests.quotes.shop import part_opening

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop():
    load_shop()


def sent():
    order, made = sent_order(part_opening(quantity=3), hand=True)
    return order, made.pk, order.lines.get(number=1)


def leave(made, line, count):
    shipped(made, {line.pk: count}, timezone.localdate(), FACTORY)


def refuse(made, line):
    cannot_make(made, [line.pk], "the die broke", FACTORY)


def hold_it(order):
    write(order.pk, Act.HELD, {1: 3}, CLERK, why="they rang")


def promised(order, made, line):
    give_dates(made, {line.pk: timezone.localdate() + timedelta(9)}, FACTORY)


def all_lost(order, made, line):
    leave(made, line, 3)
    make_again(line.pk, 3, Cause.CARRIER, "lost", CLERK, tells=False)


def made_after_all(order, made, line):
    refuse(made, line)
    promised(order, made, line)


def a_part_and_no_more(order, made, line):
    leave(made, line, 1)
    refuse(made, line)


def the_rest_cancelled(order, made, line):
    a_part_and_no_more(order, made, line)
    cancel(order.pk, [1], "they agreed", MANAGER, tells=False)


# What happens to line 1, and how many lines of the order are still expected then.
CASES = {
    "sent": (lambda order, made, line: None, 1),
    "promised": (promised, 1),
    "left in part": (lambda order, made, line: leave(made, line, 1), 1),
    "left": (lambda order, made, line: leave(made, line, 3), 0),
    "on hold": (lambda order, made, line: hold_it(order), 1),
    "refused": (lambda order, made, line: refuse(made, line), 0),
    "refused and on hold": (lambda order, made, line: (refuse(made, line), hold_it(order)), 0),
    "refused in part": (a_part_and_no_more, 0),
    "the rest cancelled": (the_rest_cancelled, 0),
    "made after all": (made_after_all, 1),
    "cancelled": (lambda order, made, line: cancel(order.pk, [1], "no", CLERK, tells=False), 0),
    "made again": (all_lost, 1),
}


@pytest.mark.parametrize("name", CASES)
def test_the_database_says_what_the_log_says(name):
    """Line by line, whatever has happened; what comes from our own shelf is expected of nobody."""
    happens, count = CASES[name]
    order, made, line = sent()
    happens(order, made, line)
    by_log = {n for n, one in state_of(order).lines.items() if one.is_expected}
    found = OrderLine.objects.filter(STILL_EXPECTED, order=order)
    assert set(found.values_list("number", flat=True)) == by_log
    assert len(by_log) == count
    assert list(findings()) == []


@pytest.mark.parametrize(
    "name", ["refused", "refused in part", "the rest cancelled", "made after all", "undone"]
)
def test_an_upgrade_keeps_it_with_the_lines(name):
    """Written with the lines from what their logs say, as it is today."""
    order, made, line = sent()
    if name == "undone":
        refuse(made, line)
        take_back(order.pk, order.events.last().number, "the other line", MANAGER)
    else:
        CASES[name][0](order, made, line)
    known = list(OrderLine.objects.values_list("pk", "refused_on"))
    OrderLine.objects.update(refused_on=None)
    upgrade = import_module("ordering.migrations.0030_lines_refused_since")
    upgrade.note_refused(apps, SimpleNamespace(connection=connection))
    assert list(OrderLine.objects.values_list("pk", "refused_on")) == known
    assert list(findings()) == []


def test_what_was_not_sent_yet_is_expected():
    order = placed_order()
    assert OrderLine.objects.filter(STILL_EXPECTED, order=order).count() == 1


def listed(order):
    return with_steps([Order.objects.get(pk=order.pk)])[0]


def test_a_list_says_of_what_is_on_hold_that_it_cannot_be_made():
    order, made, line = sent()
    refuse(made, line)
    hold_it(order)
    assert listed(order).steps.endswith("the factory can't make it")


def test_a_list_names_no_day_of_what_is_on_hold():
    """As its page names none: nobody knows how long it is held."""
    order, made, line = sent()
    promised(order, made, line)
    assert listed(order).leaves
    hold_it(order)
    assert listed(order).leaves is None
