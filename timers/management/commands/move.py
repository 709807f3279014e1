"""`manage.py move --to DATABASE_URL`: copies all shops into another database, from SQLite to PostgreSQL."""

import tempfile
from pathlib import Path

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import Error, connections

from shop.base import database
from shop.security.guards import now_ms
from timers.backup import dump
from timers.backup.restore import put_back
from timers.management import preflight

THERE = "there"


class Command(BaseCommand):
    help = "Copy all shops into an empty PostgreSQL database; nothing is taken away here."

    def add_arguments(self, parser):
        parser.add_argument("--to", required=True, metavar="DATABASE_URL")
        parser.add_argument("--replace", action="store_true", help="what that database holds now is taken away")

    def handle(self, *args, to, replace, **options):
        preflight.needed()
        try:
            connections.settings[THERE] = connections.configure_settings(
                {**settings.DATABASES, THERE: database.postgresql(to)}
            )[THERE]
            call_command("migrate", database=THERE, interactive=False, verbosity=0)
            with tempfile.TemporaryDirectory() as folder:
                file = Path(folder) / "move"
                dump.write(file, now_ms())
                checkup = put_back(file, replace, THERE)
        except (OSError, dump.BackupError, ImproperlyConfigured, Error) as why:
            raise CommandError(f"{why}  Nothing was moved.") from why
        finally:
            if THERE in connections.settings:
                connections[THERE].close()
                del connections[THERE], connections.settings[THERE]
        self.stdout.write(
            f"Moved {checkup.words()}.  Start Sandtime with DATABASE_URL set to that database from now on."
        )
