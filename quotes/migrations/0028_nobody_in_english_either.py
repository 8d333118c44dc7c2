"""Who was erased stood, in a quote of another language, in its openings in English: names of windows, measures as typed."""

from django.db import migrations


def erase(apps, schema_editor):
    Issue = apps.get_model("quotes", "Issue")
    erased = Issue.objects.filter(quote__customer__erasure__isnull=False, document__isnull=False)
    for issue in erased.iterator(500):
        sheets = issue.document.get("openings_to_make", [])
        for sheet in sheets:
            sheet["name"] = sheet["name"].partition(", ")[0]
            for measure in sheet["measures"]:
                measure["said"] = ""
        if sheets:
            issue.save(update_fields=["document"])


class Migration(migrations.Migration):

    dependencies = [("quotes", "0027_calls_of_clerk")]

    operations = [migrations.RunPython(erase, migrations.RunPython.noop)]
