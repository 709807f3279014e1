from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0008_tongue_of_a_phone'),
    ]

    operations = [
        migrations.AddField(
            model_name='shop',
            name='first_name',
            field=models.CharField(blank=True, help_text='what it was called before a keeper named it', max_length=200),
        ),
    ]
