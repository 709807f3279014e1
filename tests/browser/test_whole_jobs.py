"""Four of the jobs of tests/jobs by tapping, from "Add a panel" to the last wax: the card's words and the rings heard.

The phone's clock stands still at each moment of the timeline, so that a tap is made at the minute that was reckoned
with.  The day is one still to come, a whole number of weeks after the job's own, and dates in the words go along.
"""

import re
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import expect

from tests.support.played import Played
from tests.timers.core.test_jobs import JOBS
from timers.core.base.units import DAY_MS

from .conftest import card, deed, in_hand, tell_air
from .test_ringing import SPY
from .test_screens import go

pytestmark = pytest.mark.browser
PLAYED = ["bumper_raw", "dent_on_a_cold_day", "low_spot_twice", "new_part_over_two_days"]
OFFSET = """async () => {
  const { $data_clock: clock } = await import('/static/joined/floor.js');
  return clock.now() - Date.now();
}"""
SHELVE = """async ({ products, route }) => {
  const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
  const { $data_acts: acts } = await import('/static/joined/actions.js');
  const old = queries.docs('product').filter((one) => one.away_at === null);
  for (const { on } of old) await shop.keep(acts.born(on, 'sheet_put_away'));
  for (const doc of products) {
    const on = acts.thingId('product');
    await shop.keep(acts.born(on, 'sheet_written', { doc: { ...doc, id: on.split(':')[1] }, over: null }));
  }
  await shop.keep(acts.born(acts.thingId('route'), 'route_written', { doc: route, over: null }));
}"""
SEEN = """() => {
  const floor = location.hash.startsWith('#panel') ? '#panel-card' : '#floor';
  const card = document.querySelector(`${floor} .card`);
  const said = (key) => card?.querySelector(`[data-text='${key}']`).textContent ?? '';
  const row = floor === '#floor' && document.querySelector('#curing:not([hidden]) #curing-list [data-text=words]');
  const heard = document.querySelectorAll('#ringing:not([hidden]) #ringing-list [data-text=words]');
  return {
    state: card?.dataset.state,
    ...Object.fromEntries(['step', 'say', 'left', 'then', 'note'].map((key) => [key, said(key)])),
    buttons: [...(card?.querySelectorAll('.deeds button:not([hidden])') ?? [])].map((one) => one.dataset.do).sort(),
    rings: [...heard].map((one) => one.textContent),
    row: row ? row.textContent : '',
  };
}"""


class Handled:
    """A phone in the hand: what a person taps at a line of the timeline, and what is then seen and heard."""

    def __init__(self, page, job: dict) -> None:
        self.page, self.played = page, Played({**job, "east": 0})
        self.is_inside = False  # on the panel's page, where a panel that cures has its card
        self.offset = page.evaluate(OFFSET)
        now = page.evaluate("Date.now()") + DAY_MS
        weeks = -(-(now - self.played.moment("00:00")) // (7 * DAY_MS))
        self.days = 7 * int(weeks)

    def moment(self, clock: str) -> int:
        return self.played.moment(clock) + self.days * DAY_MS

    def come_to(self, at_ms: int) -> None:
        """Time stands still at a moment of the shop."""
        own = datetime.fromtimestamp(0, UTC) + timedelta(milliseconds=at_ms - self.offset)
        self.page.clock.pause_at(own.isoformat(timespec="milliseconds"))

    def live_through(self, stops: list[int]) -> None:
        """The moments that something rings at are not slept through."""
        for stop in sorted(set(stops)):
            self.come_to(stop)
            self.page.clock.run_for(1_000)

    def words(self, said: str) -> str:
        """What was written for the job's own days, on the days that it is played."""
        year = self.played.job["day"][:4]

        def moved(found: re.Match) -> str:
            day = datetime.strptime(f"{found[0]} {year}", "%d %b %Y").replace(tzinfo=UTC) + timedelta(days=self.days)
            return f"{day.day} {day:%b}"

        return re.sub(r"\d+ (?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b", moved, said)

    def tap(self, line: dict) -> None:
        page, name, do = self.page, self.played.job["panel"], line["do"]
        if do == "add":
            page.tap("[data-do=add]")
            page.fill("#add-name", name)
            page.locator("#add-routes button", has_text=self.played.job["job"][:60]).tap()
        elif do in ("drop", "put"):
            card(page, name).locator("h2 button").tap()
            getattr(self, do)(line)
            page.locator(".bar a", has_text="Floor").tap()
        elif do != "look":
            own = page.locator("#panel-card .card") if self.is_inside else card(page, name)
            deed(own, do)
            getattr(self, do, lambda line: None)(line)

    def lay(self, line: dict) -> None:
        offer = self.page.locator("#lay-offers button", has_text=line["product"])
        offer.wait_for()
        against = self.page.inner_text("#lay-warning")
        assert all(one in against for one in line.get("warns", [])), (line["at"], against)
        assert line.get("warns") or "night" not in against, (line["at"], against)
        offer.tap()

    def back(self, line: dict) -> None:
        self.page.fill("#back-area", line["area"])
        self.page.locator("#back-steps").get_by_text(line["to"], exact=True).tap()

    def drop(self, line: dict) -> None:
        self.page.locator("#steps li[data-done=next] [data-do=drop]").tap()

    def put(self, line: dict) -> None:
        self.page.tap("#screen-panel [data-do=step]")
        self.page.locator("#step-does button", has_text="Coat").tap()
        self.page.locator("#step-classes button", has_text="Adhesion promoter").tap()
        self.page.fill("#step-words", line["put"]["words"])
        self.page.locator("[data-do=add-step]", has_text="Do it next").tap()

    def sees(self, line: dict) -> None:
        """The card, or in the list of what cures the row that leads to it, and what rings."""
        heard = line.get("rings", [])
        wanted = {
            **{key: self.words(line.get(key, "")) for key in ("state", "step", "say", "left", "then", "note")},
            "buttons": sorted(line["buttons"]),
            "rings": [self.words(one) for one in ([heard] if isinstance(heard, str) else heard)],
            "row": self.words(line["say"]) if line.get("curing") and not self.is_inside else "",
        }
        seen = self.painted(wanted)
        if wanted["row"]:
            self.page.locator("#curing-list li button").tap()
            self.is_inside = True
            seen |= {**self.painted({**wanted, "row": ""}), "row": seen["row"]}
        assert seen == wanted, (self.played.job["panel"], line["at"])
        for _ in wanted["rings"]:
            self.page.clock.run_for(1_000)  # a finger on its way to a card does not silence
            self.page.locator("#ringing [data-do=silence]").first.tap()

    def painted(self, wanted: dict) -> dict:
        """What is seen, once it is what is wanted or two seconds have gone by."""
        for turn in range(100):
            seen = self.page.evaluate(SEEN)
            if seen == wanted or (wanted["row"] and seen["row"]):
                break
            self.page.wait_for_timeout(20)
            if turn % 10 == 9:
                self.page.clock.run_for(100)
        return seen


def shelved(page, played: Played) -> None:
    """The job's own sheets alone stand on the shelf, and its steps are a route of the shop."""
    route = {"name": played.job["job"][:60], "steps": played.job["steps"]}
    page.evaluate(SHELVE, {"products": list(played.products.values()), "route": route})


def hush_at_night(page) -> None:
    """Quiet from 21:00 to 06:00, told as a person does."""
    page.evaluate("() => { location.hash = '#ring'; }")
    page.tap("#ring-quiet")
    for _ in range(2):
        page.tap("[data-which=from][data-by='-30']")
    expect(page.locator("#ring-from")).to_have_text("21:00")
    go(page, "Floor")


def play(page, name: str) -> None:
    """A job from its first line to its last; then the panel is put away."""
    hand = Handled(page, JOBS[name])
    shelved(page, hand.played)
    told = {hand.moment(at): temp for at, temp, *_ in JOBS[name].get("air") or [["00:00", JOBS[name]["temp_dc"]]]}
    before, ahead = 0, []
    for line in JOBS[name]["timeline"]:
        at_ms = hand.moment(line["at"])
        hand.live_through([stop for stop in ahead if before < stop < at_ms])
        for reading in [one for one in told if one <= at_ms]:
            hand.come_to(reading)
            tell_air(page, told.pop(reading) // 10)
        hand.come_to(at_ms)
        hand.tap(line)
        page.clock.run_for(1_000)
        hand.sees(line)
        before, ahead = at_ms, [hand.moment(at) for _, at in line["ahead"]]
    deed(page.locator("#panel-card .card"), "away")
    expect(page.locator("#floor .card")).to_have_count(0)


def test_four_jobs_go_as_they_were_written_down_tapped_on_one_phone(server, phones):
    page = in_hand(phones(server.address, timezone_id="UTC"), SPY)
    for name in PLAYED:
        if JOBS[name].get("quiet"):
            hush_at_night(page)
        play(page, name)
