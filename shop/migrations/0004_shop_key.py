"""Each shop gets a key of its own, by which its phones know what they hand to each other."""

from django.db import migrations, models

import shop.models


def give_keys(apps, schema_editor):
    rows = apps.get_model("shop", "Shop").objects.filter(key="")
    for row in rows:
        row.key = shop.models.new_key()
        row.save(update_fields=["key"])


class Migration(migrations.Migration):
    dependencies = [("shop", "0003_thermometers")]

    operations = [
        migrations.AddField("shop", "key", models.CharField(max_length=64, default="", editable=False)),
        migrations.RunPython(give_keys, migrations.RunPython.noop),
        migrations.AlterField(
            "shop",
            "key",
            models.CharField(
                max_length=64,
                default=shop.models.new_key,
                editable=False,
                help_text="256 random bits in hex: signs what its phones hand to each other",
            ),
        ),
    ]
