"""What is written small and without accents is looked into as it is: its indexes of triples on PostgreSQL, which
`migrate` makes at its end, had the letters made capital first."""

from django.db import migrations

TABLES = ("quotes_customer", "quotes_request")


def drop_triples(apps, schema_editor):
    if schema_editor.connection.vendor == "postgresql":
        for table in TABLES:
            schema_editor.execute(f"DROP INDEX IF EXISTS {table}_scraps_triples")


class Migration(migrations.Migration):
    dependencies = [("quotes", "0031_calls_found_as_customers")]

    operations = [migrations.RunPython(drop_triples, drop_triples)]
