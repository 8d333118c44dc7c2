"""After a migration has rebuilt a table of SQLite its rows are counted again, so that indexes go on being chosen well."""

import pytest
from django.core.management import call_command
from django.db import connection

from quotes.models import Request
from quotes.triples import count_rows
from sizing.models import Family
from tests.quotes import shop

pytestmark = pytest.mark.django_db(transaction=True)


def counted() -> set[str]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT tbl FROM sqlite_stat1")
        return {table for (table,) in cursor.fetchall()}


def test_counted_after_a_table_was_rebuilt():
    """From the schema without an opening's outcome to the one with it, as an upgrade goes."""
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL keeps its counts through migrations")
    shop.load_liner()
    request = Request.objects.create(caller="Ines Calloway")
    request.openings.create(position=0, family=Family.objects.first(), answer={"outcome": "ask"})
    count_rows()
    assert "quotes_opening" in counted()
    call_command("migrate", "quotes", "0009", verbosity=0)
    call_command("migrate", verbosity=0)
    assert "quotes_opening" in counted()
