"""What a customer is found by has the end of a line before and behind it, too, and its words of one or two letters in
full: "wu" is looked for so."""

import re

from django.db import migrations


def with_ends(apps, schema_editor):
    Customer = apps.get_model("quotes", "Customer")
    customers = Customer.objects.using(schema_editor.connection.alias)
    some = []
    for customer in customers.exclude(scraps="").only("scraps").iterator(500):
        lines = customer.scraps.split("\n")
        chunks = (chunk for line in lines for chunk in line.split() if "@" not in chunk)
        words = {
            word for chunk in chunks for word in re.findall(r"[^\W\d_]+", chunk) if len(word) < 3
        }
        customer.scraps = "\n".join(["", *lines, *sorted(f"qxz{word}" for word in words), ""])
        some.append(customer)
        if len(some) == 500:
            customers.bulk_update(some, ["scraps"])
            some = []
    customers.bulk_update(some, ["scraps"])


def without_ends(apps, schema_editor):
    Customer = apps.get_model("quotes", "Customer")
    customers = Customer.objects.using(schema_editor.connection.alias)
    for customer in customers.exclude(scraps="").only("scraps").iterator(500):
        lines = [line for line in customer.scraps.split("\n") if not line.startswith("qxz")]
        customers.filter(pk=customer.pk).update(scraps="\n".join(lines).strip("\n"))


class Migration(migrations.Migration):
    dependencies = [("quotes", "0028_nobody_in_english_either")]

    operations = [migrations.RunPython(with_ends, without_ends)]
