"""For whoever watches over the server: whether the process lives, and whether it can work."""

from django.db import Error, connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe


@require_safe
@never_cache
def lives(request: HttpRequest) -> HttpResponse:
    """The process answers; nothing else is asked."""
    return HttpResponse("alive", content_type="text/plain")


@require_safe
@never_cache
def ready(request: HttpRequest) -> HttpResponse:
    """The database answers and has every table that this version needs; 503 and why where not."""
    try:
        executor = MigrationExecutor(connection)
        missing = bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))
    except Error:
        return _not_yet("The database does not answer.")
    return _not_yet("Migrations are missing.") if missing else HttpResponse("ready", content_type="text/plain")


def _not_yet(why: str) -> HttpResponse:
    return HttpResponse(why, status=503, content_type="text/plain")
