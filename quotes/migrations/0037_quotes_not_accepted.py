from django.db import migrations, models


class AddMark(migrations.AddField):
    """A column that is never empty without SQLite's rebuilding the table: the database knows its default."""

    def database_forwards(self, app_label, schema_editor, from_state, to_state):
        if schema_editor.connection.vendor != "sqlite":
            super().database_forwards(app_label, schema_editor, from_state, to_state)
            return
        schema_editor.execute(
            "ALTER TABLE quotes_quote ADD COLUMN is_accepted bool NOT NULL DEFAULT 0"
        )


def mark(apps, schema_editor):
    quotes = apps.get_model("quotes", "Quote").objects.using(schema_editor.connection.alias)
    quotes.filter(acceptance__isnull=False).update(is_accepted=True)


class Migration(migrations.Migration):
    dependencies = [("quotes", "0036_openings_of_family")]

    operations = [
        AddMark(
            "quote",
            "is_accepted",
            models.BooleanField(db_default=False, default=False, editable=False),
        ),
        migrations.RunPython(mark, migrations.RunPython.noop),
        migrations.AddIndex(
            "quote",
            models.Index(
                fields=["-id"],
                condition=models.Q(is_accepted=False),
                name="quotes_not_accepted",
            ),
        ),
    ]
