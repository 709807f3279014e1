"""Ringing on a phone: at its moment and not before, once, after a gap, silenced from another phone."""

import pytest
from playwright.sync_api import expect

from .conftest import card, heard, in_hand, lay, ready, to_coat, to_putty
from .test_cup import DOOR, mix
from .test_screens import fits, go

pytestmark = pytest.mark.browser
SPY = """(() => {
  window.notes = 0;
  const start = AudioScheduledSourceNode.prototype.start;
  AudioScheduledSourceNode.prototype.start = function (...when) {
    window.notes += 1;
    return start.apply(this, when);
  };
  window.shakes = 0;
  navigator.vibrate = () => (window.shakes += 1);
  window.spoken = [];
  speechSynthesis.speak = (said) => window.spoken.push(said.text);
})()"""
QUICK = """async (seconds) => {
  const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
  const { $data_acts: acts } = await import('/static/joined/actions.js');
  for (const { on, doc } of queries.docs('product')) {
    const points = [[200, seconds * 1000, seconds * 1000]];
    const gates = Object.fromEntries(Object.keys(doc.gates).map((gate) => [gate, points]));
    delete gates.recoat_by;
    delete gates.recoat_again;
    await shop.keep(acts.born(on, 'sheet_written', { doc: { ...doc, gates, variants: [] }, over: null }));
  }
  dispatchEvent(new Event('online'));
}"""
ONLINE = "() => dispatchEvent(new Event('online'))"


def ringing(page):
    return page.locator("#ringing-list li")


def wait_out(page, minutes: int, seconds: int):
    """Time passes to a few seconds before, in one leap; then second by second."""
    page.clock.fast_forward(f"{minutes:02d}:{seconds:02d}")
    page.clock.run_for(1_000)


def listen(page, until: str):
    """Ask the server now and then, until something is so."""
    for _ in range(40):
        if page.evaluate(until):
            return
        page.evaluate(ONLINE)
        page.wait_for_timeout(250)
    raise AssertionError(until)


def test_an_opening_rings_at_its_moment_loud_and_once(server, phones):
    page = in_hand(phones(server.address), SPY)
    to_putty(page)
    lay(page, "Hood")
    wait_out(page, 19, 50)
    expect(page.locator("#ringing")).to_be_hidden()
    assert page.evaluate("notes") == 0
    page.clock.run_for(15_000)
    expect(ringing(page).locator("[data-text=words]")).to_have_text("Hood: try it: Block P180")
    expect(page.locator("#ringing-missed")).to_be_empty()
    expect(ringing(page).locator("[data-text=late]")).to_be_empty()
    page.wait_for_function("() => notes > 0 && shakes > 0")
    box = page.locator("#ringing .silence").bounding_box()
    assert box["height"] >= 96
    fits(page)
    page.locator("#ringing [data-do=silence]").tap()
    expect(page.locator("#ringing")).to_be_hidden()
    expect(page.locator("#undo-words")).to_have_text("Ring silenced")
    told = page.evaluate("notes")
    page.clock.run_for(60_000)
    expect(page.locator("#ringing")).to_be_hidden()
    assert page.evaluate("notes") == told


def test_a_reload_does_not_ring_again(server, phones):
    page = in_hand(phones(server.address), SPY)
    to_putty(page)
    lay(page, "Hood")
    wait_out(page, 21, 0)
    expect(ringing(page)).to_have_count(1)
    page.reload()
    ready(page)
    page.clock.run_for(5_000)
    expect(page.locator("#ringing")).to_be_hidden()


def test_a_ring_put_off_rings_again_in_five_minutes_and_go_to_it_goes_there(server, phones):
    page = in_hand(phones(server.address), SPY)
    to_putty(page)
    lay(page, "Hood")
    wait_out(page, 21, 0)
    page.locator("#ringing [data-do=snooze]").tap()
    expect(page.locator("#ringing")).to_be_hidden()
    page.clock.run_for(290_000)
    expect(page.locator("#ringing")).to_be_hidden()
    page.clock.run_for(12_000)
    expect(ringing(page)).to_have_count(1)
    page.locator("#ringing [data-do=go-to]").tap()
    expect(page.locator("#screen-panel h1")).to_have_text("Hood")
    expect(page.locator("#ringing")).to_be_hidden()


def test_after_a_gap_what_is_overdue_rings_at_once_the_most_urgent_first_and_the_gap_is_said(server, phones):
    page = in_hand(phones(server.address), SPY)
    to_putty(page)
    lay(page, "Hood")
    go(page, "Floor")
    to_coat(page, DOOR)
    mix(page)
    go(page, "Floor")
    expect(page.locator("#floor .card", has_text="Cup:")).to_be_visible()
    page.clock.run_for(2_000)
    page.clock.fast_forward("02:00:00")
    page.clock.run_for(1_000)
    said = ringing(page).locator("[data-text=words]")
    expect(said).to_have_count(2)
    expect(said.nth(0)).to_contain_text("Cup: Surfacer, 2K high build: pot life over since")
    expect(said.nth(1)).to_contain_text("Hood: try it since")
    expect(page.locator("#ringing-missed")).to_contain_text("This phone could not ring from")
    expect(page.locator("#ringing-missed")).to_contain_text("pot life ends")
    expect(ringing(page).nth(1).locator("[data-text=late]")).to_have_text("2 of 2. Rings 1 h 41 min late.")
    for left in (1, 0):
        page.locator("#ringing [data-do=silence]").first.tap()
        expect(ringing(page)).to_have_count(left)
    expect(page.locator("#ringing")).to_be_hidden()


def test_a_clock_step_that_the_server_puts_right_rings_nothing(server, phones):
    page = in_hand(phones(server.address), SPY)
    to_putty(page)
    lay(page, "Hood")
    page.context.set_offline(False)
    page.evaluate(ONLINE)
    page.clock.run_for(2_000)
    heard(page)
    page.clock.set_system_time(page.evaluate("Date.now()") / 1000 + 7_200)
    page.clock.run_for(1_000)
    page.wait_for_timeout(1_500)
    page.clock.run_for(3_000)
    expect(card(page, "Hood").locator("[data-text=left]")).to_contain_text("min")
    expect(page.locator("#ringing")).to_be_hidden()


def test_a_ring_over_an_open_sheet_can_be_silenced_and_leaves_what_was_typed(server, phones):
    page = in_hand(phones(server.address), SPY)
    to_putty(page)
    lay(page, "Hood")
    page.tap("[data-do=add]")
    page.fill("#add-name", "Tailga")
    wait_out(page, 21, 0)
    expect(ringing(page)).to_have_count(1)
    assert page.evaluate("document.activeElement.id") == "add-name"
    page.locator("#ringing [data-do=silence]").tap()
    expect(page.locator("#ringing")).to_be_hidden()
    expect(page.locator("#add-name")).to_have_value("Tailga")


def test_silence_on_one_phone_silences_the_other(one_shop, phones):
    one, two = phones(one_shop.address), phones(one_shop.address)
    for page in (one, two):
        heard(page)
    one.evaluate(QUICK, 4)
    heard(one)
    to_putty(one)
    lay(one, "Hood")
    listen(two, "() => document.getElementById('floor').textContent.includes('Block P180')")
    for page in (one, two):
        expect(ringing(page)).to_have_count(1, timeout=12_000)
    one.locator("#ringing [data-do=silence]").tap()
    expect(one.locator("#ringing")).to_be_hidden()
    listen(two, "() => document.getElementById('ringing').hidden")
