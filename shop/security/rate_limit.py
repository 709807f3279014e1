"""Rate limits in fixed windows, counted in the database, so that several processes and hosts count as one."""

from django.db.models import F

from ..models import RateLimit


def spend(key: str, most: int, span_ms: int, now_ms: int) -> bool:
    """Count one use of a key; False, and nothing counted, where the window of `span_ms` has had `most` already.

    One conditional update increments the row, so that of many concurrent requests no more than `most` succeed, on
    SQLite as on PostgreSQL.
    """
    rows = _rows(key, span_ms, now_ms)
    if _incremented(rows, most):
        return True
    if not rows.exists():
        RateLimit.objects.filter(until_ms__lte=now_ms).delete()
        RateLimit.objects.bulk_create(
            [RateLimit(key=key, until_ms=_window_end(span_ms, now_ms))], ignore_conflicts=True
        )
    return _incremented(rows, most)


def give_back(key: str, span_ms: int, now_ms: int) -> None:
    """Undo one use that turned out to be legitimate."""
    _rows(key, span_ms, now_ms).filter(count__gt=0).update(count=F("count") - 1)


def _incremented(rows, most: int) -> bool:
    return rows.filter(count__lt=most).update(count=F("count") + 1) == 1


def _rows(key: str, span_ms: int, now_ms: int):
    return RateLimit.objects.filter(key=key, until_ms=_window_end(span_ms, now_ms))


def _window_end(span_ms: int, now_ms: int) -> int:
    """The end of the window that a moment is in; windows begin at multiples of the span, for all processes alike."""
    return (now_ms // span_ms + 1) * span_ms
