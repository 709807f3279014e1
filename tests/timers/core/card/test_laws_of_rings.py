"""Laws of ringing, searched at random: each ring once, never before its moment, silent when silenced."""

import random

from hypothesis import given
from hypothesis import strategies as st

from tests.random_logs import logs
from tests.random_logs.sheets import NOW_MS
from tests.support.laws import LAWS, SEEDS
from tests.timers.core.test_vectors import zone_of
from timers.core.acts import envelope
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.card import alarms, cup, panel_card
from timers.core.clock import air, film
from timers.core.fold import panel, silence

SPAN = 10_000
MOMENTS = st.integers(0, SPAN)
LASTS = st.one_of(st.none(), st.integers(1, SPAN))
TIMERS = st.lists(st.tuples(MOMENTS, LASTS, st.sampled_from(alarms.URGENCY)), max_size=30)
TURNS = st.lists(MOMENTS, min_size=1, max_size=60).map(sorted)


def timer(nth, at, lasts, kind):
    until = None if lasts is None else at + lasts
    return {"key": f"{nth} {kind}", "kind": kind, "gate": "", "at_ms": at, "since_ms": at, "until_ms": until}


def a_thing(seed, length):
    """A random panel or cup as it stands, and what rings of it at a moment: (log, times, now)."""
    rnd = random.Random(seed)
    make, fold, clocks = rnd.choice([(logs.panel_log, panel.fold, film.times), (logs.cup_log, cup.fold, cup.times)])
    log = make(rnd, length)
    state, trace = fold(log), air.trace(air.fold(logs.air_log(rnd, rnd.randint(0, 5))))
    stands = state.get("mixed_at", 0) is not None
    times = clocks(state, trace) if stands else None
    return log, fold, times, NOW_MS - rnd.choice([0, 20 * DAY_MS, rnd.randint(-3 * DAY_MS, 20 * DAY_MS)])


def rings_of(log, fold, times, now):
    return alarms.rings(log[0]["on"], fold(log), times, now) if times else []


# --- the card and the ring ---


@LAWS
@given(SEEDS, st.integers(2, 25), st.sampled_from([None, MINUTE_MS, HOUR_MS, DAY_MS]), st.booleans())
def test_a_card_says_closing_from_the_moment_that_its_ring_warns_and_no_sooner(seed, length, lead, later):
    rnd = random.Random(seed)
    on, state = "panel:1", {**panel.fold(logs.panel_log(rnd, length)), "added_at": 0, "away_at": None, "quiet": {}}
    for one in state["films"]:
        one["sheet"] = {**one["sheet"], "lead_ms": lead}
    trace = air.trace(air.fold(logs.air_log(rnd, rnd.randint(0, 5))))
    times = film.times(state, trace)
    moment = film.closing_at(state, times)
    for now in [] if moment is None else [moment - 1, moment, moment + (MINUTE_MS if later else 1)]:
        warned = any(one["kind"] == "closing" and one["since_ms"] <= now for one in alarms.rings(on, state, times, now))
        mode = panel_card.mode_of(state, times, trace, now)
        assert warned if mode == panel_card.CLOSING else mode != panel_card.OPENS or not warned


# --- each once, at its moment ---


@LAWS
@given(TIMERS, TURNS)
def test_each_ring_is_told_once_and_at_the_first_turn_that_finds_it_due(timers, turns):
    rings = [timer(nth, *one) for nth, one in enumerate(timers)]
    taken_up, heard = [], []
    for now in turns:
        for ring in alarms.overdue(rings, taken_up, now):
            taken_up.append(ring["key"])
            heard.append((ring["key"], now))
    for ring in rings:
        first = next((now for now in turns if now >= ring["at_ms"]), None)
        of_use = first is not None and (ring["until_ms"] is None or first < ring["until_ms"])
        assert [now for key, now in heard if key == ring["key"]] == ([first] if of_use else [])


@LAWS
@given(TIMERS)
def test_the_next_moment_is_the_first_at_which_something_more_is_due(timers):
    rings = [timer(nth, at, None, kind) for nth, (at, _, kind) in enumerate(timers)]
    now = 0
    while (following := alarms.next_at(rings, now)) is not None:
        assert len(alarms.overdue(rings, [], following - 1)) < len(alarms.overdue(rings, [], following))
        now = following
    assert len(alarms.overdue(rings, [], now)) == len(rings)


# --- what rings of a thing ---


@LAWS
@given(SEEDS, st.integers(1, 25))
def test_keys_are_of_the_thing_and_each_stands_once(seed, length):
    log, fold, times, now = a_thing(seed, length)
    rings = rings_of(log, fold, times, now)
    keys = [ring["key"] for ring in rings]
    assert len(set(keys)) == len(keys)
    assert len({(ring["kind"], ring["gate"], ring.get("area")) for ring in rings}) == len(rings)
    assert all(key.startswith(f"{log[0]['on']} ") and len(key) <= 400 for key in keys)
    assert all(ring["at_ms"] >= ring["since_ms"] for ring in rings)


@LAWS
@given(SEEDS, st.integers(1, 25))
def test_a_ring_silenced_is_gone_and_the_others_stay_as_they_were(seed, length):
    log, fold, times, now = a_thing(seed, length)
    films = [film["id"] for film in fold(log).get("films", [])]
    if len(set(films)) < len(films):  # no phone gives two films one id; here they would share a key
        return
    for ring in rings_of(log, fold, times, now):
        silenced = act_about(log, "ring_silenced", ring=ring["key"])
        others = [one for one in rings_of(log, fold, times, now) if one != ring]
        assert rings_of([*log, silenced], fold, times, now) == others


@LAWS
@given(SEEDS, st.integers(1, 25), st.integers(1, DAY_MS))
def test_a_ring_put_off_rings_again_under_a_new_key_and_no_earlier(seed, length, later):
    log, fold, times, now = a_thing(seed, length)
    for ring in rings_of(log, fold, times, now):
        snoozed = act_about(log, "ring_snoozed", ring=ring["key"])
        snoozed["until_ms"] = snoozed["at"] + later
        again = [one for one in rings_of([*log, snoozed], fold, times, now) if alike(one, ring)]
        assert [one["at_ms"] for one in again] == [max(ring["since_ms"], snoozed["until_ms"])]
        assert again[0]["key"] == silence.later(silence.first(ring["key"]), snoozed["until_ms"])
        assert envelope.refusal(snoozed, snoozed["at"]) == ""


@LAWS
@given(SEEDS, st.integers(1, 25), st.integers(-HOUR_MS, HOUR_MS))
def test_a_clock_that_moves_keeps_its_keys(seed, length, by):
    log, fold, times, now = a_thing(seed, length)
    moved = times and {
        **times,
        **{key: None if times[key] is None else times[key] + by for key in ("opens_at", "shuts_at")},
    }
    before, after = (
        {(ring["kind"], ring.get("area")): ring["key"] for ring in rings_of(log, fold, one, now)}
        for one in (times, moved)
    )
    assert all(before[kind] == after[kind] for kind in before.keys() & after.keys())


@LAWS
@given(SEEDS, st.integers(1, 25), st.integers(-840, 840))
def test_every_ring_has_words_with_its_name(seed, length, zone):
    log, fold, times, now = a_thing(seed, length)
    state = fold(log)
    for ring in rings_of(log, fold, times, now):
        area = ring.get("area", "")
        name, todo = alarms.name_of(state, area), alarms.todo(state, ring["gate"], area)
        words = alarms.words(ring, name, todo, now, zone_of(zone))
        assert words.startswith(f"{name}: ")
        assert "None" not in words.removeprefix(name)


def alike(one, other):
    """Whether two rings ring of the same, whatever their keys and moments."""
    return all(one.get(key) == other.get(key) for key in ("kind", "gate", "area"))


def act_about(log, kind, **fields):
    """An act on the log's thing after all others."""
    at = max(act["at"] for act in log) + MINUTE_MS
    return {"id": envelope.new_id(at, b"0123456789"), "at": at, "on": log[0]["on"], "kind": kind, **fields}
