from collections import Counter

from django.db import migrations, models


def count_cancelled(apps, schema_editor):
    """From the logs: until now a cancelling took all of a line that had not left."""
    Event, OrderLine = apps.get_model("ordering", "Event"), apps.get_model("ordering", "OrderLine")
    orders = Event.objects.filter(act="cancelled").order_by().values_list("order", flat=True)
    for order in orders.distinct().iterator():
        events = list(Event.objects.filter(order=order).order_by("number"))
        back = {event.data["event"] for event in events if event.act == "taken_back"}
        lines = {str(line.number): line for line in OrderLine.objects.filter(order=order)}
        gone = Counter()
        for event in events:
            if event.number in back:
                continue
            for number, count in event.pieces.items():
                line = lines[number]
                if event.act == ("left" if line.factory_id else "handed"):
                    gone[number] += count
                elif event.act == "cancelled":
                    line.cancelled = line.quantity - gone[number]
        OrderLine.objects.bulk_update(lines.values(), ["cancelled"])


class Migration(migrations.Migration):

    dependencies = [
        ('ordering', '0010_cancelling_is_told'),
    ]

    operations = [
        migrations.AddField(
            model_name='orderline',
            name='cancelled',
            field=models.PositiveIntegerField(default=0),
        ),
        migrations.RunPython(count_cancelled, migrations.RunPython.noop),
    ]
