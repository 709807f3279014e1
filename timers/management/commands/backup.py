"""`manage.py backup FILE`: all shops in one file, while the server runs."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from shop.security.guards import now_ms
from timers.backup import dump
from timers.management import preflight


class Command(BaseCommand):
    help = "Write all shops to one file, from SQLite or PostgreSQL, while the server runs."

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path)

    def handle(self, *args, file, **options):
        preflight.needed()
        try:
            checkup = dump.write(file, now_ms())
        except (OSError, dump.BackupError) as why:
            raise CommandError(f"{why}  Nothing was written.") from why
        self.stdout.write(f"Backed up {checkup.words()} to {file} ({file.stat().st_size / 1e6:.1f} MB)")
