"""Two phones of a shop, both with signal: what one does the other shows, and how far an act has come is said."""

import re

import pytest
from playwright.sync_api import expect

from .conftest import card, deed, heard, kept_offline, put_panel, ready

pytestmark = pytest.mark.browser
# A page that never looks by itself, and whose streams a test can see.
NO_TICK = "window.setInterval = () => 0;"
STREAMS = """window.streams = [];
  window.EventSource = class extends EventSource { constructor(to) { super(to); window.streams.push(this); } };"""
HIDE = """(state) => { Object.defineProperty(document, 'visibilityState', { value: state, configurable: true });
  document.dispatchEvent(new Event('visibilitychange')); }"""
LISTENS = "() => window.streams.some((stream) => stream.readyState === 1)"
ASK_ALL = "() => { dispatchEvent(new Event('online')); return true; }"


def only_live(page, more: str = ""):
    """The phone begins anew as one that looks at nothing unless it is told to."""
    heard(page)
    page.add_init_script(f"{NO_TICK}{STREAMS}{more}")
    page.reload()
    ready(page)
    heard(page)


def listening(page):
    only_live(page)
    page.wait_for_function(LISTENS)


def test_an_act_on_one_phone_shows_on_the_other_without_its_asking(one_shop, phones):
    one, two = phones(one_shop.address), phones(one_shop.address)
    two.route("**/moved", lambda route: route.abort())
    listening(two)
    put_panel(one, "Hood")
    expect(card(two, "Hood").locator("[data-text=step]")).to_have_text("Wash and degrease")
    deed(card(one, "Hood"), "done")
    expect(card(two, "Hood").locator("[data-text=place]")).to_have_text(re.compile("Step 2 of"))
    deed(card(two, "Hood"), "done")
    expect(card(one, "Hood").locator("[data-text=place]")).to_have_text(re.compile("Step 3 of"))


def test_four_phones_show_one_floor(one_shop, phones):
    pages = [phones(one_shop.address) for _ in range(4)]
    for page in pages:
        listening(page)
    for nth, page in enumerate(pages):
        put_panel(page, f"Panel {nth}")
    for page in pages:
        expect(page.locator("#floor .card")).to_have_count(4)
        heard(page)


@pytest.mark.parametrize("how", ["refused", "held back"])
def test_where_no_stream_comes_through_the_phone_asks_instead_and_says_nothing_of_it(one_shop, phones, how):
    one, two = phones(one_shop.address), phones(one_shop.address)
    silent = """window.EventSource = class extends EventTarget { close() {} };
      const wait = window.setTimeout; window.setTimeout = (work, ms) => wait(work, Math.min(ms, 300));"""
    two.route("**/live?*", lambda route: route.abort())
    only_live(two, silent if how == "held back" else "")
    with two.expect_response(lambda answer: answer.url.endswith("/moved") and answer.status == 304):
        pass
    put_panel(one, "Hood")
    expect(card(two, "Hood")).to_be_attached()
    expect(two.locator("#signal-words")).to_have_text("Saved.")
    assert two.locator("#notice").is_hidden()


def test_a_page_that_nobody_sees_holds_no_stream_and_comes_to_what_it_missed(one_shop, phones):
    one, two = phones(one_shop.address), phones(one_shop.address)
    listening(two)
    two.evaluate(HIDE, "hidden")
    assert two.evaluate("() => window.streams.every((stream) => stream.readyState === 2)")
    put_panel(one, "Hood")
    heard(one)
    assert two.locator("#floor .card").count() == 0
    two.evaluate(HIDE, "visible")
    expect(card(two, "Hood")).to_be_attached()
    two.wait_for_function(LISTENS)
    put_panel(one, "Roof")
    expect(card(two, "Roof")).to_be_attached()


def test_a_server_that_went_and_came_back_is_heard_again(own_server, phones):
    one, two = phones(own_server.address), phones(own_server.address)
    kept_offline(two)
    listening(two)
    own_server.stop()
    expect(two.locator("#signal-words")).to_contain_text("The server is not reached")
    own_server.start()
    one.evaluate(ASK_ALL)
    expect(two.locator("#signal-words")).to_have_text("Saved.", timeout=60_000)
    two.wait_for_function(LISTENS)
    put_panel(one, "Hood")
    expect(card(two, "Hood")).to_be_attached()


def test_a_notice_that_was_lost_is_made_good_by_the_next_look(one_shop, phones):
    one, two = phones(one_shop.address), phones(one_shop.address)
    listening(two)
    two.evaluate(
        "() => { for (const one of window.streams) one.dispatchEvent = one.close; window.streams.at(-1).close(); }"
    )
    put_panel(one, "Hood")
    heard(one)
    assert two.locator("#floor .card").count() == 0
    two.evaluate("(deed) => document.querySelector(deed).click()", "[data-do=sync-now]")
    expect(card(two, "Hood")).to_be_attached()


def test_a_list_says_of_each_act_how_far_it_has_come(one_shop, phones):
    one = phones(one_shop.address)
    heard(one)
    kept_offline(one)
    one.context.set_offline(True)
    put_panel(one, "Hood")
    card(one, "Hood").locator("h2 button").tap()
    mark = one.locator("#acts .actrow [data-text=mark]").first
    expect(mark).to_have_text("on this phone")
    one.context.set_offline(False)
    one.evaluate(ASK_ALL)
    expect(mark).to_have_text("by this phone, at the server")
    two = phones(one_shop.address)
    expect(card(two, "Hood")).to_be_attached()
    told = """() => { dispatchEvent(new Event('online'));
      return document.querySelector('#acts [data-text=mark]')?.textContent.endsWith(', seen by another phone'); }"""
    for _ in range(30):  # the other phone says what it holds now and then only
        two.evaluate(ASK_ALL)
        try:
            one.wait_for_function(told, polling=500, timeout=2_000)
            break
        except Exception:
            continue
    expect(mark).to_have_text("by this phone, seen by another phone")
    card(two, "Hood").locator("h2 button").tap()
    expect(two.locator("#acts .actrow [data-text=mark]").first).to_contain_text(", seen by another phone")
