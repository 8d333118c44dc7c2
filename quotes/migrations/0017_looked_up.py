from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('quotes', '0016_a_factory_asks'),
    ]

    operations = [
        migrations.AddField(
            model_name='request',
            name='looked_up',
            field=models.BooleanField(default=False, editable=False),
        ),
    ]
