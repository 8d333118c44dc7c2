"""After a migration has rebuilt a table of SQLite its rows are counted again, so that indexes go on being chosen well."""

from copy import copy

import pytest
from django.core.management import call_command
from django.db import connection

from quotes.models import Opening, Request
from quotes.triples import count_rows
from sizing.models import Family
from tests.quotes import shop

pytestmark = pytest.mark.django_db(transaction=True)


def counted() -> set[str]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT tbl FROM sqlite_stat1")
        return {table for (table,) in cursor.fetchall()}


def test_counted_after_a_table_was_rebuilt():
    """A change of a column makes the table anew, as a migration's does."""
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL keeps its counts through migrations")
    shop.load_liner()
    request = Request.objects.create(caller="Ines Calloway")
    request.openings.create(position=0, family=Family.objects.first(), answer={"outcome": "ask"})
    count_rows()
    assert "quotes_opening" in counted()
    label = Opening._meta.get_field("label")
    wider = copy(label)
    wider.max_length += 1
    with connection.schema_editor() as editor:
        editor.alter_field(Opening, label, wider)
        editor.alter_field(Opening, wider, label)
    assert "quotes_opening" not in counted()
    call_command("migrate", verbosity=0)
    assert "quotes_opening" in counted()
