"""Past orders are found by the number in their reference; those that are there get theirs."""

import re

from django.db import migrations, models

NUMBER = re.compile("[0-9]{3,}")
OWN = re.compile(r"C-\d+/\d+")
BLOCK = 5000


def fill(apps, schema_editor):
    PastOrder = apps.get_model("ordering", "PastOrder")
    last = 0
    while rows := list(
        PastOrder.objects.filter(pk__gt=last).order_by("pk").values_list("pk", "reference")[:BLOCK]
    ):
        last = rows[-1][0]
        found = [
            (runs[-1].lstrip("0"), pk)
            for pk, reference in rows
            if not OWN.fullmatch(reference) and (runs := NUMBER.findall(reference))
        ]
        with schema_editor.connection.cursor() as cursor:
            cursor.executemany("UPDATE ordering_pastorder SET digits = %s WHERE id = %s", found)


class Migration(migrations.Migration):

    dependencies = [
        ('ordering', '0007_what_was_told_is_judged'),
    ]

    operations = [
        migrations.AddField(
            model_name='pastorder',
            name='digits',
            field=models.CharField(blank=True, default='', editable=False, max_length=80),
        ),
        migrations.RunPython(fill, migrations.RunPython.noop, elidable=True),
        migrations.AddIndex(
            model_name='pastorder',
            index=models.Index(fields=['digits'], name='past_by_digits', opclasses=['varchar_pattern_ops']),
        ),
    ]
