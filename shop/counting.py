"""How often something may be done: counted in the database, so that several processes and hosts count as one."""

from django.db.models import F

from .models import RateLimit


def spend(key: str, most: int, span_ms: int, now_ms: int) -> bool:
    """Count one more under a key; False, and nothing counted, where the span of time has had its most already.

    The row is raised by one conditional update, so that of many who ask at once no more than `most` are let through,
    on SQLite as on PostgreSQL.
    """
    rows = _rows(key, span_ms, now_ms)
    if _raised(rows, most):
        return True
    if not rows.exists():
        RateLimit.objects.filter(until_ms__lte=now_ms).delete()
        RateLimit.objects.bulk_create([RateLimit(key=key, until_ms=_until(span_ms, now_ms))], ignore_conflicts=True)
    return _raised(rows, most)


def give_back(key: str, span_ms: int, now_ms: int) -> None:
    """Take one off again: what was counted turned out well."""
    _rows(key, span_ms, now_ms).filter(count__gt=0).update(count=F("count") - 1)


def _raised(rows, most: int) -> bool:
    return rows.filter(count__lt=most).update(count=F("count") + 1) == 1


def _rows(key: str, span_ms: int, now_ms: int):
    return RateLimit.objects.filter(key=key, until_ms=_until(span_ms, now_ms))


def _until(span_ms: int, now_ms: int) -> int:
    """The end of the span that a moment is in; spans begin at whole multiples, so that all processes agree."""
    return (now_ms // span_ms + 1) * span_ms
