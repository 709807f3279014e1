"""Both twins asked the same: the JavaScript side is twins.js in a bare page, answers are compared as JSON text.

TWINS_SEED=7 gives other cases.  A failure names the seed, the case and the place where the two texts part.
"""

import json
import os
import random
from pathlib import Path

import pytest

from tests.random_logs.sheets import NOW_MS
from tests.support import core_modules
from tests.timers.core.test_vectors import ZoneOf
from timers.core.base.units import DAY_MS, HOUR_MS

SEED = os.environ.get("TWINS_SEED", "1")
ALONE = {"shapes", "step_shapes", "states", "schema", "act_schema", "route_schema"}  # types; rows, made into a script
MODULES = sorted(set(core_modules.names()) - ALONE)
JS = Path(__file__).with_name("twins.js").read_text("utf-8")
AT_ONCE = 500  # cases that go to the page in one call


def same(page, name: str, cases: list, answer) -> list:
    """Every case answered alike by both sides; the Python side's answers."""
    answers = [answer(case) for case in cases]
    theirs = ask(page, name, cases)
    for nth, (ours, said) in enumerate(zip(map(text_of, answers), theirs, strict=True)):
        if ours != said:
            parts = next((at for at, (a, b) in enumerate(zip(ours, said, strict=False)) if a != b), 0)
            near = slice(max(0, parts - 80), parts + 160)
            pytest.fail(
                f"seed {SEED}: case {nth} of {len(cases)} of {name!r} differs at character {parts}\n"
                f"python      ...{ours[near]}\njavascript  ...{said[near]}\n"
                f"case        {json.dumps(cases[nth])[:8000]}",
                pytrace=False,
            )
    return answers


def ask(page, name: str, cases: list) -> list[str]:
    """The JavaScript side's answers as JSON texts; all twins are loaded once a page."""
    if not page.evaluate("'ask' in window"):
        page.evaluate(JS, [{one: core_modules.address(one) for one in MODULES}, NOW_MS])
    said = []
    for at in range(0, len(cases), AT_ONCE):
        said += page.evaluate("(asked) => window.ask(asked)", [name, json.dumps(cases[at : at + AT_ONCE])]).split("\n")
    return said


def text_of(value: object) -> str:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def rnd_for(name: str) -> random.Random:
    return random.Random(f"{SEED} {name}")


def zone_of(spec: list):
    return ZoneOf([[-NOW_MS, spec[0][1]], *spec])


def a_zone(rnd) -> list:
    """A zone as steps [from_ms, minutes east]: fixed, or with clocks that change near the logs' moments."""
    east = rnd.choice([0, 60, -300, 345, 330, 840, -720, -210, rnd.randint(-840, 840)])
    turns = sorted(NOW_MS - rnd.randint(0, 20 * DAY_MS) // HOUR_MS * HOUR_MS for _ in range(rnd.choice([0, 1, 2])))
    return [[0, east], *([at, east + rnd.choice([60, -60, 30])] for at in turns)]


def some_surfaces(rnd, readings: list) -> list:
    surfaces = []
    for _ in range(rnd.choice([0, 0, 1, 2])):
        begin = rnd.choice([NOW_MS - rnd.randint(0, 20 * DAY_MS), *(act["at"] for act in readings[:2])])
        surfaces.append([begin, rnd.choice([None, begin, begin + rnd.randint(1, DAY_MS)]), rnd.randint(-100, 600)])
    return surfaces
