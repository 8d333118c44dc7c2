from django.db import migrations
from django.db.models import F, TextField, Value
from django.db.models.functions import Concat

END = Value("\n", TextField())


def with_ends(apps, schema_editor):
    """What a customer is found by has the end of a line before and behind it, too: "wu" is looked for so."""
    customers = apps.get_model("quotes", "Customer").objects.using(schema_editor.connection.alias)
    customers.exclude(scraps="").update(scraps=Concat(END, F("scraps"), END))


def without_ends(apps, schema_editor):
    customers = apps.get_model("quotes", "Customer").objects.using(schema_editor.connection.alias)
    for customer in customers.exclude(scraps="").only("scraps").iterator():
        customers.filter(pk=customer.pk).update(scraps=customer.scraps.strip("\n"))


class Migration(migrations.Migration):
    dependencies = [("quotes", "0028_nobody_in_english_either")]

    operations = [migrations.RunPython(with_ends, without_ends)]
