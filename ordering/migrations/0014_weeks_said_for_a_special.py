from django.db import migrations, models


def fill_in(apps, schema_editor):
    """From the factories' answers: for lines of quotes, and their rows of the past."""
    Enquiry = apps.get_model("quotes", "Enquiry")
    OrderLine, PastOrder, Version = (
        apps.get_model("ordering", name) for name in ("OrderLine", "PastOrder", "PastVersion")
    )
    answers = Enquiry.objects.filter(weeks_max__isnull=False, special__line__isnull=False)
    said = answers.order_by("pk").values_list("special__line", "weeks_min", "weeks_max")
    for quote_line, low, high in said:
        for line in OrderLine.objects.filter(quote_line=quote_line):
            weeks = {"weeks_min": low, "weeks_max": high}
            OrderLine.objects.filter(pk=line.pk).update(**weeks)
            past = PastOrder.objects.filter(reference=f"C-{line.order_id:05d}/{line.number}")
            if past.update(**weeks):
                # What was learned with them in it no longer holds.
                Version.objects.filter(family=line.family_id).update(number=models.F("number") + 1)


class Migration(migrations.Migration):

    dependencies = [
        ('ordering', '0013_made_again_is_told'),
        ('quotes', '0012_openings_asked_together'),
    ]

    operations = [
        *(
            migrations.AddField(
                model_name=model,
                name=name,
                field=models.PositiveSmallIntegerField(editable=False, null=True),
            )
            for model in ('orderline', 'pastorder')
            for name in ('weeks_max', 'weeks_min')
        ),
        migrations.RunPython(fill_in, migrations.RunPython.noop),
    ]
