"""Ringing on a phone that is put to sleep, killed, or called: a gap is said, what is overdue rings at once."""

import re

import pytest
from playwright.sync_api import expect

from .conftest import heard, in_hand, kept_offline, lay, ready, to_putty
from .handset import Handset
from .test_ringing import SPY, ringing, wait_out

pytestmark = pytest.mark.browser
HELD = (
    SPY
    + """;(() => {
  const play = HTMLMediaElement.prototype.play;
  HTMLMediaElement.prototype.play = function () {
    window.player = this;
    return play.call(this);
  };
  const Context = window.AudioContext;
  window.AudioContext = class extends Context {
    constructor() {
      super();
      window.context = this;
    }
  };
})()"""
)
OPENS = "Hood: try it since"
AHEAD = "(ms) => { window.later += ms; }"


@pytest.fixture
def handset(chromium, tmp_path):
    made = Handset(chromium, tmp_path / "phone")
    yield made
    made.end()


def putty_runs(page, address: str):
    """A phone with no signal and a panel with a putty just laid, by a mouse: such a page takes no touch."""
    page.goto(address)
    ready(page)
    heard(page)
    kept_offline(page)
    page.wait_for_function("() => document.body.dataset.whole === 'yes'")
    page.context.set_offline(True)
    page.click("[data-do=add]")
    page.fill("#add-name", "Hood")
    page.click("#add-routes button:has-text('Chips and small dings')")
    for _ in range(3):
        page.click("#floor .deeds [data-do=done]")
    page.click("#floor .deeds [data-do=lay]")
    page.click("#lay-offers button >> nth=0")
    expect(page.locator("#floor .card")).to_have_attribute("data-state", "wait")
    return page


def missed(page):
    return expect(page.locator("#ringing-missed"))


# --- asleep, killed ---


def test_a_page_that_was_frozen_says_so_and_rings_what_is_overdue_the_moment_it_runs_on(server, handset):
    page = putty_runs(handset.start(SPY), server.address)
    handset.freeze()
    page.evaluate(AHEAD, 25 * 60_000)
    page.wait_for_timeout(1_500)  # a page that lives would have rung by now
    assert page.evaluate("[document.visibilityState, document.body.dataset.ringing, notes]") == ["hidden", "no", 0]
    handset.thaw()
    missed(page).to_contain_text("This phone could not ring from")
    expect(ringing(page).locator("[data-text=words]")).to_contain_text(OPENS)
    expect(ringing(page).locator("[data-text=late]")).to_contain_text(re.compile(r"Rings \d+ min late"))
    assert page.evaluate("notes") > 0


def test_a_phone_that_was_killed_says_so_and_rings_what_is_overdue_when_it_starts_again(server, handset):
    page = putty_runs(handset.start(SPY), server.address)
    handset.kill()
    page = handset.start(SPY, later_ms=2 * 3_600_000, offline=True)
    page.goto(server.address)
    ready(page)
    missed(page).to_contain_text("This phone could not ring from")
    expect(ringing(page).locator("[data-text=words]")).to_contain_text(OPENS)
    expect(ringing(page).locator("[data-text=late]")).to_contain_text(re.compile(r"Rings 1 h \d+ min late"))
    page.reload()
    ready(page)
    page.wait_for_function("() => document.body.dataset.ringing === 'no'")


# --- called ---


@pytest.fixture
def armed(server, phones):
    """A phone with a putty that runs and the track of the locked phone playing."""
    page = in_hand(phones(server.address), HELD)
    to_putty(page)
    lay(page, "Hood")
    page.evaluate("() => { location.hash = '#ring'; }")
    page.locator(".way", has_text="Track for the locked phone").locator("button").tap()
    page.clock.run_for(2_000)
    page.wait_for_function("() => window.player && !player.paused")
    return page


def test_a_call_that_stops_the_track_is_said_with_its_time_and_a_tap_arms_it_again(armed):
    armed.evaluate("player.pause()")
    missed(armed).to_contain_text("The sound stopped at ")
    missed(armed).to_contain_text("a call, another app or the phone itself. Tap to arm again.")
    expect(armed.locator(".way", has_text="Track")).to_contain_text("Not playing.")
    wait_out(armed, 3, 0)
    armed.locator("#screen-ring h1").tap()
    armed.wait_for_function("() => !player.paused")
    armed.clock.run_for(2_000)
    missed(armed).to_contain_text("The sound was gone from ")
    missed(armed).to_contain_text("It is armed again.")
    expect(armed.locator(".way", has_text="Track")).to_contain_text("1 tone in it")
    armed.tap("#ringing-over")
    expect(armed.locator("#ringing")).to_be_hidden()


def test_what_came_due_while_the_sound_was_gone_rings_at_once_when_it_is_back(armed):
    armed.evaluate("async () => { player.pause(); await context.suspend(); context.resume = async () => {}; }")
    missed(armed).to_contain_text("The sound stopped at ")
    wait_out(armed, 21, 0)
    expect(ringing(armed)).to_have_count(1)
    armed.clock.run_for(60_000)
    heard = armed.evaluate("notes")
    armed.evaluate("() => { delete context.resume; document.dispatchEvent(new Event('visibilitychange')); }")
    armed.wait_for_function("() => !player.paused && context.state === 'running'")
    armed.clock.run_for(2_000)
    missed(armed).to_contain_text("It is armed again.")
    assert armed.evaluate("notes") > heard
    expect(ringing(armed).locator("[data-text=words]")).to_contain_text("Hood: try it")


def test_a_tone_that_a_call_cuts_off_rings_again_after_the_call(armed):
    wait_out(armed, 19, 50)
    armed.clock.run_for(12_000)
    expect(ringing(armed)).to_have_count(1)
    armed.evaluate("player.pause()")
    missed(armed).to_contain_text("The sound stopped at ")
    heard = armed.evaluate("notes")
    armed.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")
    armed.wait_for_function("() => !player.paused")
    armed.clock.run_for(2_000)
    assert armed.evaluate("notes") > heard


def test_a_track_that_was_chosen_is_said_to_be_silent_after_a_start_until_a_tap(armed):
    armed.reload()
    ready(armed)
    missed(armed).to_contain_text("Tap to arm again.")
    armed.locator("#screen-ring h1").tap()
    armed.wait_for_function("() => window.player && !player.paused")
    armed.clock.run_for(2_000)
    missed(armed).to_contain_text("It is armed again.")


def test_a_hidden_page_without_the_track_says_nothing_of_a_sound_that_is_back_in_time(server, phones):
    page = in_hand(phones(server.address), HELD)
    page.locator("#screen-floor").tap(position={"x": 5, "y": 5})
    page.wait_for_function("() => window.context?.state === 'running'")
    page.evaluate("""async () => {
      Object.defineProperty(document, 'visibilityState', { get: () => window.seen, configurable: true });
      window.seen = 'hidden';
      await context.suspend(); }""")
    page.clock.run_for(3_000)
    page.evaluate("() => { window.seen = 'visible'; document.dispatchEvent(new Event('visibilitychange')); }")
    page.wait_for_function("() => context.state === 'running'")
    page.clock.run_for(2_000)
    missed(page).to_be_empty()
    expect(page.locator("#ringing")).to_be_hidden()
