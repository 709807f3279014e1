"""Random cups through both twins, compared as JSON text."""

import json

import pytest

from tests.browser.twins import SEED, a_zone, rnd_for, text_of, zone_of
from tests.random_logs import logs
from tests.random_logs.sheets import NOW_MS
from timers.core.base.units import DAY_MS
from timers.core.card import cup, panel_card
from timers.core.clock import air
from timers.core.clock.film import lead_ms
from timers.core.fold.shop_state import UNITS

pytestmark = pytest.mark.browser
ASK = """async ([cases, now]) => {
  const [cup, air] = await Promise.all(['card/cup', 'clock/air'].map((name) => import(`/js/core/${name}.js`)));
  return cases.map(({ acts, readings, nows, zone: spec, names, units }) => {
    const zone = { minutesEast: (ms) => (spec.findLast(([from]) => from <= ms) ?? spec[0])[1], hours: '24' };
    const state = cup.fold(acts);
    if (state.mixed_at === null) return JSON.stringify([state, cup.stands(state)]);
    const trace = air.trace(air.fold(readings));
    const times = cup.times(state, trace);
    const faces = nows.map((now) => cup.face(state, times, trace, now, zone, names, units));
    return JSON.stringify([state, cup.stands(state), times, faces]);
  });
}"""


def moments(rnd, times: dict) -> list[int]:
    """Just before, at and just after each moment of a cup, and some others."""
    opens, shuts, mixed = times["opens_at"], times["shuts_at"], times["laid_at"]
    own = [opens, shuts, mixed, mixed - 60_000]
    own += [shuts - lead_ms(opens, shuts)] if opens is not None and shuts is not None else []
    near = [moment + by for moment in own if moment is not None for by in (-1, 0, 1)]
    return [*near, NOW_MS - rnd.randint(0, 20 * DAY_MS), NOW_MS + rnd.randint(0, 400 * DAY_MS)]


def answered(case: dict) -> list:
    state = cup.fold(case["acts"])
    if state["mixed_at"] is None:
        return [state, cup.stands(state)]
    trace = air.trace(air.fold(case["readings"]))
    times, zone = cup.times(state, trace), zone_of(case["zone"])
    faces = [cup.face(state, times, trace, now, zone, case["names"], case["units"]) for now in case["nows"]]
    return [state, cup.stands(state), times, faces]


def test_a_cup_folds_and_shows_alike_in_both_twins(core_page):
    rnd, cases, seen = rnd_for("cup"), [], set()
    for _ in range(500):
        case = {"acts": logs.cup_log(rnd, rnd.choice([1, 3, 9])), "readings": logs.air_log(rnd, rnd.randint(0, 8))}
        state = cup.fold(case["acts"])
        mixed = state["mixed_at"] is not None
        nows = moments(rnd, cup.times(state, air.trace(air.fold(case["readings"])))) if mixed else []
        names = {panel: rnd.choice(["Hood", "", "__proto__"]) for panel, _ in state["used"][:2]}
        units = {what: rnd.choice(choices) for what, choices in UNITS.items()}
        cases.append({**case, "nows": nows, "zone": a_zone(rnd), "names": names, "units": units})
    for case, said in zip(cases, core_page.evaluate(ASK, [cases, NOW_MS]), strict=True):
        ours = answered(case)
        assert text_of(json.loads(said)) == text_of(ours), f"seed {SEED}: {json.dumps(case)[:4000]}"
        seen |= {shown["state"] for shown in ours[3]} if len(ours) > 2 else set()
    assert (
        seen
        == set(cup.WORDS)
        == {panel_card.WAITS, panel_card.OPENS, panel_card.CLOSING, panel_card.SHUT, panel_card.STILL}
    )
