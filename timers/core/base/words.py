"""Durations, clock times and the sentences of a card.  Twin: static/js/core/base/words.js

`zone` is how a moment becomes local time: `shapes.Zone`.
"""

from .shapes import Zone
from .translate import decimal, later, t
from .units import DAY_MS, HOUR_MS, MINUTE_MS

WEEKDAYS = [later("Mon"), later("Tue"), later("Wed"), later("Thu"), later("Fri"), later("Sat"), later("Sun")]
MONTHS = [
    later("Jan"),
    later("Feb"),
    later("Mar"),
    later("Apr"),
    later("May"),
    later("Jun"),
    later("Jul"),
    later("Aug"),
    later("Sep"),
    later("Oct"),
    later("Nov"),
    later("Dec"),
]


def span(ms: int) -> str:
    """A duration as a person says it, never shorter than it is: "under 1 min", "12 min", "1 h 05 min", "2 d 3 h".

    Rule     minutes round up below a day, hours round up from a day on
    Unit     ms in
    Holds    0 and up; less counts as 0
    Source   our own rule
    Vectors  tests/vectors/words.json
    """
    if ms < MINUTE_MS:
        return t("under 1 min")
    minutes = -(-ms // MINUTE_MS)
    if minutes < 60:
        return t("{minutes} min", minutes=minutes)
    if minutes < 1440:
        hours, minutes = divmod(minutes, 60)
        if not minutes:
            return t("{hours} h", hours=hours)
        return t("{hours} h {minutes} min", hours=hours, minutes=f"{minutes:02d}")
    days, hours = divmod(-(-ms // HOUR_MS), 24)
    return t("{days} d {hours} h", days=days, hours=hours) if hours else t("{days} d", days=days)


def opens(at_ms: int, now_ms: int, zone: Zone) -> str:
    """Clock time of an opening, rounded up to the minute: never early."""
    return clock(-(-at_ms // MINUTE_MS) * MINUTE_MS, now_ms, zone)


def shuts(at_ms: int, now_ms: int, zone: Zone) -> str:
    """Clock time of a closing, rounded down to the minute: never late."""
    return clock(at_ms // MINUTE_MS * MINUTE_MS, now_ms, zone)


def clock(at_ms: int, now_ms: int, zone: Zone) -> str:
    """ "14:20" today, "tomorrow 02:10", "yesterday 18:00", "Thu 02:10" in the six days ahead, else "13 Nov 02:10"."""
    day, minute = _local(at_ms, zone)
    today, _ = _local(now_ms, zone)
    time = wall(minute, zone)
    ahead = day - today
    if ahead == 0:
        return time
    if ahead in (1, -1):
        return t("tomorrow {time}", time=time) if ahead == 1 else t("yesterday {time}", time=time)
    return t("{day} {time}", day=t(WEEKDAYS[(day + 3) % 7]) if 1 < ahead < 7 else _date(day), time=time)


def wall(minute: int, zone: Zone) -> str:
    """A minute of the day as the shop's clock shows it: "14:20", or "2:20 pm" where the shop reads twelve hours."""
    hour, minute = divmod(minute, 60)
    if zone.hours != "12":
        return f"{hour:02d}:{minute:02d}"
    time = f"{(hour + 11) % 12 + 1}:{minute:02d}"
    return t("{time} am", time=time) if hour < 12 else t("{time} pm", time=time)


def degrees(temp_dc: int, unit: str = "c") -> str:
    """Tenths of a degree C as the screens show it: "14 °C", "14.5 °C", "−3 °C"; with unit "f" "57.2 °F"."""
    return _tenths(temp_dc, " °C") if unit == "c" else _tenths(_nine_fifths(temp_dc) + 320, " °F")


def warmer(step_dc: int, unit: str = "c") -> str:
    """A difference of temperatures: "3 °C", "5.4 °F"."""
    return _tenths(step_dc, " °C") if unit == "c" else _tenths(_nine_fifths(step_dc), " °F")


def _nine_fifths(dc: int) -> int:
    """To the nearest tenth, ties up."""
    return (18 * dc + 5) // 10


def _tenths(value: int, unit: str) -> str:
    whole, tenth = divmod(abs(value), 10)
    figure = decimal(f"{whole}.{tenth}") if tenth else str(whole)
    return f"−{figure}{unit}" if value < 0 else f"{figure}{unit}"


def _local(at_ms: int, zone: Zone) -> tuple[int, int]:
    """Days since 1970-01-01 and minutes of the day, local."""
    local = at_ms + zone.minutes_east(at_ms) * MINUTE_MS
    return local // DAY_MS, local % DAY_MS // MINUTE_MS


def civil(day: int) -> tuple[int, int, int]:
    """Year, month and day of a day number (days since 1970-01-01), proleptic Gregorian.

    Rule     the civil-from-days sum that public calendars use: a year begins in March, an era is 400 years
    Unit     days in; year, month 1 to 12, day 1 to 31
    Holds    any whole number
    Source   arithmetic of the Gregorian calendar
    Vectors  tests/vectors/words.json, tests/vectors/ics.json
    """
    shifted = day + 719468
    era = shifted // 146097
    of_era = shifted - era * 146097
    year = (of_era - of_era // 1460 + of_era // 36524 - of_era // 146096) // 365
    of_year = of_era - (365 * year + year // 4 - year // 100)
    month = (5 * of_year + 2) // 153
    of_month = of_year - (153 * month + 2) // 5 + 1
    return (year + 400 * era + (1 if month >= 10 else 0), (month + 2) % 12 + 1, of_month)


def _date(day: int) -> str:
    _, month, of_month = civil(day)
    return t("{day} {month}", day=of_month, month=t(MONTHS[month - 1]))
