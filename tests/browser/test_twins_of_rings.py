"""Random panels and cups through both twins of what is due; and the loop of ringing with ten thousand timers."""

import json

import pytest

from tests.browser.twins import SEED, a_zone, rnd_for, text_of, zone_of
from tests.random_logs import logs
from tests.random_logs.areas import areas_log
from tests.random_logs.sheets import NOW_MS
from timers.core.base.units import DAY_MS
from timers.core.card import alarms, cup
from timers.core.clock import air, film
from timers.core.fold import panel

pytestmark = pytest.mark.browser
ASK = """async (cases) => {
  const names = ['card/alarms', 'fold/panel', 'card/cup', 'clock/film'];
  const [due, panel, cup, film] = await Promise.all(names.map((name) => import(`/js/core/${name}.js`)));
  return cases.map(({ acts, trace, nows, zone: spec, told }) => {
    const zone = { minutesEast: (ms) => (spec.findLast(([from]) => from <= ms) ?? spec[0])[1], hours: '24' };
    const { on } = acts[0];
    const isCup = on.startsWith('cup:');
    const state = (isCup ? cup : panel).fold(acts);
    if (isCup && state.mixed_at === null) return JSON.stringify(due.rings(on, state, {}, 0));
    const times = (isCup ? cup : film).times(state, trace);
    return JSON.stringify(nows.map((now) => {
      const found = due.rings(on, state, times, now);
      const named = ({ gate, area }) => [due.nameOf(state, area), due.todo(state, gate, area)];
      const said = found.map((ring) => due.words(ring, ...named(ring), now, zone));
      return [found, due.overdue(found, told, now), due.nextAt(found, now), said];
    }));
  });
}"""
LOOP = """async ({ seed, count, turns }) => {
  const { looped } = await import('/js/alarm/loop.js');
  let state = seed;
  const chance = () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 4294967296;
  const span = turns * 1000;
  const kinds = ['closing', 'shut', 'opens', 'asked'];
  const all = Array.from({ length: count }, (_, nth) => {
    const at = 1000 + Math.floor(chance() * (span - 1000));
    return { key: `${nth}`, kind: kinds[nth % 4], at_ms: at, since_ms: at, until_ms: nth % 4 ? null : at + 60000 };
  });
  let loop = looped();
  const heard = new Map();
  const slept = [];
  for (let now = 0; now <= span + 1000; now += 1000) {
    if (chance() < 0.02) { // asleep for up to two minutes
      const begin = now;
      now += Math.floor(chance() * 120) * 1000;
      slept.push([begin, now]);
    }
    if (chance() < 0.01) loop = looped(JSON.parse(JSON.stringify(loop.kept())), now - 1000); // a reload
    const stand = all.filter((ring) => ring.until_ms === null || now < ring.until_ms);
    const { fresh, missed } = loop.turn(stand, now, { kinds });
    for (const ring of [...fresh, ...missed]) heard.set(ring.key, [...(heard.get(ring.key) ?? []), now]);
  }
  const wrong = all.filter((ring) => {
    const told = heard.get(ring.key) ?? [];
    const asleep = slept.some(([from, to]) => ring.at_ms > from - 1000 && ring.at_ms <= to);
    if (told.length !== 1) return !(asleep && ring.until_ms !== null && told.length === 0);
    return told[0] < ring.at_ms || (!asleep && told[0] - ring.at_ms > 1000);
  });
  const some = wrong.slice(0, 3).map((ring) => [ring, heard.get(ring.key)]);
  return { wrong: some, heard: heard.size, slept: slept.length };
}"""
BACK = """async () => {
  const { looped } = await import('/js/alarm/loop.js');
  const ring = { key: 'a', kind: 'opens', at_ms: 5000000, since_ms: 5000000, until_ms: null };
  const loop = looped();
  const turns = [1000, 7200000, 2000, 4999999, 5000000, 5001000];
  return turns.map((now) => loop.turn([ring], now, { kinds: ['opens'] }).fresh.length);
}"""


def moments(rnd, found: list[dict]) -> list[int]:
    own = [ring[key] for ring in found for key in ("at_ms", "until_ms") if ring[key] is not None]
    near = [moment + by for moment in own for by in (-1, 0, 1, 60_000)]
    return [*near, NOW_MS - rnd.randint(0, 20 * DAY_MS), NOW_MS + rnd.randint(0, 400 * DAY_MS)]


def answered(case: dict) -> list:
    on = case["acts"][0]["on"]
    is_cup = on.startswith("cup:")
    state = (cup if is_cup else panel).fold(case["acts"])
    if is_cup and state["mixed_at"] is None:
        return alarms.rings(on, state, {}, 0)
    times, zone = (cup if is_cup else film).times(state, case["trace"]), zone_of(case["zone"])
    answers = []
    for now in case["nows"]:
        found = alarms.rings(on, state, times, now)
        said = [alarms.words(ring, *named(ring, state), now, zone) for ring in found]
        answers.append([found, alarms.overdue(found, case["told"], now), alarms.next_at(found, now), said])
    return answers


def named(ring: dict, state: dict) -> tuple[str, str]:
    area = ring.get("area", "")
    return alarms.name_of(state, area), alarms.todo(state, ring["gate"], area)


def test_what_is_due_is_alike_in_both_twins(core_page):
    rnd, cases, seen, moved = rnd_for("due"), [], set(), 0
    for nth in range(800):
        log = (logs.cup_log, logs.panel_log, areas_log)[nth % 3](rnd, rnd.choice([3, 9, 25]))
        trace = [list(step) for step in air.trace(air.fold(logs.air_log(rnd, rnd.randint(0, 6))))]
        case = {"acts": log, "trace": trace, "zone": a_zone(rnd), "told": [], "nows": [0]}
        first = answered(case)
        found = first[0][0] if first else []
        case["nows"] = moments(rnd, found)
        case["told"] = [ring["key"] for ring in found if rnd.random() < 0.2]
        cases.append(case)
    for case, said in zip(cases, core_page.evaluate(ASK, cases), strict=True):
        ours = answered(case)
        assert text_of(json.loads(said)) == text_of(ours), f"seed {SEED}: {json.dumps(case)[:4000]}"
        rings = [ring for answer in ours for ring in answer[0]]
        seen |= {ring["kind"] for ring in rings}
        moved += any(" again " in ring["key"] for ring in rings)
    assert seen == set(alarms.URGENCY)
    assert moved


@pytest.mark.parametrize("seed", [1, 2])
def test_ten_thousand_timers_ring_once_each_never_early_and_within_a_second_while_the_page_lives(core_page, seed):
    said = core_page.evaluate(LOOP, {"seed": seed, "count": 10_000, "turns": 1_000})
    assert said["wrong"] == []
    assert said["heard"] > 9_000
    assert said["slept"] > 5


def test_what_was_told_too_early_by_a_wrong_clock_rings_again_at_its_moment(core_page):
    assert core_page.evaluate(BACK) == [0, 1, 0, 0, 1, 0]
