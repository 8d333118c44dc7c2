import re

from django.db import migrations

TOKEN = re.compile(r"https?://\S+/[\w-]{43}/")
LINK = "‹the page of this mail›"


def forget_tokens(apps, schema_editor):
    """Letters written before say their link in full; it is made anew if one is still to be sent."""
    letters = apps.get_model("quotes", "Letter").objects
    for pk, body in letters.filter(body__contains="://").values_list("pk", "body").iterator(500):
        letters.filter(pk=pk).update(body=TOKEN.sub(LINK, body))


class Migration(migrations.Migration):
    dependencies = [("quotes", "0002_sign_in_codes_and_erasure")]
    operations = [migrations.RunPython(forget_tokens, migrations.RunPython.noop)]
