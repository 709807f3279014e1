"""Two pages of one phone: both write to one memory, one at a time is on the road."""

import random

import pytest
from playwright.sync_api import expect

from .conftest import add_panel, card, deed, heard, ready

pytestmark = pytest.mark.browser
ON_DISK = """() => new Promise((go, no) => { const open = indexedDB.open('sandtime'); open.onerror = no;
  open.onsuccess = () => { const rows = open.result.transaction('outbox').objectStore('outbox').getAll();
    rows.onsuccess = () => { open.result.close(); go(rows.result.map((row) => row.act)); }; }; })"""
HELD = "async () => (await import('/static/joined/floor.js')).$data_state.rows().map(({ act }) => act.id)"
POSTED = "async () => (await import('/static/joined/floor.js')).$data_state.unsent().map((row) => row.act.id)"
# An older version's memory, with rows by the number of each page, and what its page does when it is told to begin anew.
OLDER = """(acts) => new Promise((go) => { const open = indexedDB.open('sandtime', 1);
  open.onupgradeneeded = () => { for (const [name, keyPath] of [['outbox', 'n'], ['kept', 'on'], ['meta', 'name']])
    open.result.createObjectStore(name, { keyPath }); };
  open.onsuccess = () => { const db = open.result; db.onversionchange = () => db.close();
    window.heard = new BroadcastChannel('sandtime');
    window.heard.onmessage = ({ data }) => { window.told ||= data === 'left' && data; };
    const deal = db.transaction('outbox', 'readwrite');
    acts.forEach((act, n) => deal.objectStore('outbox').put({ n: n + 1, act, tried: false }));
    deal.oncomplete = go; }; })"""


def tabs(server, phones):
    page = phones(server.address, worker=True)
    heard(page)
    tab = page.context.new_page()
    tab.goto(server.address)
    ready(tab)
    heard(tab)
    for one in (page, tab):
        one.wait_for_function("() => document.body.dataset.whole === 'yes'")
    return page, tab


def at_server(page):
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    heard(page)


def test_two_pages_that_tap_before_they_hear_of_each_other_keep_both_taps(server, phones):
    page, tab = tabs(server, phones)
    add_panel(page, "Hood", "Empty")
    expect(card(tab, "Hood")).to_be_visible()
    heard(page)
    heard(tab)
    page.context.set_offline(True)
    for one in (page, tab):  # as in a large shop, where reading all again took longer than the next tap
        one.evaluate("() => { BroadcastChannel.prototype.postMessage = () => {}; }")
    add_panel(page, "Roof", "Empty")
    page.wait_for_timeout(300)
    add_panel(tab, "Tailgate", "Empty")
    names = {act["name"] for act in page.evaluate(ON_DISK)}
    assert names == {"Roof", "Tailgate"}
    page.reload()
    for name in names:
        expect(card(page, name)).to_be_visible()


def test_random_taps_on_two_pages_all_come_to_the_disk_and_to_the_server(server, phones):
    page, tab = tabs(server, phones)
    chance = random.Random(11)
    page.context.set_offline(True)
    for nth in range(8):
        add_panel(chance.choice((page, tab)), f"Panel {nth}", "Empty")
    ids = {act["id"] for act in page.evaluate(ON_DISK)}
    assert len(ids) == 8
    for one in (page, tab):
        one.wait_for_function(f"async (n) => (await ({HELD})()).length === n", arg=8)
        assert one.evaluate(POSTED) == sorted(ids)  # ids sort by time: the order of the taps
    at_server(page)
    heard(tab)
    assert page.evaluate(ON_DISK) == []
    for nth in range(8):
        expect(card(tab, f"Panel {nth}")).to_be_visible()


def test_two_pages_are_never_on_the_road_at_once(server, phones):
    page, tab = tabs(server, phones)
    held = []
    page.route("**/sync", lambda route: held.append(route))  # noqa: PLW0108 - it counts the arguments
    page.evaluate("() => dispatchEvent(new Event('online'))")
    for _ in range(100):
        if held:
            break
        page.wait_for_timeout(20)
    asked = []
    tab.on("request", lambda request: asked.append(request.url) if request.url.endswith("/sync") else None)
    tab.evaluate("() => dispatchEvent(new Event('online'))")
    tab.wait_for_timeout(400)
    assert asked == []
    with tab.expect_request("**/sync"):
        held.pop().continue_()


def test_an_older_answer_never_comes_over_a_newer_one(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood", "Chips and small dings")
    heard(page)
    old = page.evaluate("""async () => {
      const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
      const on = queries.onFloor()[0];
      return { cursor: shop.meta.cursor, row: structuredClone(shop.heardOf(on)) }; }""")
    deed(card(page, "Hood"), "done")
    expect(card(page, "Hood").locator("[data-text=place]")).to_contain_text("Step 2 of")
    heard(page)
    step = card(page, "Hood").locator("[data-text=place]").text_content()
    cursor = page.evaluate(
        """async ({ cursor, row }) => {
      const { $data_state: shop } = await import('/static/joined/floor.js');
      const now = shop.meta.cursor; await shop.hear({ fragments: [row], verdicts: [], cursor, extra: {} });
      return [now, shop.meta.cursor]; }""",
        old,
    )
    assert cursor[0] == cursor[1] > old["cursor"]
    page.reload()
    ready(page)
    expect(card(page, "Hood").locator("[data-text=place]")).to_have_text(step)


def test_taps_that_an_older_version_left_are_taken_over_and_its_page_is_told(server, phones):
    page = phones(server.address)
    heard(page)
    page.context.set_offline(True)
    for name in ("Hood", "Roof"):
        add_panel(page, name, "Empty")
    acts = page.evaluate(ON_DISK)
    page.context.set_offline(False)
    other = phones(server.address)
    heard(other)
    for act in acts:
        act.pop("who", None)
    other.goto(f"{server.address}healthz")
    other.evaluate("() => new Promise((go) => { indexedDB.deleteDatabase('sandtime').onsuccess = go; })")
    other.evaluate(OLDER, acts[::-1])
    newer = other.context.new_page()
    newer.goto(server.address)
    ready(newer)
    for name in ("Hood", "Roof"):
        expect(card(newer, name)).to_be_visible()
    other.wait_for_function("() => window.told === 'left'")
    heard(newer)
    assert newer.evaluate(ON_DISK) == []
