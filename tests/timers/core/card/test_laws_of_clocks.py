"""Laws of a film's clock, searched at random: no clean or check step makes it silent, and none makes it ring twice."""

import random

from hypothesis import given
from hypothesis import strategies as st

from tests.random_logs import logs
from tests.random_logs.sheets import NOW_MS
from tests.support.laws import LAWS, SEEDS
from tests.timers.core.test_vectors import zone_of
from timers.core.acts.product_schema import NEEDS
from timers.core.base import words
from timers.core.base.units import DAY_MS, MINUTE_MS
from timers.core.card import alarms, panel_card
from timers.core.clock import air, clock_step, film, lanes
from timers.core.fold import finishing, panel, top_films

ON = "panel:1"
WORK = ("sand", "coat", "fill")


def a_panel(seed: int, length: int) -> tuple[dict, list]:
    """A random panel that stands, with nothing silenced and up to three wipes or looks put before its next work."""
    rnd = random.Random(seed)
    state = {**panel.fold(logs.panel_log(rnd, length)), "added_at": 0, "away_at": None, "quiet": {}}
    ahead = next((nth for nth, step in enumerate(state["steps"]) if step["done_at"] is None), len(state["steps"]))
    blank = {"cls": "", "coats": 1, "grit": 0, "laid": 0, "done_at": None, "area": ""}
    for nth in range(rnd.choice([0, 1, 1, 2, 3])):
        step = {**blank, "id": f"put in {nth}", "do": rnd.choice(["clean", "check"]), "words": "Wipe"}
        state["steps"].insert(ahead, step | rnd.choice([{}, {}, {"needs": "nothing"}]))
    return of_one_lane(state), air.trace(air.fold(logs.air_log(rnd, rnd.randint(0, 5))))


def of_one_lane(state: dict) -> dict:
    """The panel, its areas called the whole panel where several would go on side by side (test_laws_of_lanes)."""
    if len(lanes.lanes(state)) < 2 and len(lanes.lanes(bare(state))) < 2:
        return state
    plain = {key: [{**one, "area": ""} for one in state[key]] for key in ("steps", "films")}
    return {**state, **plain}


def bare(state: dict) -> dict:
    """The panel as if its next work stood first: without what wipes and looks that need no gate of their own are."""
    ahead = [step for step in state["steps"] if step["done_at"] is None]
    while ahead and ahead[0]["do"] not in WORK and ahead[0].get("needs", "nothing") == "nothing":
        ahead = ahead[1:]
    return {**state, "steps": [step for step in state["steps"] if step["done_at"] is not None] + ahead}


def moments(seed: int, times: dict, state: dict) -> list[int]:
    own = [times["opens_at"], times["shuts_at"], times["ask_at"], film.closing_at(state, times), times["laid_at"]]
    near = [moment + by for moment in own if moment is not None for by in (-MINUTE_MS, -1, 0, 1)]
    return [*near, NOW_MS - random.Random(seed).randint(0, 20 * DAY_MS), NOW_MS]


@LAWS
@given(SEEDS, st.integers(2, 25))
def test_what_rings_of_the_next_work_rings_whatever_wipe_or_look_stands_before_it(seed, length):
    state, trace = a_panel(seed, length)
    work = bare(state)
    times = film.times(work, trace)
    for now in moments(seed, times, state):
        assert alarms.rings(ON, state, film.times(state, trace), now) == alarms.rings(ON, work, times, now)


@LAWS
@given(SEEDS, st.integers(2, 25))
def test_a_card_shows_every_moment_ahead_that_the_next_work_needs(seed, length):
    state, trace = a_panel(seed, length)
    times, reckoned, zone = film.times(bare(state), trace), film.times(state, trace), zone_of(0)
    for now in moments(seed, times, state):
        card = panel_card.face(state, reckoned, trace, now, zone)
        rings = {
            ring["kind"]: ring["at_ms"]
            for ring in alarms.rings(ON, state, reckoned, now)
            if ring["gate"] != alarms.AGAIN
        }
        opens, shuts = times["opens_at"], times["shuts_at"]
        if shuts is not None and now < shuts:
            assert (rings["shut"], card["strip"]["shuts"]) == (shuts, words.shuts(shuts, now, zone))
            assert card["state"] not in (panel_card.FREE, panel_card.FINISHED)
        if opens is not None and now < opens and not times["ready"] and (shuts is None or now < shuts):
            assert card["state"] in (panel_card.WAITS, panel_card.STILL)
            assert words.opens(opens, now, zone) in card["say"]
            waited = shuts is None or opens < shuts  # what shuts before it opens has no opening to ring
            done = [step["done_at"] for step in state["steps"] if step["done_at"] is not None]
            fixed = [one["corrected"][1] for one in state["films"] if "corrected" in one]
            came_later = max([times["laid_at"], *done, *fixed]) >= opens  # the work came to it when it had opened
            assert not waited or came_later or rings.keys() & {"opens", "asked"}


@LAWS
@given(SEEDS, st.integers(2, 25), st.integers(0, 4 * DAY_MS))
def test_a_wipe_or_a_look_that_is_done_makes_nothing_ring_a_second_time(seed, length, later):
    state, trace = a_panel(seed, length)
    ahead = next((step for step in state["steps"] if step["done_at"] is None), None)
    if ahead is None or ahead["do"] in WORK or ahead.get("needs", "nothing") != "nothing":
        return
    times = film.times(state, trace)
    now = (times["laid_at"] or NOW_MS) + later
    before = {ring["key"] for ring in alarms.rings(ON, state, times, now)}
    steps = [{**step, "done_at": now} if step is ahead else step for step in state["steps"]]
    done = {**state, "steps": steps}
    after = alarms.rings(ON, done, film.times(done, trace), now)
    assert {ring["key"] for ring in after} <= before
    due = alarms.overdue(after, list(before), now)
    assert due == []


@LAWS
@given(SEEDS, st.integers(2, 25), st.sampled_from(NEEDS))
def test_the_window_of_the_next_coat_rings_and_shows_whatever_must_be_done_before_it(seed, length, needs):
    state, trace = a_panel(seed, length)
    ahead = [step for step in state["steps"] if step["done_at"] is None]
    work = next((nth for nth, step in enumerate(ahead) if step["do"] in WORK), len(ahead))
    times = film.times({**state, "steps": ahead[work:]}, trace)
    if times["gate"] != "flash" or times["shuts_at"] is None:
        return
    mask = {"id": "m", "do": "clean", "words": "Mask", "cls": "", "coats": 1, "grit": 0, "laid": 0, "area": ""}
    state["steps"] = [*ahead[:work], {**mask, "done_at": None, "needs": needs}, *ahead[work:]]
    reckoned = film.times(state, trace)
    assert reckoned["shuts_at"] <= times["shuts_at"]
    for now in moments(seed, times, state):
        if now < reckoned["shuts_at"]:
            rings = {
                ring["kind"]: ring["at_ms"]
                for ring in alarms.rings(ON, state, reckoned, now)
                if ring["gate"] != alarms.AGAIN
            }
            card = panel_card.face(state, reckoned, trace, now, zone_of(0))
            assert rings["shut"] == reckoned["shuts_at"]
            assert card["state"] not in (panel_card.FREE, panel_card.FINISHED)
            assert card["strip"]["shuts"] == words.shuts(reckoned["shuts_at"], now, zone_of(0))


def a_finished_coat(seed: int) -> tuple[dict, list]:
    """A random panel, sanded or not, whose steps ahead are clean and check steps that need gates of its films."""
    rnd = random.Random(seed)
    state = {**panel.fold(logs.panel_log(rnd, rnd.randint(2, 20))), "added_at": 0, "away_at": None, "quiet": {}}
    state["steps"] = [{**step, "done_at": step["done_at"] or NOW_MS - 30 * DAY_MS} for step in state["steps"]]
    blank = {"words": "Wash", "cls": "", "coats": 1, "grit": 0, "laid": 0, "done_at": None}
    areas = ["", "", *(film["area"] for film in state["films"])]
    for nth in range(rnd.randint(1, 5)):
        step = {"id": f"late {nth}", "do": rnd.choice(["clean", "check"]), "needs": rnd.choice(NEEDS)}
        state["steps"].append({**blank, **step, "area": rnd.choice(areas)})
    return of_one_lane(state), air.trace(air.fold(logs.air_log(rnd, rnd.randint(0, 5))))


def openings_ahead(state: dict, trace: list, now: int) -> list[tuple[int, int]]:
    """When each step that is not done is to ring, and when it opens, as far as its films have its gate, by each film on
    its own; the two differ where it was not ready at the first try."""
    found, done = [], max(step["done_at"] or 0 for step in state["steps"])
    for step in (one for one in state["steps"] if one["done_at"] is None and one["needs"] != "nothing"):
        films = (top_films.curing if step["needs"] == "cure" else top_films.under)(state, step["area"])
        gates = [film.gate_of(finishing.completed(one), step["needs"], trace) for one in films]
        holding = [gate for gate in gates if gate and not gate["ready"]]
        if holding and all(gate["opens_at"] is not None for gate in holding):
            laid = max(gate["laid_at"] for gate in gates if gate)
            seen = max(laid, done, *(one.get("corrected", ("", 0))[1] for one in films))  # what was open then was seen
            opens = max(gate["opens_at"] for gate in holding)
            asked = max(gate["ask_at"] or 0 for gate in holding)
            if max(opens, asked) > now and (asked or opens > seen):
                found.append((max(opens, asked), opens))
    return found


@LAWS
@given(SEEDS)
def test_behind_the_last_film_every_opening_ahead_rings_and_the_next_one_shows(seed):
    state, trace = a_finished_coat(seed)
    times = film.times(state, trace)
    done = max(step["done_at"] or 0 for step in state["steps"])
    laid = max((one["laid_at"] for one in state["films"]), default=NOW_MS)
    for now in (max(done, moment) for moment in (NOW_MS, NOW_MS - 10 * DAY_MS, laid)):
        ahead = openings_ahead(state, trace, now)
        rings = {ring["at_ms"] for ring in alarms.rings(ON, state, times, now) if ring["gate"] != "clear_air"}
        assert {at for at, _ in ahead} <= rings
        card = panel_card.face(state, times, trace, now, zone_of(0))
        shown = card["say"] + card.get("then", "")
        if now < laid:  # by a phone's wrong clock: the card may show what a film still to be laid opens at once
            continue
        assert not ahead or any(words.opens(moment, now, zone_of(0)) in shown for moment in min(ahead))


@LAWS
@given(SEEDS)
def test_what_cures_waits_for_nothing_but_the_cure_and_says_when(seed):
    state, trace = a_finished_coat(seed)
    left = [step for step in finishing.steps(state) if step["done_at"] is None]
    if clock_step.is_curing(state):
        times = film.times(state, trace)
        assert {clock_step.need_of(step) for step in left} == {"cure"}
        assert (times["gate"], times["shuts_at"]) == ("cure", None)
        mode = panel_card.mode_of(state, times, trace, NOW_MS)
        assert mode in (panel_card.WAITS, panel_card.STILL, panel_card.TRY, panel_card.ASKED, panel_card.FREE)
        assert mode != panel_card.FREE or times["ready"]
