"""Which moment a time on the shop's clock means, of something that has happened.  Twin: static/js/core/clock/past.js"""

import re

from ..base.check import Refused
from ..base.shapes import Zone
from ..base.translate import t
from ..base.units import DAY_MS, MINUTE_MS

TIME = re.compile(r"^([01][0-9]|2[0-3]):([0-5][0-9])\Z")


def ago_ms(form: dict[str, str], now_ms: int, zone: Zone) -> int:
    """How long ago a form says that it was.

    Rule     `when` is "" for now, a number of minutes, or "at": then the last moment at `when_time`
    Unit     ms; when_time as "07:39" on the shop's clock
    Holds    what the line "when" of a form gives; refuses "at" without a time
    Source   our own rule
    Vectors  tests/vectors/past.json
    """
    when = form.get("when", "")
    if when == "at":
        return now_ms - nearest_at(minute_of(form.get("when_time", "")), now_ms, now_ms, zone)
    return int(when) * MINUTE_MS if when else 0


def minute_of(time: str) -> int:
    """The minute of the day of a time as "07:39"."""
    found = TIME.match(time)
    if not found:
        raise Refused(t("Say at what time it was. Nothing was saved."))
    return 60 * int(found[1]) + int(found[2])


def nearest_at(minute: int, near_ms: int, now_ms: int, zone: Zone) -> int:
    """The moment with a clock time that lies nearest to another moment, and not after now.

    Rule     of the day of that moment, the day before and the day after the nearest that is not after now, of two as
             near the earlier; a time that a night leaves out comes as much later as the clocks jump, of one that
             it has twice either may be meant
    Unit     minute of the day, 0 to 1439; ms since 1970 UTC
    Holds    a moment up to a day after now
    Source   our own rule
    Vectors  tests/vectors/past.json
    """
    day = (near_ms + zone.minutes_east(near_ms) * MINUTE_MS) // DAY_MS
    each = [_moment((day + by) * DAY_MS + minute * MINUTE_MS, near_ms, zone) for by in (-2, -1, 0, 1)]
    return min((at for at in each if at <= now_ms), key=lambda at: (abs(at - near_ms), at))


def _moment(wall_ms: int, near_ms: int, zone: Zone) -> int:
    """A time on the wall as a moment."""
    about = wall_ms - zone.minutes_east(near_ms) * MINUTE_MS
    return wall_ms - zone.minutes_east(about) * MINUTE_MS
