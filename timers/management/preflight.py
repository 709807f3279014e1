"""Checks that there is a database for a command to work on; if not, CommandError in one line and no file is made."""

from pathlib import Path

from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import Error, connections
from django.db.migrations.executor import MigrationExecutor

NOTHING_HERE = (
    "No Sandtime database is in {folder}.  If yours is elsewhere, name its folder: SANDTIME_DATA=/its/folder before "
    "the command.  A new one is made by: .venv/bin/python manage.py serve"
)
OLDER = "This database is of an older Sandtime.  Bring it up to date first: .venv/bin/python manage.py migrate"
EMPTY = "This database is empty.  Bring it up to date first: .venv/bin/python manage.py migrate"
NO_ANSWER = "The database does not answer: {why}"


def needed(using: str = "default") -> None:
    """CommandError if there is no database of this version; the check makes no file."""
    connection = connections[using]
    file = _file(connection)
    if file and not file.exists():
        raise CommandError(NOTHING_HERE.format(folder=file.parent))
    try:
        executor = MigrationExecutor(connection)
        missing = executor.migration_plan(executor.loader.graph.leaf_nodes())
    except Error as why:
        raise CommandError(NO_ANSWER.format(why=_one_line(why))) from why
    if missing:
        raise CommandError(OLDER if executor.loader.applied_migrations else EMPTY)


def made(using: str = "default") -> None:
    """Make an empty database, or bring an older one up to date; CommandError if it does not answer."""
    connection = connections[using]
    if file := _file(connection):
        file.parent.mkdir(parents=True, exist_ok=True)
    try:
        call_command("migrate", database=using, interactive=False, verbosity=0)
    except Error as why:
        raise CommandError(NO_ANSWER.format(why=_one_line(why))) from why


def _file(connection) -> Path | None:
    """The file of an SQLite database, None if it has none."""
    if connection.vendor != "sqlite" or connection.is_in_memory_db():
        return None
    return Path(connection.settings_dict["NAME"])


def _one_line(why: Error) -> str:
    return " ".join(str(why).split())
