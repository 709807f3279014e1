"""Laws of what the screens say, searched at random: words are never early or late, the floor keeps its order."""

import math
import random
import re
from datetime import UTC, datetime, timedelta, timezone

from hypothesis import given
from hypothesis import strategies as st

from tests.support.laws import LAWS, MOMENTS, SEEDS, START
from tests.timers.core.test_vectors import zone_of
from timers.core.base import words
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.card import floor_order, panel_card
from timers.core.clock import air

SECOND_MS = 1_000


# --- words ---


@LAWS
@given(st.integers(0, 400 * DAY_MS) | st.integers(0, 3 * HOUR_MS))
def test_a_duration_is_never_said_shorter_than_it_is_nor_a_whole_unit_longer(ms):
    said = words.span(ms)
    if said == "under 1 min":
        assert ms < MINUTE_MS
        return
    counts = {unit: int(count) for count, unit in re.findall(r"(\d+) (d|h|min)", said)}
    told = counts.get("d", 0) * DAY_MS + counts.get("h", 0) * HOUR_MS + counts.get("min", 0) * MINUTE_MS
    assert 0 <= told - ms < (HOUR_MS if "d" in counts else MINUTE_MS)


@LAWS
@given(MOMENTS, st.integers(-40 * DAY_MS, 40 * DAY_MS) | st.integers(-2 * DAY_MS, 2 * DAY_MS), st.integers(-840, 840))
def test_an_opening_is_never_said_early_and_a_closing_never_late(at, away, zone):
    now = at - away
    opens, shuts = (say(at, now, zone_of(zone)) for say in (words.opens, words.shuts))
    not_before = at + (-at) % MINUTE_MS
    assert opens == _calendar_words(not_before, now, zone)
    assert shuts == _calendar_words(at - at % MINUTE_MS, now, zone)


# --- the card through time ---

HOURS = st.integers(START, START + 12 * HOUR_MS)


@st.composite
def clocks(draw):
    """A step and the moments that rule it, as odd as they come."""
    sand = draw(st.booleans())
    step = {"id": "s", "do": "sand" if sand else "coat", "words": "Work", "area": "", "coats": 2, "laid": 1}
    state = {"name": "Door", "job": "", "steps": [{**step, "done_at": None}], "films": []}
    times = {
        "films": [],
        "gate": "sand" if sand else "flash",
        "laid_at": draw(HOURS),
        "opens_at": draw(st.none() | HOURS),
        "shuts_at": None if sand else draw(st.none() | HOURS),
        "ask_at": draw(st.none() | HOURS),
        "ready": draw(st.booleans()),
        "lowest_dc": draw(st.none() | st.just(100)),
        "highest_dc": None,
    }
    return state, times


@LAWS
@given(clocks(), st.sampled_from([50, 200]), st.data())
def test_in_steady_air_the_word_changes_only_at_the_moments_announced(held, temp, data):
    _walk(*held, [[0, temp, temp]], data)


@LAWS
@given(clocks(), st.lists(st.tuples(HOURS, st.sampled_from([50, 200])), max_size=4), st.data())
def test_with_readings_still_to_come_it_changes_at_those_too_and_nowhere_else(held, expected, data):
    reads = [[at, temp, None] for at, temp in sorted(expected)]
    _walk(*held, air.trace({"readings": reads}), data)


# --- the floor ---

MODES = ["wait", "open", "closing", "shut", "try", "free", "still", "asked", "finished"]
ROWS = st.lists(
    st.fixed_dictionaries(
        {
            "id": st.integers(0, 99).map(str),
            "name": st.just("Door"),
            "added_at": st.none() | HOURS,
            "mode": st.sampled_from(MODES),
            "step": st.just("Sand"),
            "say": st.just("Sand now"),
            "opens_at": HOURS,
            "shuts_at": st.none() | HOURS,
            "ask_at": HOURS,
        }
    ),
    unique_by=lambda row: row["id"],
    max_size=8,
)


@LAWS
@given(ROWS, SEEDS)
def test_the_floor_keeps_every_panel_once_and_in_one_order_whatever_order_they_came_in(rows, seed):
    shuffled = random.Random(seed).sample(rows, len(rows))
    placed = floor_order.floor_order(shuffled)
    assert placed == floor_order.floor_order(rows)
    assert sorted(row["id"] for row in placed) == sorted(row["id"] for row in rows)
    assert floor_order.hands_line(shuffled, START, zone_of(0)) == floor_order.hands_line(rows, START, zone_of(0))


@LAWS
@given(ROWS)
def test_what_rings_stands_before_what_is_open_before_what_waits_before_the_rest(rows):
    groups = {"closing": 0, "shut": 1, "try": 2, "open": 3, "wait": 4, "asked": 4}
    placed = [groups.get(row["mode"], 5) for row in floor_order.floor_order(rows)]
    assert placed == sorted(placed)


def _or_never(moment):
    return math.inf if moment is None else moment


def _calendar_words(at, now, zone):
    """The clock words by the calendar of the standard library."""
    east = timezone(timedelta(minutes=zone))
    there, today = (datetime.fromtimestamp(ms // 1000, UTC).astimezone(east) for ms in (at, now))
    days, clock = (there.date() - today.date()).days, f"{there:%H:%M}"
    near = {0: "", 1: "tomorrow ", -1: "yesterday "}
    date = f"{there:%a} " if 1 < days < 7 else f"{there.day} {there:%b} "
    return near.get(days, date) + clock


def _walk(state, times, trace, data):
    """Go from one announced moment to the next; in between, wherever one looks, the word is the same."""
    now, end = START - HOUR_MS, START + 14 * HOUR_MS
    while now < end:
        upcoming = [panel_card.next_at(state, times, now), *(step[0] for step in trace if step[0] > now), end]
        following = min(moment for moment in upcoming if moment is not None)
        word = panel_card.mode_of(state, times, trace, now)
        for moment in (data.draw(st.integers(now, following - 1)), following - 1):
            assert panel_card.mode_of(state, times, trace, moment) == word
        now = following
