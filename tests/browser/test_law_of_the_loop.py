"""The law of the loop: each ring exactly once, never before its moment, at most 1 s late while the page lives."""

from pathlib import Path

import pytest

pytestmark = pytest.mark.browser
LOOP = Path(__file__).with_name("ten_thousand_timers.js").read_text("utf-8").partition("\n\n")[2]
GONE = """async () => {
  const { looped } = await import('/js/alarm/loop.js');
  const ring = { key: 'a', kind: 'closing', at_ms: 60000, since_ms: 60000, until_ms: 120000 };
  const kinds = ['closing'];
  const turn = (loop, all, now) => loop.turn(all, now, { kinds });
  const one = looped();
  turn(one, [ring], 1000);
  const kept = JSON.parse(JSON.stringify(one.kept()));
  const killed = turn(looped(kept, 1000, [ring]), [], 600000);
  const silenced = turn(looped({ ...kept, told: { a: 500 } }, 1000, [ring]), [], 600000);
  return [killed.missed.map(({ key }) => key), killed.gap, silenced.missed.length];
}"""
BEGINS = """async () => {
  const { looped } = await import('/js/alarm/loop.js');
  const ring = { key: 'a', kind: 'opens', at_ms: 60000, since_ms: 60000, until_ms: null };
  const first = looped();
  const { changed } = first.turn([ring], 1000, { kinds: ['opens'] });
  const again = looped(JSON.parse(JSON.stringify(first.kept())), 1000);
  return [changed, again.turn([ring], 90000, { kinds: ['opens'] }).fresh.length];
}"""


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_ten_thousand_timers_over_sleeps_loads_clock_steps_silences_and_snoozes(core_page, seed):
    said = core_page.evaluate(LOOP, {"seed": seed, "count": 10_000, "turns": 1_500})
    assert said["wrong"] == []
    assert said["rang"] > 9_000
    for what in ("sleeps", "steps", "loads"):
        assert said[what] >= 5
    assert min(said["putOff"], said["answered"]) > 200


def test_what_came_and_went_while_the_page_was_killed_is_missed_once(core_page):
    assert core_page.evaluate(GONE) == [["a"], {"from": 1000, "to": 600_000}, 0]


def test_a_page_that_was_killed_before_anything_rang_still_knows_when_it_began(core_page):
    assert core_page.evaluate(BEGINS) == [True, 1]
