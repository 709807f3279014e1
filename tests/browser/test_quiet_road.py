"""What is said of a server that is silent, gone or new; and that nothing waits for a permission."""

import contextlib
import socket

import pytest
from playwright.sync_api import expect

from .conftest import PHONE, add_panel, card, heard, kept_offline, ready

pytestmark = pytest.mark.browser
NEVER = "navigator.storage.persist = () => { window.asked = (window.asked ?? 0) + 1; return new Promise(() => {}); };"


def words(page):
    return page.locator("#signal-words")


def test_a_question_about_storage_that_nobody_answers_holds_nothing_up(one_shop, phones, chromium):
    first = phones(one_shop.address)
    add_panel(first, "Hood")
    heard(first)
    page = phones(one_shop.address)
    page.add_init_script(NEVER)
    page.reload()
    heard(page)
    expect(card(page, "Hood")).to_be_visible()
    assert page.evaluate("() => window.asked") is None  # nothing was tapped yet
    for name in ("Roof", "Tailgate"):
        add_panel(page, name)
        expect(card(first, name)).to_be_visible()
    assert page.evaluate("() => window.asked") == 1


def test_a_server_that_takes_the_call_and_says_nothing_is_said_to_be_asked_and_then_not_to_answer(own_server, phones):
    page = phones(own_server.address)
    heard(page)
    kept_offline(page)
    page.wait_for_function("() => document.body.dataset.whole === 'yes'")
    own_server.stop()
    with socket.create_server(("127.0.0.1", own_server.port)):
        page.clock.install()
        page.reload()
        ready(page)
        expect(words(page)).to_have_text("Asking.")
        page.clock.run_for(2_000)
        expect(words(page)).to_have_text("Asking the server. Clocks keep running.")
        page.clock.run_for(8_000)
        expect(words(page)).to_have_text("The server does not answer. Clocks keep running.")
        add_panel(page, "Hood")
        expect(words(page)).to_contain_text("1 tap waits on this phone")


def test_a_post_that_is_not_answered_is_said_and_given_up_and_told_again(server, phones):
    page = phones(server.address, service_workers="block")
    page.clock.install()
    page.reload()
    heard(page)
    held = []
    page.route("**/sync", lambda route: held.append(route))  # noqa: PLW0108 - it counts the arguments
    add_panel(page, "Hood")
    expect(words(page)).to_have_text("Sending 1 tap.")
    page.clock.run_for(9_000)
    expect(words(page)).to_have_text("The server does not answer. Clocks keep running. 1 tap waits on this phone.")
    page.clock.run_for(53_000)
    page.unroute("**/sync")
    page.clock.run_for(10_000)
    heard(page)


def test_an_open_page_finds_a_new_version_by_itself_and_an_idle_wall_takes_it(own_server, phones):
    page, wall = phones(own_server.address), phones(own_server.address)
    for one in (page, wall):
        heard(one)
        kept_offline(one)
        one.evaluate("() => { window.sameLife = true; }")
    wall.evaluate("""async () => { const { $data_state: shop } = await import('/static/joined/floor.js');
      Object.defineProperty(shop.meta, 'role', { get: () => 'wall', set: () => {} }); }""")
    own_server.stop()
    expect(words(page)).to_contain_text("The server is not reached: no signal, or it is off.")
    own_server.start(SANDTIME_RELEASE="two")
    page.evaluate("() => dispatchEvent(new Event('online'))")
    wall.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")
    expect(page.locator("#notice-words")).to_have_text("A new version of Sandtime is on this phone.")
    assert page.evaluate("() => window.sameLife") is True
    wall.wait_for_function("() => !window.sameLife && document.body?.dataset.ready === 'yes'")


def test_no_new_version_is_asked_for_while_something_rings(server, phones):
    page = phones(server.address)
    heard(page)
    kept_offline(page)
    page.wait_for_function("() => document.body.dataset.whole === 'yes'")
    page.evaluate("""async () => { await navigator.serviceWorker.ready; window.looks = 0;
      ServiceWorkerRegistration.prototype.update = async () => { window.looks += 1; };
      const now = performance.now.bind(performance);
      performance.now = () => now() + 60_000; }""")  # it may have looked just before
    look = "() => { document.body.dataset.ringing = '%s'; dispatchEvent(new Event('online')); return window.looks; }"
    assert page.evaluate(look % "yes") == 0
    assert page.evaluate(look % "no") == 1


def test_a_sheet_opened_before_the_first_answer_offers_the_ways_once_they_come(server, chromium):
    with contextlib.closing(chromium.new_context(**PHONE, service_workers="block")) as context:
        page = context.new_page()
        held = []
        page.route("**/sync", lambda route: held.append(route))  # noqa: PLW0108 - it counts the arguments
        page.goto(server.address)
        page.tap("[data-do=add]")
        ways = page.locator("#add-routes button")
        expect(ways).to_have_count(1)
        page.unroute("**/sync")  # lets go what is held
        expect(ways.filter(has_text="Chips and small dings")).to_be_visible()


def test_what_taps_and_rings_need_is_asked_for_again_where_it_did_not_come(server, chromium):
    with contextlib.closing(chromium.new_context(**PHONE, service_workers="block")) as context:
        page = context.new_page()
        lost = []

        def lose_the_first(route):
            lost.append(route)
            route.abort() if len(lost) == 1 else route.continue_()

        page.route("**/joined/actions.js", lose_the_first)
        page.add_init_script("""Object.defineProperty(navigator.serviceWorker, 'controller',
          { get: () => ({ postMessage() {} }) });""")  # as on every visit but the first
        page.goto(server.address)
        page.wait_for_function("() => document.body?.dataset.whole === 'yes'")
        assert len(lost) > 1
