from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0009_first_name'),
    ]

    operations = [
        migrations.AddField(
            model_name='shop',
            name='begun_in',
            field=models.CharField(blank=True, help_text='the tongue of the shelf and routes it began with, while its log does not hold them', max_length=8),
        ),
    ]
