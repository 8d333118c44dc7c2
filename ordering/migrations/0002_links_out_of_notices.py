import re

from django.db import migrations

ANCHOR = re.compile(r'<a href="https?://[^"\s]+/[\w-]{43}/">[^<]*</a>')
TOKEN = re.compile(r"https?://\S+/[\w-]{43}/")
LINK = "‹the page of this mail›"


def forget_tokens(apps, schema_editor):
    """Notices written before say their link in full; it is made anew if one is still to be sent."""
    notices = apps.get_model("ordering", "Notice").objects
    held = notices.filter(body__contains="://").values_list("pk", "subject", "body", "html")
    for pk, subject, body, html in held.iterator(500):
        notices.filter(pk=pk).update(
            subject=TOKEN.sub(LINK, subject),
            body=TOKEN.sub(LINK, body),
            html=TOKEN.sub(LINK, ANCHOR.sub(LINK, html)),
        )


class Migration(migrations.Migration):
    dependencies = [("ordering", "0001_initial")]
    operations = [migrations.RunPython(forget_tokens, migrations.RunPython.noop)]
