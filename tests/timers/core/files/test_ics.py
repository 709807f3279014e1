"""Calendar files held against the `icalendar` library: names, folds, alarms, clock changes, and a calendar that takes
one file after another."""

import datetime
import itertools
import random
from zoneinfo import ZoneInfo

import icalendar
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.random_logs.sheets import HOSTILE
from timers.core.base import words
from timers.core.base.check import Refused
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS, SECOND_MS
from timers.core.files import ics
from timers.log.reader import ShopZone

LAWS = settings(max_examples=100)
NOW_MS = 1_795_614_000_000  # 2026-11-25 13:40 UTC
UTC = datetime.UTC
MARKS = [
    "",
    ";;,,\\\\",
    "\\n",
    "\\",
    "a\\",
    "BEGIN:VEVENT\r\nEND:VCALENDAR",
    '"quoted":x',
    "é" * 200,
    "a" * 74 + "🚙" * 40,
]
ZONES = ["Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Africa/Casablanca", "Asia/Kathmandu", "UTC"]
SIGNS = st.text(st.characters(codec="utf-8"), max_size=200)
EVENTS = st.fixed_dictionaries(
    {
        "sequence": st.integers(0, ics.HIGHEST),
        "begins_ms": st.integers(0, ics.LATEST_MS // 2),
        "until_ms": st.none() | st.integers(0, ics.LATEST_MS // 2),
        "summary": SIGNS | st.sampled_from(HOSTILE),
        "description": SIGNS,
        "alarm_min_before": st.none() | st.integers(0, ics.LONGEST_BEFORE_MIN),
        "cancelled": st.booleans(),
    }
)


def event(**more) -> dict:
    made = {"uid": "a", "sequence": 0, "begins_ms": NOW_MS + HOUR_MS, "until_ms": None, "summary": "Hood: coat 2"}
    return {**made, "description": "", "alarm_min_before": 0, **more}


def read(events: list[dict], name: str = "Floor") -> list:
    """The events of a file as the library reads them; it finds no fault with the file."""
    calendar = icalendar.Calendar.from_ical(ics.calendar(events, NOW_MS, name).encode("utf-8"))
    assert not [part.errors for part in calendar.walk() if part.errors]
    assert (calendar["METHOD"], calendar["VERSION"]) == ("PUBLISH", "2.0")
    return calendar.walk("VEVENT")


def plain(text: str) -> str:
    """A text as a calendar may hold it."""
    return ics.FORBIDDEN.sub("", ics.LINE_END.sub("\n", text))


def moment(ms: int) -> datetime.datetime:
    return datetime.datetime(1970, 1, 1, tzinfo=UTC) + datetime.timedelta(milliseconds=ms)


# --- names ---


@pytest.mark.parametrize("text", HOSTILE + MARKS)
def test_a_hostile_name_comes_back_as_it_was_and_makes_no_event_of_its_own(text):
    (parsed,) = read([event(uid=f"u{plain(text)[:150]}", summary=text, description=f"{text}\n{text}")], text)
    assert parsed["SUMMARY"] == plain(text)
    assert parsed["DESCRIPTION"] == plain(f"{text}\n{text}")
    assert parsed.walk("VALARM")[0]["DESCRIPTION"] == plain(text)


def test_control_signs_that_the_format_forbids_are_left_out_and_all_others_stay():
    for point in [*range(0x300), 0x2028, 0xD800, 0xDFFF, 0xFEFF, 0xFFFF, 0x1F697]:
        sign = chr(point)
        escaped = ics.escaped(f"a{sign}b")
        gone = (point < 32 and sign not in "\t\n\r") or point == 127 or 0xD800 <= point < 0xE000
        assert (escaped == "ab") == gone, hex(point)
        escaped.encode("utf-8")


# --- lines ---


@LAWS
@given(st.lists(EVENTS, min_size=1, max_size=4), SIGNS)
def test_every_line_holds_at_most_75_octets_and_no_sign_is_cut_in_two(events, name):
    text = ics.calendar([{**one, "uid": str(nth)} for nth, one in enumerate(events)], NOW_MS, name)
    lines = text.encode("utf-8").split(b"\r\n")
    assert lines.pop() == b""
    assert all(len(line) <= 75 and line and b"\n" not in line and b"\r" not in line for line in lines)
    assert b"".join(lines).decode("utf-8") == "".join(line.decode("utf-8") for line in lines)


# --- what comes back ---


@LAWS
@given(st.lists(EVENTS, min_size=1, max_size=5), SIGNS)
def test_what_stands_in_a_file_is_read_back_to_the_last_field(events, name):
    events = [{**one, "uid": f"ring {nth}"} for nth, one in enumerate(events)]
    for given_one, parsed in zip(events, read(events, name), strict=True):
        begins = -(-given_one["begins_ms"] // SECOND_MS) * SECOND_MS
        until = (given_one["until_ms"] or 0) // SECOND_MS * SECOND_MS
        assert parsed["UID"] == given_one["uid"]
        assert parsed["SEQUENCE"] == given_one["sequence"]
        assert parsed["DTSTART"].dt == moment(begins)
        assert parsed["DTSTAMP"].dt == moment(NOW_MS)
        assert ("DTEND" in parsed) == (until > begins)
        assert until <= begins or parsed["DTEND"].dt == moment(until)
        assert (parsed["SUMMARY"], parsed["DESCRIPTION"]) == (
            plain(given_one["summary"]),
            plain(given_one["description"]),
        )
        assert parsed["STATUS"] == ("CANCELLED" if given_one["cancelled"] else "CONFIRMED")
        assert alarms(parsed) == alarms_meant(given_one)


def alarms(parsed) -> list:
    return [(one["ACTION"], one["TRIGGER"].dt, str(one["DESCRIPTION"])) for one in parsed.walk("VALARM")]


def alarms_meant(event: dict) -> list:
    before = event["alarm_min_before"]
    if event["cancelled"] or before is None:
        return []
    return [("DISPLAY", datetime.timedelta(minutes=-before), plain(event["summary"]))]


# --- clock changes ---


def turns(zone: ZoneInfo) -> list[int]:
    """Moments of 2026 and 2027 from which a zone's clocks show another difference from UTC, to the quarter hour."""
    begin = 1_767_225_600_000

    def east(ms):
        return moment(ms).astimezone(zone).utcoffset()

    days = [begin + nth * DAY_MS for nth in range(731)]
    parsed = []
    for before, after in itertools.pairwise(days):
        quarters = [before + nth * 15 * MINUTE_MS for nth in range(97)]
        pairs = itertools.pairwise(quarters) if east(before) != east(after) else []
        parsed += [two for one, two in pairs if east(one) != east(two)]
    return parsed


@pytest.mark.parametrize("name", ZONES)
def test_a_ring_near_a_clock_change_is_read_back_at_its_instant_in_every_zone(name):
    zone = ZoneInfo(name)
    near = [turn + by * 15 * MINUTE_MS for turn in turns(zone) for by in range(-9, 10)] or [NOW_MS]
    near = near[:400]
    assert (len(near) > 70) == (name not in ("Asia/Kathmandu", "UTC"))
    parsed = read([event(uid=str(ms), begins_ms=ms, until_ms=ms + HOUR_MS) for ms in near])
    for ms, one in zip(near, parsed, strict=True):
        local = one["DTSTART"].dt.astimezone(zone)
        assert local.timestamp() * 1000 == ms
        assert one["DTEND"].dt.astimezone(zone).timestamp() * 1000 == ms + HOUR_MS
        assert local.strftime("%H:%M") == words.clock(ms, ms, ShopZone(zone, "24"))


# --- one file after another ---


@LAWS
@given(st.integers(0, 2**32))
def test_a_calendar_that_takes_the_last_file_holds_just_what_stands(seed):
    rnd = random.Random(seed)
    known_events, handed, now, acts = {}, [], NOW_MS, 1
    for _ in range(rnd.randint(1, 12)):
        now, acts = now + rnd.choice([0, MINUTE_MS, HOUR_MS]), acts + rnd.randint(1, 3)
        standing = [
            event(uid=uid, begins_ms=now + rnd.randint(1, 6) * 20 * MINUTE_MS, summary=rnd.choice("ab"))
            for uid in "pqrst"
            if rnd.random() < 0.6
        ]
        handed = ics.renewed(standing, handed, now, acts)
        if handed and rnd.random() < 0.7:  # a file may never be taken into the calendar
            known_events = taken(known_events, handed)
    known_events = taken(known_events, handed)
    ahead = {uid: begins for uid, (_, begins, gone) in known_events.items() if not gone and begins > now}
    assert ahead == {one["uid"]: one["begins_ms"] for one in standing}
    assert ics.since(standing, handed, now) == ""


def taken(known_events: dict, events: list[dict]) -> dict:
    """A calendar after it took a file: of each UID the highest sequence rules (RFC 5546, 2.1.5)."""
    for one in read(events) if events else []:
        known = known_events.get(one["UID"])
        if known is None or one["SEQUENCE"] >= known[0]:
            begins = round(one["DTSTART"].dt.timestamp() * 1000)
            known_events[str(one["UID"])] = (one["SEQUENCE"], begins, one["STATUS"] == "CANCELLED")
    return known_events


@LAWS
@given(st.integers(0, 2**32))
def test_a_changed_ring_always_rises_even_where_no_act_is_known_to_have_done_it(seed):
    rnd = random.Random(seed)
    handed = ics.renewed([event()], [], NOW_MS, rnd.randint(0, 9))
    moved = ics.renewed([event(begins_ms=NOW_MS + 2 * HOUR_MS)], handed, NOW_MS, rnd.randint(0, 9))
    gone = ics.renewed([], moved, NOW_MS, rnd.randint(0, 9))
    back = ics.renewed([event()], gone, NOW_MS, rnd.randint(0, 9))
    counts = [one["sequence"] for (one,) in (handed, moved, gone, back)]
    assert counts == sorted(set(counts))


# --- what is refused ---


@pytest.mark.parametrize(
    ("events", "why"),
    [
        ([], "Nothing will ring, so there is nothing for a calendar. No file was made."),
        ([event(uid=str(nth)) for nth in range(501)], "takes 500 rings (there are 501). Take one panel at a time."),
        ([event(uid="")], "The name of a ring is empty"),
        ([event(alarm_min_before=10_081)], "must be from 0 to 10080 minutes (you gave 10081)"),
        ([event(begins_ms=-1)], "The moment of a ring must be from 0"),
    ],
)
def test_what_no_calendar_can_hold_is_refused_in_words(events, why):
    with pytest.raises(Refused) as refused:
        ics.calendar(events, NOW_MS, "Floor")
    assert why in str(refused.value)


def test_a_floor_of_500_rings_goes_into_one_file():
    assert len(read([event(uid=str(nth)) for nth in range(500)])) == 500
