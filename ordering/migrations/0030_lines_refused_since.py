from django.db import migrations, models

MADE_AFTER_ALL = ("promised", "moved", "making")


def note_refused(apps, schema_editor):
    """Keep with each line since when its factory says that it can't make it, as its order's log has it."""
    line, event = apps.get_model("ordering", "OrderLine"), apps.get_model("ordering", "Event")
    alias = schema_editor.connection.alias
    events = event.objects.using(alias)
    for order in events.filter(act="refused").order_by().values_list("order", flat=True).distinct():
        log = list(
            events.filter(order=order)
            .order_by("number")
            .values_list("number", "act", "on", "pieces", "data")
        )
        back = {data["event"] for _number, act, _on, _pieces, data in log if act == "taken_back"}
        since = {}
        for number, act, on, pieces, _data in log:
            if number not in back and act in ("refused", *MADE_AFTER_ALL):
                since |= dict.fromkeys(pieces, on if act == "refused" else None)
        for number, on in since.items():
            line.objects.using(alias).filter(order=order, number=int(number)).update(refused_on=on)


class Migration(migrations.Migration):
    dependencies = [
        ("ordering", "0029_words_by_their_letters"),
    ]

    operations = [
        migrations.AddField(
            model_name="orderline",
            name="refused_on",
            field=models.DateField(null=True),
        ),
        migrations.RunPython(note_refused, migrations.RunPython.noop),
    ]
