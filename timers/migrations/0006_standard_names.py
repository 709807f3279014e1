"""The field's words for models and fields: alert, delivery, thing state.  Rows stay as they are."""

import django.db.models.deletion
from django.db import migrations, models

# The column takes its new name in the index by itself; only Django has to learn it.
ARCHIVED = migrations.SeparateDatabaseAndState(
    database_operations=[migrations.RenameField("act", "faded", "archived")],
    state_operations=[
        migrations.RemoveIndex("act", "acts_of_one_thing"),
        migrations.RenameField("act", "faded", "archived"),
        migrations.AddIndex("act", models.Index(fields=["shop", "on", "archived"], name="acts_of_one_thing")),
    ],
)


class Migration(migrations.Migration):
    dependencies = [("shop", "0013_standard_names"), ("timers", "0005_hearsay")]

    operations = [
        migrations.RenameField("act", "heard_ms", "received_ms"),
        ARCHIVED,
        migrations.RenameModel("Folded", "ThingState"),
        migrations.RemoveConstraint("owed", "one_phone_once"),
        migrations.RenameModel("Told", "Alert"),
        migrations.RenameModel("Owed", "Delivery"),
        migrations.RenameIndex("alert", old_name="told_of_one_thing", new_name="alerts_of_one_thing"),
        migrations.RenameField("alert", "told_ms", "closed_ms"),
        migrations.RenameField("alert", "said", "payload"),
        migrations.RenameField("delivery", "told", "alert"),
        migrations.AddConstraint(
            "delivery", models.UniqueConstraint(fields=["alert", "subscription"], name="one_delivery_a_phone")
        ),
        migrations.AlterField(
            "alert",
            "closed_ms",
            models.BigIntegerField(null=True, help_text="when its last delivery was sent or dropped"),
        ),
        migrations.AlterField(
            "delivery",
            "alert",
            models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="deliveries", to="timers.alert"
            ),
        ),
    ]
