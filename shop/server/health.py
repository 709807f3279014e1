"""Health checks for monitoring: whether the process runs, and whether it can work."""

import shutil
import threading
import time

from django.conf import settings
from django.db import Error, connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from ..base.database import writing
from ..models import RateLimit

KIND = "text/plain; charset=utf-8"
KEY, NEVER_MS = "readyz", 2**62
FRESH_S = 2.0  # a check of the disk is cached for so long, so that frequent requests cause no more writes

_last_check = {"at": None, "why": ""}
_checking = threading.Lock()


@require_safe
@never_cache
def alive(request: HttpRequest) -> HttpResponse:
    """The process answers; nothing else is checked."""
    return HttpResponse("alive", content_type=KIND)


@require_safe
@never_cache
def ready(request: HttpRequest) -> HttpResponse:
    """200 where the database answers, is migrated and writable and its disk has room; else 503 and the reason."""
    try:
        executor = MigrationExecutor(connection)
        missing = bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))
        why = "Migrations are missing." if missing else _storage_problem()
    except Error:
        why = "The database does not answer."
    return HttpResponse(why or "ready", status=503 if why else 200, content_type=KIND)


def _storage_problem() -> str:
    """Why nothing can be written, "" where it can; cached, also while another thread checks."""
    if _last_check["at"] is not None and time.monotonic() - _last_check["at"] < FRESH_S:
        return _last_check["why"]
    if _checking.acquire(blocking=_last_check["at"] is None):
        try:
            _last_check.update(why=_low_disk() or _write_problem(), at=time.monotonic())
        finally:
            _checking.release()
    return _last_check["why"]


def _low_disk() -> str:
    """Whether SQLite's disk is nearly full; that of a PostgreSQL is monitored by its host."""
    if connection.vendor != "sqlite" or connection.is_in_memory_db():
        return ""
    free = shutil.disk_usage(connection.settings_dict["NAME"]).free
    return "" if free >= settings.FREE_BYTES else f"The disk is nearly full: {free // 1_000_000} MB are left."


def _write_problem() -> str:
    """Write a row: nothing else detects a full disk, a quota, or a read-only file system."""
    rows = RateLimit.objects.filter(key=KEY, until_ms=NEVER_MS)
    try:
        with writing():
            if not rows.update(count=int(time.time()) % 2**30):
                RateLimit.objects.bulk_create([RateLimit(key=KEY, until_ms=NEVER_MS)], ignore_conflicts=True)
    except Error:
        return "The database takes no tap: its disk may be full."
    return ""
