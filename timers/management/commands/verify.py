"""`manage.py verify FILE`: whether a backup is whole and could be put back."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from timers.backup import dump


class Command(BaseCommand):
    help = "Read a backup from end to end: whether it is whole, and all its taps can be reckoned with."

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path)

    def handle(self, *args, file, **options):
        try:
            checkup = dump.verify(file)
        except (OSError, dump.BackupError) as why:
            raise CommandError(str(why)) from why
        self.stdout.write(f"{file} is whole: {checkup.words()}")
