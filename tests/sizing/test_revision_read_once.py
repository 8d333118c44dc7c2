"""A revision is read from the database once, in few queries whatever its size."""

from decimal import Decimal

import pytest

from fixtures.build import liner
from sizing import lookup, models, tables
from tests.sizing.stored import dearer, in_force, wren

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def nothing_kept():
    lookup._table.cache_clear()
    lookup._spoken.cache_clear()
    lookup._compiled.cache_clear()


@pytest.mark.parametrize("table", [wren, liner])
def test_few_queries(table, django_assert_num_queries):
    """A table of four parts and one of 180 take the same seven queries."""
    revision = in_force(table())
    with django_assert_num_queries(7):
        lookup.table_of(revision)


def test_second_time_none(django_assert_num_queries):
    """The second reading asks nothing of the database, nor does compiling again."""
    revision = in_force(wren())
    first = lookup.compiled(revision)
    with django_assert_num_queries(0):
        assert lookup.compiled(revision) is first
        assert lookup.table_of(revision) is first.table


def test_looking_up_is_one_query(django_assert_num_queries):
    """Finding the revision in force is one query."""
    in_force(wren())
    with django_assert_num_queries(1):
        assert lookup.in_force("wren-liner").family.factory_id


def test_costs_of_the_settings(settings):
    """Compiling follows the settings' costs, also when they change."""
    revision = in_force(wren())
    lookup.compiled(revision)
    settings.RESOLVER_COSTS = {"wrong": 50.0, "special": 8.0, "question": 1.0}
    assert lookup.compiled(revision).costs.wrong == 50.0


def test_other_content_is_read_anew():
    """What is kept belongs to the content: under another digest the database is read again."""
    draft = tables.store_draft(wren(), "a")
    assert lookup.table_of(draft) == wren()
    models.Part.objects.filter(part_number="W1LA").update(price=Decimal("34.65"))
    models.Revision.objects.update(digest="another")
    draft.refresh_from_db()
    assert lookup.table_of(draft) == wren(dearer)
