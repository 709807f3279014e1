from django.db import migrations, models

# What is held already is counted once: of each shop at its last act, of each thing at its state.
SHOPS = """UPDATE timers_act SET shop_bytes =
    (SELECT SUM(LENGTH(CAST(one.body AS text))) FROM timers_act one WHERE one.shop_id = timers_act.shop_id)
    WHERE seq = (SELECT seq FROM shop_shop WHERE id = timers_act.shop_id)"""
THINGS = """UPDATE timers_folded SET bytes =
    (SELECT COALESCE(SUM(LENGTH(CAST(body AS text))), 0) FROM timers_act WHERE timers_act.shop_id = timers_folded.shop_id
    AND timers_act."on" = timers_folded."on" AND faded = FALSE)"""


class Migration(migrations.Migration):
    dependencies = [("shop", "0009_first_name"), ("timers", "0003_faded_readings")]

    operations = [
        migrations.AddField(
            model_name="act",
            name="shop_bytes",
            field=models.BigIntegerField(default=0, help_text="of all acts of the shop up to this one"),
        ),
        migrations.AddField(
            model_name="folded",
            name="bytes",
            field=models.BigIntegerField(default=0, help_text="of its acts that clocks need"),
        ),
        migrations.RunSQL(SHOPS, migrations.RunSQL.noop),
        migrations.RunSQL(THINGS, migrations.RunSQL.noop),
        migrations.AddIndex(
            model_name="folded",
            index=models.Index(condition=models.Q(("next_at_ms__isnull", False)), fields=["shop"], name="may_ring"),
        ),
    ]
