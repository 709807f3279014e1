"""`manage.py restore FILE`: replaces what the database holds by a backup, while the server runs."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from timers.backup import dump
from timers.backup.restore import put_back
from timers.management import preflight


class Command(BaseCommand):
    help = "Put a backup into an empty database, or with --replace in the place of all that is there."

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path)
        parser.add_argument("--replace", action="store_true", help="what the database holds now is taken away")

    def handle(self, *args, file, replace, **options):
        try:
            dump.verify(file)  # before a database is made for it
            preflight.made()
            checkup = put_back(file, replace)
        except (OSError, dump.BackupError) as why:
            raise CommandError(f"{why}  Nothing was changed.") from why
        self.stdout.write(f"Put back {checkup.words()}.  Phones that know newer taps send them by themselves.")
