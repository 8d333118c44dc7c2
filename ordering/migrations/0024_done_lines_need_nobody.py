"""Lines that were done as their last pieces were made again stayed on the watch list: no day's look came by them."""

from django.db import migrations


def off_the_list(apps, schema_editor):
    done = apps.get_model("ordering", "OrderLine").objects.filter(is_open=False, need__isnull=False)
    done.update(need=None, need_why="", need_days=0)


class Migration(migrations.Migration):

    dependencies = [("ordering", "0023_copies_of_mail")]

    operations = [migrations.RunPython(off_the_list, migrations.RunPython.noop)]
