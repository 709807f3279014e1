"""Random shops, panels and cups through both twins: names, trials, who has a panel, whose a ring is, quiet hours."""

import json

import pytest

from tests.browser.twins import SEED, a_zone, rnd_for, text_of, zone_of
from tests.random_logs import logs
from tests.random_logs.growing import PHONES
from tests.random_logs.sheets import NOW_MS
from timers.core.base.units import DAY_MS, MINUTE_MS
from timers.core.card import audience, cup, panel_card
from timers.core.clock import air, film, quiet_hours
from timers.core.fold import panel, shop_state

pytestmark = pytest.mark.browser
ASK = """async (cases) => {
  const names = ['clock/air', 'card/cup', 'card/panel_card', 'clock/film'];
  names.push(...['clock/quiet_hours', 'fold/shop_state', 'card/audience', 'fold/panel']);
  const core = await Promise.all(names.map((name) => import(`/js/core/${name}.js`)));
  const [air, cup, face, film, hours, house, mine, panel] = core;
  return cases.map(({ shop, mixed, panels, own, quiet, nows, zone: spec }) => {
    const zone = { minutesEast: (ms) => (spec.findLast(([from]) => from <= ms) ?? spec[0])[1], hours: '24' };
    const held = house.fold(shop);
    const states = panels.map(panel.fold);
    const trace = air.trace(air.fold([]));
    const times = (state) => [film.times(state, trace), trace];
    const drawn = states.map((state) => face.face(state, ...times(state), nows[0], zone, 'c', held.phones, own));
    const made = cup.fold(mixed);
    const phones = [...states.map((state) => mine.whose(state, [])), mine.whose(made, states)];
    const said = nows.map((now) => [hours.isQuiet(quiet, now, zone), hours.endsAt(quiet, now, zone)]);
    const own_ = phones.map((some) => mine.isMine(some, own));
    return JSON.stringify([held, drawn.map((one) => one.taken), mine.panelsOf(made), phones, own_, said]);
  });
}"""


def case_of(rnd) -> dict:
    begin, end = rnd.randint(0, 1439), rnd.choice([rnd.randint(0, 1439), 0, 1439])
    return {
        "shop": logs.shop_log(rnd, rnd.randint(0, 20)),
        "mixed": logs.cup_log(rnd, rnd.choice([3, 9])),
        "panels": [logs.panel_log(rnd, rnd.choice([4, 20])) for _ in range(rnd.choice([0, 1, 3]))],
        "own": rnd.choice([*PHONES, ""]),
        "quiet": rnd.choice([None, [begin, end], [begin, end], [begin, begin]]),
        "zone": a_zone(rnd),
        "nows": [NOW_MS - rnd.randint(0, 20 * DAY_MS) for _ in range(6)],
    }


def answered(case: dict) -> list:
    zone, own, quiet = zone_of(case["zone"]), case["own"], case["quiet"]
    held, made = shop_state.fold(case["shop"]), cup.fold(case["mixed"])
    states, trace = [panel.fold(acts) for acts in case["panels"]], air.trace(air.fold([]))
    now = case["nows"][0]
    drawn = [
        panel_card.face(state, film.times(state, trace), trace, now, zone, "c", held["phones"], own)["taken"]
        for state in states
    ]
    phones = [*(audience.whose(state, []) for state in states), audience.whose(made, states)]
    said = [[quiet_hours.is_quiet(quiet, now, zone), quiet_hours.ends_at(quiet, now, zone)] for now in case["nows"]]
    own_ = [audience.is_mine(some, own) for some in phones]
    return [held, drawn, audience.panels_of(made), phones, own_, said]


def test_people_phones_and_quiet_hours_are_alike_in_both_twins(core_page):
    rnd, taken, called = rnd_for("people"), 0, set()
    cases = [case_of(rnd) for _ in range(400)]
    for case, said in zip(cases, core_page.evaluate(ASK, cases), strict=True):
        ours = answered(case)
        assert text_of(json.loads(said)) == text_of(ours), f"seed {SEED}: {json.dumps(case)[:4000]}"
        taken += any(phones for phones in ours[3])
        called |= {words.split(" ")[0] for words in ours[1]}
    assert taken
    assert called == {"", "Taken", "Handed"}


def test_what_waits_for_the_end_of_the_quiet_hours_comes_later_and_then_it_is_not_quiet():
    rnd, waited = rnd_for("hours"), 0
    for _ in range(4000):
        hours_, zone = [rnd.randint(0, 1439), rnd.randint(0, 1439)], zone_of(a_zone(rnd))
        now = NOW_MS - rnd.randint(0, 20 * DAY_MS)
        at = quiet_hours.ends_at(hours_, now, zone)
        assert (at > now) == quiet_hours.is_quiet(hours_, now, zone)
        long = (hours_[0] - hours_[1]) % 1440 >= 120  # awake for longer than any clock jumps
        assert not (long and quiet_hours.is_quiet(hours_, at, zone))
        assert at - now <= DAY_MS + 60 * MINUTE_MS
        waited += at > now
    assert waited > 1000
