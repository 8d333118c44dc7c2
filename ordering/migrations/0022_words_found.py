from __future__ import annotations

from typing import Any

from django.db import migrations, models


def drop_the_word_alone(apps: Any, schema_editor: Any) -> None:
    """Its indexes by themselves: as a change of the field, SQLite would write the longest table there is anew."""
    table = apps.get_model("ordering", "OrderWord")._meta.db_table
    connection = schema_editor.connection
    with connection.cursor() as cursor:
        found = connection.introspection.get_constraints(cursor, table)
    for name, one in found.items():
        if one["index"] and not one["unique"] and one["columns"] == ["word"]:
            schema_editor.execute(f"DROP INDEX {schema_editor.quote_name(name)}")


class Migration(migrations.Migration):
    dependencies = [
        ("ordering", "0021_notices_overtaken"),
    ]

    operations = [
        migrations.AddIndex(
            model_name="orderword",
            index=models.Index(
                fields=["word", "order"],
                name="words_found",
                opclasses=["varchar_pattern_ops", "int8_ops"],
            ),
        ),
        migrations.SeparateDatabaseAndState(
            state_operations=[
                migrations.AlterField(
                    model_name="orderword",
                    name="word",
                    field=models.CharField(max_length=40),
                ),
            ],
            database_operations=[
                migrations.RunPython(drop_the_word_alone, migrations.RunPython.noop),
            ],
        ),
    ]
