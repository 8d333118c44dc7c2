from django.db import migrations, models

from quotes.scraps import scraps_of_call

AT_ONCE = 500
# The columns that were looked into one by one, each with an index of triples of its own on PostgreSQL.
BEFORE = ("caller", "phone", "phone_digits", "email", "note")
# What a call is whose caller was erased: nothing of it is to be found by.
ERASED = "Erased customer"


class AddText(migrations.AddField):
    """A column that is never empty without SQLite's rebuilding the table: it has a default there, which nobody uses."""

    def database_forwards(self, app_label, schema_editor, from_state, to_state):
        if schema_editor.connection.vendor != "sqlite":
            super().database_forwards(app_label, schema_editor, from_state, to_state)
            return
        schema_editor.execute(
            "ALTER TABLE quotes_request ADD COLUMN scraps text NOT NULL DEFAULT ''"
        )


def drop_triples(apps, schema_editor):
    """The indexes of triples over the columns as they were; those of today are made after `migrate`."""
    if schema_editor.connection.vendor == "sqlite":
        for end in ("in", "out", "new"):
            schema_editor.execute(f"DROP TRIGGER IF EXISTS quotes_request_triples_{end}")
        schema_editor.execute("DROP TABLE IF EXISTS quotes_request_triples")
        return
    for column in (*BEFORE, "scraps"):
        schema_editor.execute(f"DROP INDEX IF EXISTS quotes_request_{column}_triples")


def fill(apps, schema_editor):
    """What each call is found by, as the desk writes it from now on."""
    alias = schema_editor.connection.alias
    shop = apps.get_model("quotes", "Shop").objects.using(alias).first()
    country = (shop.country if shop else "") or "US"
    calls = apps.get_model("quotes", "Request").objects.using(alias)
    known = calls.exclude(caller=ERASED).order_by("pk").only("caller", "phone", "email", "note")
    last = 0
    while some := list(known.filter(pk__gt=last)[:AT_ONCE]):
        for call in some:
            call.scraps = scraps_of_call(call.caller, call.phone, call.email, call.note, country)
        calls.bulk_update(some, ["scraps"])
        last = some[-1].pk


class Migration(migrations.Migration):
    dependencies = [("quotes", "0030_issues_by_number")]

    operations = [
        migrations.RunPython(drop_triples, migrations.RunPython.noop),
        AddText("request", "scraps", models.TextField(blank=True, editable=False)),
        # On the way back what looks into the column goes before it does.
        migrations.RunPython(fill, drop_triples),
    ]
