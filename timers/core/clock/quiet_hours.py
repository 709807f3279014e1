"""Quiet hours of a phone: [begin, end] in minutes of the shop's day, over midnight too.

Twin: static/js/core/clock/quiet_hours.js"""

from ..base.shapes import Zone
from ..base.units import DAY_MS, MINUTE_MS


def is_quiet(hours: list[int] | None, now_ms: int, zone: Zone) -> bool:
    """Whether a moment lies in the quiet hours.

    Rule     from the begin to just before the end; none, or from a time to the same time: never
    Unit     hours minutes of the day, 0 to 1439; ms since 1970 UTC
    Holds    any moment
    Source   our own rule
    Vectors  tests/vectors/hours.json
    """
    begin, end = hours or [0, 0]
    minute = _of_day(now_ms, zone) // MINUTE_MS
    if begin <= end:
        return begin <= minute < end
    return minute >= begin or minute < end


def ends_at(hours: list[int] | None, now_ms: int, zone: Zone) -> int:
    """When what would ring now may ring: now, or when the quiet hours end.

    Rule     the end by the clock on the wall, also where clocks change in between; a time of the day that such a
             night leaves out comes as much later as the clocks jump
    Unit     as in `is_quiet`
    Holds    any moment
    Source   our own rule
    Vectors  tests/vectors/hours.json
    """
    if hours is None or not is_quiet(hours, now_ms, zone):
        return now_ms
    end = now_ms + (hours[1] * MINUTE_MS - _of_day(now_ms, zone)) % DAY_MS
    by_the_wall = end + (zone.minutes_east(now_ms) - zone.minutes_east(end)) * MINUTE_MS
    return end if is_quiet(hours, by_the_wall, zone) else by_the_wall


def _of_day(now_ms: int, zone: Zone) -> int:
    return (now_ms + zone.minutes_east(now_ms) * MINUTE_MS) % DAY_MS
