"""What the road does to a tap: answers lost, servers in trouble, refusals, new versions; and odd things typed."""

import pytest
from playwright.sync_api import expect

from .conftest import add_panel, card, heard, kept_offline, lay, ready, to_putty

pytestmark = pytest.mark.browser
ODD = ["<b>Hood</b><script>x</script>", "__proto__", "constructor", "كبوت أمامي", "🚗 Fender"]

POSTED = "async () => (await import('/static/joined/floor.js')).$data_state.unsent().length"


def signal(page):
    return page.locator("#signal-words")


def test_an_answer_lost_on_the_way_is_asked_again_and_changes_nothing_twice(one_shop, phones):
    page = phones(one_shop.address, service_workers="block")
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
    other = phones(one_shop.address)
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
    page = phones(server.address, service_workers="block")
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
    page.evaluate("""async () => {
      const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
      const acts = (await import('/static/joined/actions.js')).$data_acts;
      const act = {...acts.made(queries.onFloor()[0], 'step_done', {})[0], at: Date.UTC(2100, 0, 1)};
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
    page.wait_for_function("() => !window.sameLife && document.body?.dataset.ready === 'yes'")
    expect(card(page, "Hood")).to_be_visible()


def test_odd_names_are_shown_as_typed(server, phones):
    page = phones(server.address)
    heard(page)
    for name in ODD:
        add_panel(page, name)
        heard(page)
        expect(card(page, name).locator("h2")).to_have_text(name)
    page.reload()
    ready(page)
    for name in ODD:
        expect(card(page, name).locator("h2")).to_have_text(name)


def test_a_name_too_long_is_said_beside_the_field_and_not_cut(server, phones):
    page = phones(server.address)
    heard(page)
    page.tap("[data-do=add]")
    page.fill("#add-name", "x" * 201)
    page.locator("#add-routes button", has_text="Chips").tap()
    expect(page.locator("#add-error")).to_have_text(
        "The panel's name may have 200 letters (you typed 201). Nothing was saved."
    )
    assert page.input_value("#add-name") == "x" * 201
    assert page.evaluate(POSTED) == 0


def test_a_tap_before_all_of_sandtime_is_here_and_with_no_signal_is_said_and_goes_through_later(server, phones):
    page = phones(server.address, service_workers="block")
    heard(page)
    page.context.set_offline(True)
    page.tap("[data-do=add]")
    expect(page.locator("#notice-words")).to_contain_text("Sandtime is not whole on this phone yet")
    page.context.set_offline(False)
    add_panel(page, "Hood")
    expect(card(page, "Hood")).to_be_visible()
