"""Restores backups, which also moves shops from one database to another.

After a restore phones may know newer acts than the server, and sequences are given out a second time.  So each shop
gets a new epoch, and a phone that comes with the old one sends what is missing.
"""

import uuid
from pathlib import Path

from django.core.management.color import no_style
from django.db import OperationalError, connections, transaction

from shop.models import Shop

from ..log import writer
from ..models import ThingState
from . import dump
from .verify import BackupError, Checkup, instance_of

BATCH_ROWS = 500
TRIES = 5
FULL = "This database holds {}. Say --replace to put the backup in the place of all that is there."


def put_back(path: Path, replace: bool = False, using: str = "default") -> Checkup:
    """Replace what the database holds by a backup, all or nothing; what the backup holds.

    Broken if the backup is invalid, or if there are shops and `replace` is not set.
    """
    checkup = dump.verify(path)
    for left in reversed(range(TRIES)):
        try:
            with transaction.atomic(using=using):
                _replace(path, replace, using)
            return checkup
        except OperationalError:  # deadlock with a tap or a ring, and the database chose us: retry
            if not left:
                raise
    raise AssertionError


def _replace(path: Path, replace: bool, using: str) -> None:
    _lock_tables(using)
    shops = Shop.objects.using(using).count()
    if shops and not replace:
        raise BackupError(FULL.format("1 shop" if shops == 1 else f"{shops} shops"))
    for model in [ThingState, *reversed(dump.models())]:
        rows = model.objects.using(using).all()
        rows._raw_delete(using)
    _load(path, using)
    for shop in Shop.objects.using(using).iterator():
        Shop.objects.using(using).filter(pk=shop.pk).update(epoch=uuid.uuid4())
        writer.fold_again(shop, using)
    with connections[using].cursor() as cursor:
        for words in connections[using].ops.sequence_reset_sql(no_style(), [ThingState, *dump.models()]):
            cursor.execute(words)


def _lock_tables(using: str) -> None:
    """Lock out readers and writers; on SQLite the transaction itself does."""
    if connections[using].vendor == "postgresql":
        names = ", ".join(f'"{model._meta.db_table}"' for model in [*dump.models(), ThingState])
        with connections[using].cursor() as cursor:
            cursor.execute(f"LOCK TABLE {names} IN ACCESS EXCLUSIVE MODE")


def _load(path: Path, using: str) -> None:
    """Insert the rows of a backup in batches; those of one table stand together in it."""
    rows: list = []
    for row in dump.read(path):
        one = instance_of(row)
        if rows and (type(one) is not type(rows[0]) or len(rows) == BATCH_ROWS):
            _write(rows, using)
            rows = []
        rows.append(one)
    _write(rows, using)


def _write(rows: list, using: str) -> None:
    if rows:
        type(rows[0]).objects.using(using).bulk_create(rows)
