"""What rings of a panel goes by other rules from here on: the ringer looks at each one on the floor again."""

from django.db import migrations


def look_again(apps, editor) -> None:
    """A next moment that was reckoned before may lie too late: "now" is sure.  What was put away has none, and keeps it."""
    panels = apps.get_model("timers", "ThingState").objects.filter(on__startswith="panel:", next_at_ms__isnull=False)
    panels.update(next_at_ms=0)


class Migration(migrations.Migration):
    dependencies = [("timers", "0006_standard_names")]
    operations = [migrations.RunPython(look_again, migrations.RunPython.noop)]
