"""A backup: all shops in one file, the same from SQLite and from PostgreSQL, read and written while the server runs.

Version 1.  UTF-8, one JSON object a line.  First {"sandtime_backup": 1, "made_ms", "migrations": [...]}; then a row of
a table a line, {"model", "pk", "fields"} as Django's serializers write it; last {"end": true, "rows", "sha256"}: the
number of rows, and the SHA-256 of all lines before.  Folded states are left out: they are folded again from the acts.
Files of versions before the migration RENAMED_BY hold the names of then (NEW_NAMES in verify.py), and are read too.
"""

import hashlib
import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.apps import apps
from django.core.serializers.json import DjangoJSONEncoder
from django.core.serializers.python import Serializer
from django.db import connections, transaction
from django.db.migrations.loader import MigrationLoader

from ..models import ThingState
from .verify import BackupError, Checkup, with_new_names

VERSION = 1
OURS = ("shop", "timers")
CHUNK_ROWS = 2000
RENAMED_BY = "shop/0013_standard_names"  # backups of versions before it hold older names
IN_ORDER = {"timers.act": ("shop", "on", "seq")}  # so that a reader meets all acts of one thing together


def models() -> list:
    """The tables that a backup holds."""
    return [model for name in OURS for model in apps.get_app_config(name).get_models() if model is not ThingState]


def migrations() -> list[str]:
    """The migrations that this version of Sandtime knows, read from its files: there may be no database."""
    return sorted("/".join(key) for key in MigrationLoader(None).disk_migrations if key[0] in OURS)


def write(path: Path, now_ms: int, using: str = "default") -> Checkup:
    """Write a backup of one moment, readable by its owner only; what it holds.  The file is complete or not there."""
    part = path.with_name(f"{path.name}.{os.getpid()}.part")
    try:
        with open(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
            for line in _lines(now_ms, using):
                file.write(line)
            file.flush()
            os.fsync(file.fileno())
        checkup = verify(part)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
    return checkup


def verify(path: Path) -> Checkup:
    """Read a backup from end to end and check it; BackupError if anything is wrong with it."""
    checkup = Checkup()
    for row in read(path):
        checkup.take(row)
    checkup.finish()
    return checkup


def read(path: Path) -> Iterator[dict]:
    """The rows of a backup; BackupError if the file is not one, or was cut off or changed."""
    digest, count = hashlib.sha256(), 0
    with path.open("rb") as file:
        head = file.readline()
        known = _check_head(_json(head))
        digest.update(head)
        for line in file:
            row = _json(line)
            if row.get("end"):
                if (row.get("rows"), row.get("sha256")) != (count, digest.hexdigest()):
                    raise BackupError("What this backup holds is not what was written: it was changed or damaged.")
                if file.read(1):
                    raise BackupError("Something follows the end of this backup.")
                return
            digest.update(line)
            count += 1
            yield row if RENAMED_BY in known else with_new_names(row)
    raise BackupError("This backup was cut off: its end is missing.")


def _check_head(head: dict) -> set[str]:
    """The migrations that the version which made a backup knew."""
    if head.get("sandtime_backup") != VERSION:
        raise BackupError("This file is no backup of Sandtime, or of a later version.")
    known = set(head.get("migrations", []))
    if later := known - set(migrations()):
        raise BackupError(f"This backup was made by a later version of Sandtime: it knows {', '.join(sorted(later))}.")
    return known


def _json(line: bytes) -> dict:
    try:
        value = json.loads(line)
    except ValueError:
        value = None
    if not isinstance(value, dict):
        raise BackupError("This file is no backup of Sandtime, or it is damaged: a line of it cannot be read.")
    return value


def _lines(now_ms: int, using: str) -> Iterator[bytes]:
    digest, count = hashlib.sha256(), 0
    line = _line({"sandtime_backup": VERSION, "made_ms": now_ms, "migrations": migrations()})
    digest.update(line)
    yield line
    for row in _rows(using):
        line = _line(row)
        digest.update(line)
        count += 1
        yield line
    yield _line({"end": True, "rows": count, "sha256": digest.hexdigest()})


def _line(value: dict) -> bytes:
    return json.dumps(value, cls=DjangoJSONEncoder, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


def _rows(using: str) -> Iterator[dict]:
    serializer = Serializer()
    with _one_moment(using):
        for model in models():
            order = IN_ORDER.get(model._meta.label_lower, ("pk",))
            for row in model.objects.using(using).order_by(*order).iterator(CHUNK_ROWS):
                yield serializer.serialize([row])[0]


@contextmanager
def _one_moment(using: str) -> Iterator[None]:
    """A snapshot: all queries inside see the database of one moment, and no writer is blocked."""
    connection = connections[using]
    connection.ensure_connection()
    outermost = not connection.in_atomic_block
    usual = getattr(connection, "transaction_mode", None)
    if connection.vendor == "sqlite":
        connection.transaction_mode = "DEFERRED"
    try:
        with transaction.atomic(using=using):
            if connection.vendor == "postgresql" and outermost:
                with connection.cursor() as cursor:
                    cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield
    finally:
        if connection.vendor == "sqlite":
            connection.transaction_mode = usual
