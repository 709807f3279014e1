"""Laws of areas that go on side by side, searched at random: no film's clock is lost, each lane rings by itself."""

import random

from hypothesis import given
from hypothesis import strategies as st

from tests.random_logs import logs
from tests.random_logs.areas import areas_log
from tests.random_logs.sheets import NOW_MS
from tests.support.laws import LAWS, SEEDS
from tests.timers.core.test_vectors import zone_of
from timers.core.acts import envelope
from timers.core.base import words
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.card import alarms, lane_cards, panel_card
from timers.core.clock import air, film, lanes
from timers.core.clock.clock_step import NEEDS, films_for, need_of
from timers.core.fold import areas, finishing, panel

ON = "panel:1"
LENGTHS = st.integers(4, 40)


def a_panel(seed: int, length: int) -> tuple[dict, list]:
    rnd = random.Random(seed)
    state = {**panel.fold(areas_log(rnd, length)), "quiet": {}}
    return state, air.trace(air.fold(logs.air_log(rnd, rnd.randint(0, 4))))


def moments(seed: int, times: dict) -> list[int]:
    each = [one[key] for one in times.get("lanes", [times]) for key in ("opens_at", "shuts_at", "ask_at", "laid_at")]
    near = [moment + by for moment in each if moment is not None for by in (-MINUTE_MS, -1, 0, 1)]
    return [*near, NOW_MS - random.Random(seed).randint(0, 7 * DAY_MS)]


def next_work(state: dict, area: str) -> dict | None:
    """The next step that works on an area, by itself or with more of the panel."""
    ahead = [step for step in finishing.steps(state) if step["done_at"] is None and step["do"] in NEEDS]
    return next((step for step in ahead if areas.touch(step["area"], area)), None)


def waits_for_more(state: dict, work: dict) -> bool:
    """Whether a step before that work waits for a gate of its own: then the clock is for that one (clock_steps)."""
    steps = finishing.steps(state)
    before = [one for one in steps[: steps.index(work)] if one["done_at"] is None]
    return any(one.get("needs", "nothing") != "nothing" for one in before if areas.touch(one["area"], work["area"]))


@LAWS
@given(SEEDS, LENGTHS)
def test_every_film_of_an_area_is_in_the_clock_of_a_lane_where_the_next_work_on_it_needs_that(seed, length):
    state, trace = a_panel(seed, length)
    times = film.times(state, trace)
    clocks = [clock for lane in times.get("lanes", [times]) for clock in (lane, *lane.get("later", []))]
    for one in state["films"]:
        work = next_work(state, one["area"]) if one["area"] else None
        need = need_of(work) if work else ""
        under = need and one["id"] in [film["id"] for film in films_for(state, work["area"], need)]
        gate = film.gate_of(finishing.completed(one), need, trace) if under else None
        holders = [clock for clock in clocks if one["id"] in clock["films"] and clock["gate"] == need]
        windows = [clock for clock in clocks if clock["shuts_at"] is not None]
        if gate and gate["shuts_at"] is not None:
            assert any(clock["shuts_at"] <= gate["shuts_at"] for clock in windows)
        if gate and gate["opens_at"] is not None and not gate["ready"] and not waits_for_more(state, work):
            assert any(clock["opens_at"] is None or clock["opens_at"] >= gate["opens_at"] for clock in holders)


@LAWS
@given(SEEDS, LENGTHS)
def test_what_is_ahead_of_a_lane_rings_and_shows_by_its_name(seed, length):
    state, trace = a_panel(seed, length)
    times, zone = film.times(state, trace), zone_of(0)
    for now in moments(seed, times) if "lanes" in times else []:
        card = lane_cards.card(state, times, trace, now, zone)
        parts = {part["lane"]: part for part in (card, *card["lanes"])}
        rings = alarms.rings(ON, state, times, now)
        for lane, one in zip(lanes.lanes(state), times["lanes"], strict=True):
            opens, shuts = one["opens_at"], one["shuts_at"]
            own = {ring["kind"]: ring["at_ms"] for ring in rings if ring.get("area") == lane["area"]}
            if shuts is not None and now < shuts:
                assert own["shut"] == shuts
                assert parts[lane["area"]]["strip"]["shuts"] == words.shuts(shuts, now, zone)
            if opens is not None and now < opens and not one["ready"] and (shuts is None or now < shuts):
                part = parts[lane["area"]]
                assert part["state"] in (panel_card.WAITS, panel_card.STILL)
                assert words.opens(opens, now, zone) in part["say"]
                done = [step["done_at"] for step in finishing.steps(lane["state"]) if step["done_at"] is not None]
                came_later = max([one["laid_at"], *done]) >= opens
                assert (shuts is not None and opens >= shuts) or came_later or own.keys() & {"opens", "asked"}


@LAWS
@given(SEEDS, LENGTHS)
def test_a_ring_of_one_lane_silenced_leaves_the_rings_of_the_others(seed, length):
    rnd = random.Random(seed)
    log = areas_log(rnd, length)
    trace = [(0, 200, 200)]
    state = panel.fold(log)
    times = film.times(state, trace)
    now = max(act["at"] for act in log) + rnd.randint(0, 5 * HOUR_MS)
    rings = alarms.rings(log[0]["on"], state, times, now)
    keys = [ring["key"] for ring in rings]
    assert len(set(keys)) == len(keys)
    for ring in rings:
        act = {"id": envelope.new_id(now, b"0123456789"), "at": now, "on": log[0]["on"], "kind": "ring_silenced"}
        act["ring"] = ring["key"]
        assert envelope.refusal(act, now) == ""
        left = alarms.rings(log[0]["on"], panel.fold([*log, act]), times, now)
        assert left == [one for one in rings if one != ring]


@LAWS
@given(SEEDS, LENGTHS)
def test_taps_on_two_lanes_count_both_in_whatever_order_they_come(seed, length):
    log = areas_log(random.Random(seed), length)
    now = lanes.open_steps(panel.fold(log))
    at = max(act["at"] for act in log) + 1
    taps = [
        {"id": envelope.new_id(at + nth, b"0123456789"), "at": at + nth, "on": log[0]["on"], "kind": "step_done"}
        | {"step": step["id"]}
        for nth, step in enumerate(now)
    ]
    one, two = (panel.fold([*log, *order]) for order in (taps, taps[::-1]))
    assert one == two
    done = {step["id"] for step in finishing.steps(one) if step["done_at"] is not None}
    assert {step["id"] for step in now} <= done


@LAWS
@given(SEEDS, LENGTHS)
def test_each_step_that_can_be_done_now_is_the_step_of_one_part_of_the_card_and_has_a_button(seed, length):
    state, trace = a_panel(seed, length)
    times = film.times(state, trace)
    now = lanes.open_steps(state)
    if len(now) > 1:
        card = lane_cards.card(state, times, trace, NOW_MS, zone_of(0))
        parts = [card, *card["lanes"]]
        assert sorted(part["at"] for part in parts if not part["waits"]) == sorted(step["id"] for step in now)
        assert all(part["buttons"] for part in parts if not part["waits"])
        assert all({"lay", "done"}.isdisjoint(part["buttons"]) for part in parts if part["waits"])


def test_the_logs_bring_panels_of_several_lanes_and_lanes_that_wait():
    seen = [lanes.lanes(a_panel(seed, 20)[0]) for seed in range(60)]
    assert {len(one) for one in seen} >= {1, 2, 3}
    assert any(lane["waits"] for one in seen for lane in one)
