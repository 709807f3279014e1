"""A calendar file with alarms, for the calendar that every phone has.  Twin: static/js/core/files/ics.js"""

import re
from typing import NotRequired, TypedDict

from ..base.check import Refused, number, text
from ..base.translate import later, t
from ..base.units import SECOND_MS
from ..base.words import civil

MOST = 500
MADE_BY = "-//Sandtime//Shop clock//EN"
LATEST_MS = 253_402_300_799_000  # the last second of the year 9999: the format has four digits
HIGHEST = 2_147_483_647  # of a whole number in RFC 5545
LONGEST_BEFORE_MIN = 10_080
OCTETS = 75
FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
LINE_END = re.compile("\r\n?|\n")
MARKS = re.compile(r"[\\;,]")
DAY_S, HOUR_S, MINUTE_S = 86_400, 3_600, 60
MOVED = later("The clocks have moved since this file: take it again.")
MORE = later("There is more to ring than in this file: take it again.")


class Entry(TypedDict):
    """What a calendar is to ring for.  Moments are ms since 1970 UTC."""

    uid: str
    begins_ms: int
    until_ms: int | None  # None: it is a moment, without an end
    summary: str
    description: str
    alarm_min_before: int | None  # None: no alarm


class Event(Entry):
    """An entry as a file says it, with the count of its changes; cancelled where it no longer stands."""

    sequence: int
    cancelled: NotRequired[bool]


class Handed(Entry):
    """An event that was handed out in a file; `last_ms` is the latest moment that any file gave it."""

    sequence: int
    cancelled: bool
    last_ms: int


def calendar(events: list[Event], now_ms: int, name: str) -> str:
    """The text of a calendar file: to be written as UTF-8.

    Rule     moments in UTC; what begins up to the second, what ends down to it; a cancelled event has no alarm
    Unit     ms since 1970 UTC; minutes before for alarms
    Holds    1 to 500 events, moments from 1970 to 9999; others are refused in words
    Source   RFC 5545, 3.1 to 3.8; RFC 5546, 3.2.1 (PUBLISH); RFC 7986, 5.1 (NAME)
    Vectors  tests/vectors/ics.json
    """
    if not 0 < len(events) <= MOST:
        raise Refused(_how_many(len(events)))
    number(later("The moment of the file"), now_ms, 0, LATEST_MS)
    head = ["VERSION:2.0", f"PRODID:{MADE_BY}", "CALSCALE:GREGORIAN", "METHOD:PUBLISH", f"NAME:{escaped(name)}"]
    made = f"DTSTAMP:{stamp(now_ms // SECOND_MS)}"
    lines = ["BEGIN:VCALENDAR", *head, *(line for event in events for line in _event(event, made)), "END:VCALENDAR"]
    return "".join(f"{folded(line)}\r\n" for line in lines)


def renewed(events: list[Entry], handed: list[Handed], now_ms: int, sequence: int) -> list[Handed]:
    """The events of the next file, after the events of the last: what changed rises, what is gone is cancelled.

    Rule     sequence of the acts known, and above the last one where an event changed; a gone one is said until the
             latest moment that any file gave it, for the last file may not have been taken into a calendar
    Unit     ms since 1970 UTC
    Holds    events and handed each with any uid once; `handed` is what this function gave for the last file
    Source   RFC 5546, 2.1.4 and 2.1.5: the highest SEQUENCE of a UID rules
    Vectors  tests/vectors/ics.json
    """
    last = {event["uid"]: event for event in handed}
    standing = {event["uid"] for event in events}
    gone = [event for event in handed if event["uid"] not in standing and event["last_ms"] > now_ms]
    fresh = [_counted(event, False, last.get(event["uid"]), sequence) for event in events]
    return fresh + [_counted(event, True, event, sequence) for event in gone]


def since(events: list[Entry], handed: list[Handed], now_ms: int) -> str:
    """What is to be said beside the last file: that clocks moved, that there is more, or nothing."""
    standing = {event["uid"]: event["begins_ms"] for event in events}
    given = {event["uid"]: event["begins_ms"] for event in handed if not event["cancelled"]}
    if any(begins > now_ms and standing.get(uid) != begins for uid, begins in given.items()):
        return t(MOVED)
    return t(MORE) if any(begins > now_ms and given.get(uid) != begins for uid, begins in standing.items()) else ""


def escaped(value: str) -> str:
    """A text as a value: marks and line ends escaped, control signs that RFC 5545 forbids left out."""
    plain = FORBIDDEN.sub("", LINE_END.sub("\n", value))
    return MARKS.sub(lambda mark: f"\\{mark[0]}", plain).replace("\n", "\\n")


def folded(line: str) -> str:
    """A line in pieces of at most 75 octets of UTF-8, the space before a further piece among them."""
    pieces, room = [""], OCTETS
    for sign in line:
        size = octets(sign)
        if size > room:
            pieces.append(" ")
            room = OCTETS - 1
        pieces[-1] += sign
        room -= size
    return "\r\n".join(pieces)


def octets(sign: str) -> int:
    """How many octets one code point takes in UTF-8; half of a surrogate pair counts as the three it would take."""
    if sign < "\x80":
        return 1
    if sign < "\u0800":
        return 2
    return 3 if sign < "\U00010000" else 4


def stamp(second: int) -> str:
    """A second since 1970 as a moment in UTC: "20261125T143500Z"."""
    year, month, day = civil(second // DAY_S)
    hour, minute = second % DAY_S // HOUR_S, second % HOUR_S // MINUTE_S
    return f"{year:04d}{month:02d}{day:02d}T{hour:02d}{minute:02d}{second % MINUTE_S:02d}Z"


def _how_many(count: int) -> str:
    if count == 0:
        return t("Nothing will ring, so there is nothing for a calendar. No file was made.")
    return t(
        "A calendar file takes {most} rings (there are {count}). Take one panel at a time. No file was made.",
        most=MOST,
        count=count,
    )


def _counted(event: Entry, cancelled: bool, before: Handed | None, sequence: int) -> Handed:
    last_ms = event["begins_ms"]
    if before is not None:
        changed = _changed(event, before) or cancelled != before["cancelled"]
        sequence = max(sequence, before["sequence"] + 1 if changed else before["sequence"])
        last_ms = max(last_ms, before["last_ms"])
    return {
        "uid": event["uid"],
        "begins_ms": event["begins_ms"],
        "until_ms": event["until_ms"],
        "summary": event["summary"],
        "description": event["description"],
        "alarm_min_before": event["alarm_min_before"],
        "cancelled": cancelled,
        "sequence": sequence,
        "last_ms": last_ms,
    }


def _changed(event: Entry, before: Entry) -> bool:
    return (
        event["begins_ms"] != before["begins_ms"]
        or event["until_ms"] != before["until_ms"]
        or event["summary"] != before["summary"]
        or event["description"] != before["description"]
        or event["alarm_min_before"] != before["alarm_min_before"]
    )


def _event(event: Event, made: str) -> list[str]:
    _check(event)
    begins = -(-event["begins_ms"] // SECOND_MS)
    until = begins if event["until_ms"] is None else event["until_ms"] // SECOND_MS
    cancelled = event.get("cancelled", False)
    return [
        "BEGIN:VEVENT",
        f"UID:{escaped(event['uid'])}",
        made,
        f"SEQUENCE:{event['sequence']}",
        f"DTSTART:{stamp(begins)}",
        *([f"DTEND:{stamp(until)}"] if until > begins else []),
        f"SUMMARY:{escaped(event['summary'])}",
        f"DESCRIPTION:{escaped(event['description'])}",
        f"STATUS:{'CANCELLED' if cancelled else 'CONFIRMED'}",
        "TRANSP:TRANSPARENT",
        *([] if cancelled or event["alarm_min_before"] is None else _alarm(event)),
        "END:VEVENT",
    ]


def _alarm(event: Event) -> list[str]:
    before = event["alarm_min_before"]
    trigger = f"-PT{before}M" if before else "PT0M"
    words = f"DESCRIPTION:{escaped(event['summary'])}"
    return ["BEGIN:VALARM", "ACTION:DISPLAY", words, f"TRIGGER:{trigger}", "END:VALARM"]


def _check(event: Event) -> None:
    text(later("The name of a ring"), event["uid"], 1, 200)
    number(later("The count of changes"), event["sequence"], 0, HIGHEST)
    number(later("The moment of a ring"), event["begins_ms"], 0, LATEST_MS)
    if event["until_ms"] is not None:
        number(later("The end of a ring"), event["until_ms"], 0, LATEST_MS)
    if event["alarm_min_before"] is not None:
        number(later("The alarm before a ring"), event["alarm_min_before"], 0, LONGEST_BEFORE_MIN, 1, later("minutes"))
