"""For whoever watches over the server: whether the process lives, and whether it can work."""

import shutil
import threading
import time

from django.conf import settings
from django.db import Error, connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from .database import writing
from .models import RateLimit

KIND = "text/plain; charset=utf-8"
KEY, NEVER_MS = "readyz", 2**62
FRESH_S = 2.0  # a look at the disk counts for so long: whoever asks without end writes no more for it

_seen = {"at": None, "why": ""}
_looking = threading.Lock()


@require_safe
@never_cache
def lives(request: HttpRequest) -> HttpResponse:
    """The process answers; nothing else is asked."""
    return HttpResponse("alive", content_type=KIND)


@require_safe
@never_cache
def ready(request: HttpRequest) -> HttpResponse:
    """The database answers, has every table that this version needs and takes a row, and its disk has room; 503 and why
    where not."""
    try:
        executor = MigrationExecutor(connection)
        missing = bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))
        why = "Migrations are missing." if missing else _disk()
    except Error:
        why = "The database does not answer."
    return HttpResponse(why or "ready", status=503 if why else 200, content_type=KIND)


def _disk() -> str:
    """Why nothing can be written, as it was seen not long ago; while somebody looks, as it was seen before."""
    if _seen["at"] is not None and time.monotonic() - _seen["at"] < FRESH_S:
        return _seen["why"]
    if _looking.acquire(blocking=_seen["at"] is None):
        try:
            _seen.update(why=_no_room() or _no_write(), at=time.monotonic())
        finally:
            _looking.release()
    return _seen["why"]


def _no_room() -> str:
    """SQLite's own disk is looked at; how much a PostgreSQL has left its host sees."""
    if connection.vendor != "sqlite" or connection.is_in_memory_db():
        return ""
    free = shutil.disk_usage(connection.settings_dict["NAME"]).free
    return "" if free >= settings.FREE_BYTES else f"The disk is nearly full: {free // 1_000_000} MB are left."


def _no_write() -> str:
    """A row that is really written: nothing else knows of a full disk, a quota, or a disk that can only be read."""
    rows = RateLimit.objects.filter(key=KEY, until_ms=NEVER_MS)
    try:
        with writing():
            if not rows.update(count=int(time.time()) % 2**30):
                RateLimit.objects.bulk_create([RateLimit(key=KEY, until_ms=NEVER_MS)], ignore_conflicts=True)
    except Error:
        return "The database takes no tap: its disk may be full."
    return ""
