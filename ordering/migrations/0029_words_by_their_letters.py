"""PostgreSQL compares an order's words letter by letter, not as a language sorts them: so the index of an order and its
words finds how a word begins. Each order on the way through the newest was asked word by word."""

from django.db import migrations

CHANGE = 'ALTER TABLE ordering_orderword ALTER COLUMN word TYPE varchar(40) COLLATE "{}"'


def by_letters(apps, schema_editor):
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute(CHANGE.format("C"))


def as_the_database_sorts(apps, schema_editor):
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute(CHANGE.format("default"))


class Migration(migrations.Migration):
    dependencies = [("ordering", "0028_factories_refuse")]

    operations = [migrations.RunPython(by_letters, as_the_database_sorts)]
