"""What phones do to a web app: full, emptied, closed under us, clocks that jump, answers that are lost."""

import pytest
from playwright.sync_api import expect

from .conftest import add_panel, card, deed, heard, kept_offline, lay, ready

pytestmark = pytest.mark.browser

POSTED = "async () => (await import('/static/js/shop.js')).unsent().length"


def to_putty(page, name: str = "Hood"):
    add_panel(page, name)
    for _ in range(3):
        deed(card(page, name), "done")
    expect(card(page, name).locator("[data-text=step]")).to_have_text("Glazing putty")


def left(page, name: str = "Hood"):
    return card(page, name).locator("[data-text=left]")


def signal(page):
    return page.locator("#signal-words")


def test_a_full_phone_says_so_and_the_tap_still_reaches_the_server(own_server, phones):
    page = phones(own_server.address)
    heard(page)
    page.evaluate("""() => { window.put = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function (row) { throw new DOMException('full', 'QuotaExceededError'); }; }""")
    with page.expect_response("**/sync"):
        add_panel(page, "Hood")
    expect(signal(page)).to_contain_text("This phone is full")
    page.evaluate("() => { IDBObjectStore.prototype.put = window.put; }")
    other = phones(own_server.address)
    expect(card(other, "Hood")).to_be_visible()


def test_a_database_closed_under_the_page_is_opened_again(server, phones):
    page = phones(server.address)
    heard(page)
    page.evaluate("async () => (await import('/static/js/store.js')).drop()")
    add_panel(page, "Hood")
    heard(page)
    page.reload()
    ready(page)
    expect(card(page, "Hood")).to_be_visible()


def test_an_emptied_phone_gets_back_all_that_was_heard_and_says_so(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    heard(page)
    page.evaluate("""async () => { await (await import('/static/js/store.js')).drop();
      await new Promise((done) => { indexedDB.deleteDatabase('sandtime').onsuccess = done; }); }""")
    page.reload()
    ready(page)
    expect(card(page, "Hood")).to_be_visible()
    expect(page.locator("#notice-words")).to_contain_text("The browser had emptied Sandtime's memory")


def test_a_clock_set_back_moves_no_film(server, phones):
    page = phones(server.address)
    heard(page)
    page.clock.install()
    page.reload()
    ready(page)
    to_putty(page)
    lay(page, "Hood")
    expect(left(page)).to_have_text("20 min")
    page.clock.fast_forward("05:00")
    expect(left(page)).to_have_text("15 min")
    page.context.set_offline(True)
    page.clock.set_system_time(page.evaluate("Date.now()") / 1000 - 3 * 3600)
    expect(page.locator("#notice-words")).to_contain_text("clock was set back 3 h")
    expect(left(page)).to_have_text("15 min")


def test_a_clock_that_jumps_ahead_can_be_taken_back_with_no_signal(server, phones):
    page = phones(server.address)
    heard(page)
    page.clock.install()
    page.reload()
    ready(page)
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
    page.clock.install()
    page.reload()
    ready(page)
    to_putty(page)
    lay(page, "Hood")
    heard(page)
    page.clock.set_system_time(page.evaluate("Date.now()") / 1000 + 3 * 3600)
    page.clock.run_for(2_000)
    expect(left(page)).to_have_text("20 min")


def test_another_time_zone_moves_no_film_and_no_clock_time(server, phones):
    page = phones(server.address)
    heard(page)
    to_putty(page)
    lay(page, "Hood")
    heard(page)
    said = card(page, "Hood").locator("[data-text=say]").inner_text()
    page.context.new_cdp_session(page).send("Emulation.setTimezoneOverride", {"timezoneId": "Asia/Tokyo"})
    page.reload()
    ready(page)
    expect(card(page, "Hood").locator("[data-text=say]")).to_have_text(said)


def test_an_answer_lost_on_the_way_is_asked_again_and_changes_nothing_twice(own_server, phones):
    page = phones(own_server.address)
    heard(page)
    lost = []

    def lose(route):
        if len(lost) < 2:
            lost.append(route.fetch().status)
            route.abort()
        else:
            route.continue_()

    page.route("**/sync", lose)
    to_putty(page)
    lay(page, "Hood")
    page.evaluate("() => dispatchEvent(new Event('online'))")
    heard(page)
    assert lost == [200, 200]
    other = phones(own_server.address)
    expect(card(other, "Hood").locator("[data-text=step]")).to_have_text("Block P180")
    assert page.evaluate(POSTED) == 0


@pytest.mark.parametrize(
    ("status", "words"),
    [
        (500, "The server has trouble. Clocks keep running. 1 tap waits on this phone."),
        (429, "The server asks to wait. Clocks keep running. 1 tap waits on this phone."),
        (403, "The server does not know this phone. What it holds stays on it. 1 tap waits on this phone."),
    ],
)
def test_a_server_in_trouble_loses_no_tap(server, phones, status, words):
    page = phones(server.address)
    heard(page)
    page.route("**/sync", lambda route: route.fulfill(status=status, body="no"))
    add_panel(page, "Hood")
    expect(signal(page)).to_have_text(words)
    page.unroute("**/sync")
    page.evaluate("() => dispatchEvent(new Event('online'))")
    heard(page)


def test_a_batch_too_large_is_halved_until_it_goes_through(server, phones):
    page = phones(server.address)
    heard(page)
    page.context.set_offline(True)
    to_putty(page)
    sizes = []

    def narrow(route):
        size = route.request.post_data.count("step_done") + route.request.post_data.count("panel_added")
        sizes.append(size)
        route.fulfill(status=413, body="At most 1 tap at once.") if size > 1 else route.continue_()

    page.route("**/sync", narrow)
    page.context.set_offline(False)
    page.clock.install()
    for _ in range(12):
        page.evaluate("() => dispatchEvent(new Event('online'))")
        page.wait_for_timeout(150)
    heard(page)
    assert max(sizes) == 4
    assert 1 in sizes


def test_a_refused_tap_stays_with_its_reason_until_the_person_decides(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    page.evaluate("""async () => { const shop = await import('/static/js/shop.js');
      const acts = await import('/static/js/acts.js');
      const act = {...acts.stepDone(shop.onFloor()[0]), at: Date.UTC(2100, 0, 1)};
      await shop.keep(act); dispatchEvent(new Event('online')); }""")
    expect(signal(page)).to_contain_text("1 tap refused: look in the Book")
    page.tap("#signal")
    expect(page.locator("#waiting .why")).to_contain_text("more than two days from now")
    page.tap("#waiting [data-do=say-now]")
    expect(page.locator("#waiting .actrow")).to_have_count(0)
    heard(page)
    page.locator(".bar a", has_text="Floor").tap()
    expect(card(page, "Hood").locator("[data-text=place]")).to_contain_text("Step 2 of")


def test_two_tabs_of_one_phone_show_the_same(server, phones):
    page = phones(server.address)
    heard(page)
    tab = page.context.new_page()
    tab.goto(server.address)
    ready(tab)
    add_panel(page, "Hood")
    expect(card(tab, "Hood")).to_be_visible()


def test_a_new_version_waits_for_a_tap(own_server, phones):
    page = phones(own_server.address)
    heard(page)
    kept_offline(page)
    add_panel(page, "Hood")
    heard(page)
    page.evaluate("() => { window.sameLife = true; }")
    own_server.stop()
    own_server.start(SANDTIME_RELEASE="two")
    page.evaluate("async () => (await navigator.serviceWorker.getRegistration()).update()")
    expect(page.locator("#notice-words")).to_have_text("A new version of Sandtime is on this phone.")
    assert page.evaluate("() => window.sameLife") is True
    page.tap("#notice-deed")
    page.wait_for_function("() => !window.sameLife && document.body.dataset.ready === 'yes'")
    expect(card(page, "Hood")).to_be_visible()


@pytest.mark.parametrize("name", ["<b>Hood</b><script>x</script>", "__proto__", "constructor", "كبوت أمامي", "🚗 Hood"])
def test_odd_names_are_shown_as_typed(server, phones, name):
    page = phones(server.address)
    heard(page)
    add_panel(page, name)
    heard(page)
    expect(card(page, name).locator("h2")).to_have_text(name)
    page.reload()
    ready(page)
    expect(card(page, name).locator("h2")).to_have_text(name)


def test_a_name_too_long_is_said_beside_the_field_and_not_cut(server, phones):
    page = phones(server.address)
    heard(page)
    page.tap("[data-do=add]")
    page.fill("#add-name", "x" * 201)
    page.locator("#add-routes button").first.tap()
    expect(page.locator("#add-error")).to_have_text(
        "The panel's name may have 200 letters (you typed 201). Nothing was saved."
    )
    assert page.input_value("#add-name") == "x" * 201
    assert page.evaluate(POSTED) == 0
