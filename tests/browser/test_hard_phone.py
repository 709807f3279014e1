"""What phones do to a web app: full, emptied, closed under us, clocks that jump."""

import pytest
from playwright.sync_api import expect

from .conftest import add_panel, card, deed, heard, kept_offline, lay, ready, to_putty, with_our_clock

pytestmark = pytest.mark.browser
HOLDS = """async (names) => { const { $data_db: db } = await import('/static/joined/first.js');
  const { outbox, kept } = await db.everything();
  const acts = [...outbox.map((row) => row.act), ...kept.flatMap((thing) => thing.acts)];
  return names.every((name) => acts.some((act) => act.name === name)); }"""


def left(page, name: str = "Hood"):
    return card(page, name).locator("[data-text=left]")


def test_a_full_phone_says_so_and_the_tap_still_reaches_the_server(one_shop, phones):
    page = phones(one_shop.address)
    heard(page)
    page.evaluate("""() => { window.put = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function (row) { throw new DOMException('full', 'QuotaExceededError'); }; }""")
    with page.expect_response("**/sync"):
        add_panel(page, "Hood")
    expect(page.locator("#signal-words")).to_contain_text("This phone is full")
    page.evaluate("() => { IDBObjectStore.prototype.put = window.put; }")
    other = phones(one_shop.address)
    expect(card(other, "Hood")).to_be_visible()


def test_a_database_closed_under_the_page_is_opened_again(server, phones):
    page = phones(server.address)
    heard(page)
    page.evaluate("async () => (await import('/static/joined/first.js')).$data_db.drop()")
    add_panel(page, "Hood")
    heard(page)
    page.reload()
    ready(page)
    expect(card(page, "Hood")).to_be_visible()


def test_a_phone_that_is_emptied_under_an_open_page_loses_nothing_not_even_what_was_not_sent(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    heard(page)
    kept_offline(page)
    page.context.set_offline(True)
    add_panel(page, "Tailgate")
    page.evaluate("() => new Promise((done) => { indexedDB.deleteDatabase('sandtime').onsuccess = done; })")
    add_panel(page, "Roof")  # the page goes on writing, on top of nothing
    expect(card(page, "Hood")).to_be_visible()
    page.wait_for_function(
        HOLDS, arg=["Hood", "Tailgate", "Roof"]
    )  # the page brings it all there again, with no signal
    page.reload()
    ready(page)
    for name in ("Hood", "Tailgate", "Roof"):
        expect(card(page, name)).to_be_visible()
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    heard(page)
    page.reload()
    ready(page)
    for name in ("Hood", "Tailgate", "Roof"):
        expect(card(page, name)).to_be_visible()
    expect(page.locator("#notice-words")).to_have_text("")


def test_a_phone_that_is_emptied_while_it_is_closed_gets_back_all_that_was_heard_and_says_so(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    heard(page)
    page.goto(f"{server.address}clock")
    page.evaluate("() => new Promise((done) => { indexedDB.deleteDatabase('sandtime').onsuccess = done; })")
    page.goto(server.address)
    ready(page)
    expect(card(page, "Hood")).to_be_visible()
    expect(page.locator("#notice-words")).to_contain_text("The browser had emptied Sandtime's memory")


def test_a_clock_set_back_moves_no_film(server, phones):
    page = phones(server.address)
    heard(page)
    with_our_clock(page)
    to_putty(page)
    lay(page, "Hood")
    expect(left(page)).to_have_text("20 min")
    page.context.set_offline(True)
    page.clock.fast_forward("05:00")
    expect(left(page)).to_have_text("15 min")
    page.clock.set_system_time(page.evaluate("Date.now()") / 1000 - 3 * 3600)
    expect(page.locator("#notice-words")).to_contain_text("clock was set back 3 h")
    expect(left(page)).to_have_text("15 min")


def test_a_clock_that_jumps_ahead_can_be_taken_back_with_no_signal(server, phones):
    page = phones(server.address)
    heard(page)
    with_our_clock(page)
    to_putty(page)
    lay(page, "Hood")
    expect(left(page)).to_have_text("20 min")
    page.context.set_offline(True)
    page.clock.set_system_time(page.evaluate("Date.now()") / 1000 + 3 * 3600)
    expect(page.locator("#notice-words")).to_contain_text("slept, or its clock jumped ahead 3 h")
    expect(card(page, "Hood")).to_have_attribute("data-state", "try")
    page.tap("#notice-deed")
    expect(left(page)).to_have_text("20 min")


def test_a_clock_that_jumps_ahead_is_put_right_by_the_server(server, phones):
    page = phones(server.address)
    heard(page)
    with_our_clock(page)
    to_putty(page)
    lay(page, "Hood")
    heard(page)
    page.clock.set_system_time(page.evaluate("Date.now()") / 1000 + 3 * 3600)
    page.clock.run_for(2_000)
    expect(left(page)).to_have_text("20 min")


KEPT_MOMENTS = """async () => {
  const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
  return shop.actsOf(queries.onFloor()[0]).map((act) => [act.kind, act.at]); }"""
MOMENTS = """async () => { const { $data_state: shop } = await import('/static/joined/floor.js');
  return shop.rows().map(({ act }) => [act.kind, act.at]); }"""


def test_taps_made_before_a_clock_jumped_keep_their_moment_and_those_after_are_put_right(server, phones):
    page = phones(server.address)
    heard(page)
    with_our_clock(page)
    heard(page)
    page.context.set_offline(True)
    to_putty(page)
    lay(page, "Hood")
    expect(card(page, "Hood")).to_have_attribute("data-state", "wait")
    before = dict(page.evaluate(MOMENTS))
    page.clock.set_system_time(page.evaluate("Date.now()") / 1000 + 3 * 3600)
    expect(card(page, "Hood")).to_have_attribute("data-state", "try")
    deed(card(page, "Hood"), "notyet")
    expect(card(page, "Hood")).to_have_attribute("data-state", "asked")
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    heard(page)
    kept = dict(page.evaluate(KEPT_MOMENTS))
    assert {kind: kept[kind] for kind in before} == before
    assert 0 <= kept["found_not_ready"] - before["film_laid"] < 60_000


def test_another_time_zone_moves_no_film_and_no_clock_time(server, phones):
    page = phones(server.address)
    heard(page)
    to_putty(page)
    lay(page, "Hood")
    expect(left(page)).to_have_text("20 min")
    heard(page)
    said = card(page, "Hood").locator("[data-text=say]").text_content()
    page.context.new_cdp_session(page).send("Emulation.setTimezoneOverride", {"timezoneId": "Asia/Tokyo"})
    page.reload()
    ready(page)
    expect(card(page, "Hood").locator("[data-text=say]")).to_have_text(said)
