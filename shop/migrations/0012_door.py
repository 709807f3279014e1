from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0011_displays'),
    ]

    operations = [
        migrations.AddField(
            model_name='shop',
            name='demo',
            field=models.BooleanField(default=False, help_text='a made-up floor to look at'),
        ),
        migrations.AddField(
            model_name='shop',
            name='door_open',
            field=models.BooleanField(default=True, help_text='as the one shop of an open host: whether a phone comes in without a code'),
        ),
    ]
