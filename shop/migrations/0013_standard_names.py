"""The field's words for models and fields: invite, rate limit, epoch, locale.  Rows stay as they are."""

import uuid

import django.db.models.deletion
from django.db import migrations, models

RENAMES = [
    migrations.RenameModel("Opening", "Invite"),
    migrations.RenameModel("Count", "RateLimit"),
    migrations.RenameField("shop", "memory", "epoch"),
    migrations.RenameField("shop", "begun_in", "seed_locale"),
    migrations.RenameField("phone", "tongue", "locale"),
]
HELP_TEXTS = [  # the database is not asked
    migrations.AlterField(
        "shop",
        "epoch",
        models.UUIDField(
            default=uuid.uuid4, help_text="names the line of numbers that cursors belong to: new after a restore"
        ),
    ),
    migrations.AlterField(
        "shop",
        "seed_locale",
        models.CharField(
            blank=True,
            help_text="the locale of the default products and routes, while its log does not hold them",
            max_length=8,
        ),
    ),
    migrations.AlterField(
        "phone", "cursor", models.BigIntegerField(default=0, help_text="the last sequence that it confirmed")
    ),
    migrations.AlterField(
        "phone",
        "locale",
        models.CharField(default="en", help_text="of its pages, and of the alerts it is sent", max_length=8),
    ),
    migrations.AlterField(
        "invite",
        "asker_digest",
        models.CharField(blank=True, help_text="of the random number of the phone that used it", max_length=64),
    ),
    migrations.AlterField(
        "invite",
        "phone",
        models.ForeignKey(
            help_text="that joined",
            null=True,
            on_delete=django.db.models.deletion.SET_NULL,
            related_name="+",
            to="shop.phone",
        ),
    ),
    migrations.AlterField(
        "invite",
        "shop",
        models.ForeignKey(
            on_delete=django.db.models.deletion.CASCADE, related_name="invites", to="shop.shop"
        ),
    ),
    migrations.AlterField(
        "thermometer", "last", models.JSONField(default=dict, help_text="its last reading: at, temp_dc, rh_pm")
    ),
    migrations.AlterField(
        "thermometer", "seen_ms", models.BigIntegerField(default=0, help_text="when it last posted a reading")
    ),
]


class Migration(migrations.Migration):
    dependencies = [("shop", "0012_door")]
    operations = [*RENAMES, *HELP_TEXTS]
