"""Backups put back, and shops moved from one database to another.

The server's memory goes back with it: phones may know newer acts, and numbers that were given out once will be given
out again.  So each shop gets a new epoch; a phone that comes with the old one tells what is missing.
"""

import uuid
from pathlib import Path

from django.core.management.color import no_style
from django.db import OperationalError, connections, transaction

from shop.models import Shop

from . import backup, log
from .checkup import BackupError, Checkup, thawed
from .models import ThingState

AT_ONCE = 500
TRIES = 5
FULL = "This database holds {}. Say --replace to put the backup in the place of all that is there."


def put_back(path: Path, replace: bool = False, using: str = "default") -> Checkup:
    """Put a backup in the place of what the database holds: all of it, or nothing when anything is wrong."""
    found = backup.verify(path)
    for left in reversed(range(TRIES)):
        try:
            with transaction.atomic(using=using):
                _replace(path, replace, using)
            return found
        except OperationalError:  # a tap or a ring held what we wanted and wanted what we held: the database chose
            if not left:
                raise
    raise AssertionError


def _replace(path: Path, replace: bool, using: str) -> None:
    _hold(using)
    shops = Shop.objects.using(using).count()
    if shops and not replace:
        raise BackupError(FULL.format("1 shop" if shops == 1 else f"{shops} shops"))
    for model in [ThingState, *reversed(backup.models())]:
        rows = model.objects.using(using).all()
        rows._raw_delete(using)
    _load(path, using)
    for shop in Shop.objects.using(using).iterator():
        Shop.objects.using(using).filter(pk=shop.pk).update(epoch=uuid.uuid4())
        log.fold_again(shop, using)
    with connections[using].cursor() as cursor:
        for words in connections[using].ops.sequence_reset_sql(no_style(), [ThingState, *backup.models()]):
            cursor.execute(words)


def _hold(using: str) -> None:
    """Nobody writes or reads meanwhile; on SQLite the transaction itself sees to that."""
    if connections[using].vendor == "postgresql":
        names = ", ".join(f'"{model._meta.db_table}"' for model in [*backup.models(), ThingState])
        with connections[using].cursor() as cursor:
            cursor.execute(f"LOCK TABLE {names} IN ACCESS EXCLUSIVE MODE")


def _load(path: Path, using: str) -> None:
    """Rows of one table stand together in a backup."""
    rows: list = []
    for row in backup.read(path):
        one = thawed(row)
        if rows and (type(one) is not type(rows[0]) or len(rows) == AT_ONCE):
            _write(rows, using)
            rows = []
        rows.append(one)
    _write(rows, using)


def _write(rows: list, using: str) -> None:
    if rows:
        type(rows[0]).objects.using(using).bulk_create(rows)
