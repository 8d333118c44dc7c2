"""A call is found by its windows' labels as by all else of it: in one text, with one index."""

from collections import defaultdict

from django.db import migrations

from quotes.scraps import scraps_of_call

AT_ONCE = 500
# What a call is whose caller was erased: nothing of it is to be found by.
ERASED = "Erased customer"


def drop_triples(apps, schema_editor):
    """The labels' own index goes for good, the calls' is made anew after `migrate`: to keep it up row by row takes
    longer."""
    if schema_editor.connection.vendor != "sqlite":
        schema_editor.execute("DROP INDEX IF EXISTS quotes_opening_label_triples")
        return
    for table in ("quotes_opening", "quotes_request"):
        for end in ("in", "out", "new"):
            schema_editor.execute(f"DROP TRIGGER IF EXISTS {table}_triples_{end}")
        schema_editor.execute(f"DROP TABLE IF EXISTS {table}_triples")


def fill(apps, schema_editor):
    """Of each call that names a window what it is found by, as the desk writes it from now on."""
    alias = schema_editor.connection.alias
    shop = apps.get_model("quotes", "Shop").objects.using(alias).first()
    country = (shop.country if shop else "") or "US"
    calls = apps.get_model("quotes", "Request").objects.using(alias).exclude(caller=ERASED)
    openings = apps.get_model("quotes", "Opening").objects.using(alias).exclude(label="")
    last = 0
    while some := list(calls.filter(pk__gt=last).order_by("pk")[:AT_ONCE]):
        last = some[-1].pk
        labels = defaultdict(list)
        named = openings.filter(request__gte=some[0].pk, request__lte=last)
        for key, label in named.order_by("position").values_list("request", "label"):
            labels[key].append(label)
        some = [call for call in some if call.pk in labels]
        for call in some:
            call.scraps = scraps_of_call(
                call.caller, call.phone, call.email, call.note, country, labels[call.pk]
            )
        calls.bulk_update(some, ["scraps"])


class Migration(migrations.Migration):
    dependencies = [("quotes", "0034_quotes_of_clerk")]

    operations = [
        migrations.RunPython(drop_triples, migrations.RunPython.noop),
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
