"""A panel with as many acts as fit is folded, reckoned and drawn in one go over its films."""

import random
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.random_logs import logs
from tests.timers.core.test_vectors import zone_of
from timers.core.base.units import DAY_MS, MINUTE_MS
from timers.core.card import alarms, panel_card
from timers.core.clock import air, film
from timers.core.fold import duplicates, panel, top_films
from timers.core.fold.shelf import laid_sheet
from timers.defaults.products import PRODUCTS

MOST = 4_000  # twice the quota
MOST_S = 2.0  # of work, on a machine that is asked much else; what grew with the square took from 5 to 60
BEGAN = 1_741_075_200_000
SHEET = laid_sheet(PRODUCTS[6], "2")
STEPS = [{"id": "s", "do": "fill", "words": "c"}, {"id": "t", "do": "coat", "words": "c", "cls": "surfacer"}]


def act(nth: int, kind: str, **fields) -> dict:
    act_id = f"{nth:08x}-0000-7000-8000-{nth:012x}"
    return {"id": act_id, "at": BEGAN + nth * 100, "on": "panel:x", "kind": kind, **fields}


def coat(nth: int, area: str = "", who: str = "a") -> dict:
    fields = {"film": f"f{nth}", "step": "s", "product": "p", "coat": 1, "sheet": SHEET, "area": area, "who": who}
    return act(nth, "film_laid", **fields)


def added(steps: list = STEPS) -> dict:
    return act(0, "panel_added", name="Door", steps=steps)


def coats(count: int) -> list[dict]:
    return [coat(nth) for nth in range(1, count)]


FULL = {
    "of one area": [added(), *coats(MOST)],
    "of as many areas": [added(), *(coat(nth, f"area {nth}") for nth in range(1, MOST))],
    "found ready again and again": [
        added(),
        *coats(MOST // 2),
        *(
            act(nth, "found_ready", gate="sand", films=[f"f{nth - one}" for one in range(40)])
            for nth in range(MOST // 2, MOST)
        ),
    ],
    "with a lamp on and off": [
        added(),
        *(act(nth, "surface_read", temp_dc=400, until_ms=BEGAN + nth * 100 + 50) for nth in range(1, MOST - 9)),
        *(coat(nth) for nth in range(MOST - 9, MOST)),
    ],
}


@pytest.mark.parametrize("what", FULL)
def test_it_is_folded_reckoned_and_drawn_at_once(what):
    held = {"readings": [[BEGAN + nth * 5 * MINUTE_MS, 180 + nth % 40, 400] for nth in range(4_000)], "expected": []}
    began = time.process_time()
    state = panel.fold(FULL[what])
    felt = film.felt(state, held, air.trace(held))
    times = film.times(state, felt)
    now_ms = BEGAN + 2 * DAY_MS
    assert panel_card.face(state, times, felt, now_ms, zone_of(0))["name"] == "Door"
    alarms.rings("panel:x", state, times, now_ms)
    assert len(state["films"]) == sum(one["kind"] == "film_laid" for one in FULL[what])
    assert time.process_time() - began < MOST_S


# --- and says what the plain rules say ---


@given(st.integers(0, 2**32), st.sampled_from([6, 15, 40, 120]))
def test_films_under_the_work_and_a_coat_told_of_twice_are_those_of_the_plain_rules(seed, length):
    state = panel.fold(logs.panel_log(random.Random(seed), length))
    assert duplicates.pair(state) == plain_pair(state["films"])
    for area in {"", "low spot", *(one["area"] for one in state["films"])}:
        assert top_films.under(state, area) == plain_under(state, area)


def plain_under(state: dict, area: str) -> list[dict]:
    """Not covered by a later one, not sanded: each film held against each later one."""
    touching = [one for one in state["films"] if area == "" or one["area"] in ("", area)]
    covers = lambda over, one: over["area"] in ("", one["area"]) or (area != "" and over["area"] == area)  # noqa: E731
    bare = [one for at, one in enumerate(touching) if not any(covers(over, one) for over in touching[at + 1 :])]
    return [one for one in bare if not {"", one["area"], area} & set(one["sanded"])]


def plain_pair(films: list[dict]) -> list[dict]:
    for at, two in enumerate(films):
        for one in films[:at]:
            same = all(one[key] == two[key] for key in ("step", "area", "coat")) and not one["sanded"] + two["sanded"]
            known = one["who"] and two["who"] and one["who"] != two["who"]
            if same and known and two["id"] not in one.get("both", []):
                return [one, two]
    return []
