"""Each way in which a phone rings, with a stand-in for what a bare browser has not: when, with what, how often."""

import pytest
from playwright.sync_api import expect

from .conftest import card, in_hand, lay, tell_air, to_putty
from .delivered import SHOWN, Pushed, message
from .test_ringing import wait_out

pytestmark = pytest.mark.browser
SPIES = """(() => {
  window.asked = [];
  window.awake = { asked: 0, let: 0, now: null };
  const request = async (kind) => {
    const lock = new EventTarget();
    window.awake.asked += 1;
    window.awake.now = kind;
    lock.release = async () => {
      window.awake.let += 1;
      window.awake.now = null;
      lock.dispatchEvent(new Event('release'));
    };
    window.lock = lock;
    return lock;
  };
  Object.defineProperty(navigator, 'wakeLock', { value: { request } });
  navigator.vibrate = (pattern) => window.asked.push(['shake', pattern]);
  speechSynthesis.speak = ({ text, lang }) => window.asked.push(['speak', text, lang]);
  speechSynthesis.cancel = () => window.asked.push(['hush']);
  window.seen = 'visible';
  Object.defineProperty(document, 'visibilityState', { get: () => window.seen });
  window.turned = (seen) => {
    window.seen = seen;
    document.dispatchEvent(new Event('visibilitychange'));
  };
})()"""
KEY = """async (on) => {
  const { $data_views: views } = await import('/static/joined/floor.js');
  return `${on} opens sand ${views.view(on).films[0].id.slice(-12)}`;
}"""
# Where the first tone stands in the newest track, in ms from its begin.
TONE = "async () => new Uint8Array(await blob.arrayBuffer(), 44).indexOf(255) / 8"


@pytest.fixture(scope="module")
def chromium(windowed):
    """Only a browser with a window shows notifications."""
    return windowed


@pytest.fixture
def page(server, phones):
    """A phone with a putty that can be tried in twenty minutes."""
    page = in_hand(phones(server.address, permissions=["notifications"]), SPIES)
    to_putty(page)
    lay(page, "Hood")
    expect(card(page, "Hood")).to_have_attribute("data-state", "wait")
    return page


def rung(page):
    """Twenty minutes go by."""
    wait_out(page, 19, 50)
    page.clock.run_for(12_000)
    expect(page.locator("#ringing-list li")).to_have_count(1)


def comes(page, what: str):
    """Wait for what a page must be asked for and takes its time to say: wait_for_function takes a promise for a yes."""
    for _ in range(300):
        if page.evaluate(what):
            return
        page.wait_for_timeout(100)
    raise AssertionError(what)


def shown(page, count: int) -> list[dict]:
    comes(page, f"async () => (await ({SHOWN})()).length === {count}")
    return page.evaluate(SHOWN)


# --- notification ---


def test_a_hidden_page_shows_what_rings_under_the_key_of_the_ring_and_takes_it_away_when_it_is_answered(page):
    page.evaluate("turned('hidden')")
    rung(page)
    (one,) = shown(page, 1)
    on = card(page, "Hood").get_attribute("data-on")
    assert one["title"] == "Hood: try it: Block P180"
    assert one["tag"] == page.evaluate(KEY, on)
    assert one["url"] == f"/#panel={on}"
    page.evaluate("turned('visible')")
    page.locator("#ringing [data-do=silence]").tap()
    assert shown(page, 0) == []


def test_a_page_before_the_person_shows_no_notification(page):
    rung(page)
    assert shown(page, 0) == []


def test_a_tap_on_it_opens_the_panel(page):
    page.evaluate("turned('hidden')")
    rung(page)
    shown(page, 1)
    page.context.service_workers[0].evaluate("""async () => {
      const [notification] = await self.registration.getNotifications();
      self.dispatchEvent(new NotificationEvent('notificationclick', { notification })); }""")
    expect(page.locator("#screen-panel h1")).to_have_text("Hood")
    assert shown(page, 0) == []


def test_a_ring_that_a_push_message_has_shown_is_not_shown_a_second_time(page, server):
    on = card(page, "Hood").get_attribute("data-on")
    pushed = Pushed(page, server.address)
    pushed.send(message(tag=page.evaluate(KEY, on), body="By push"))
    pushed.shown(1)
    page.evaluate("turned('hidden')")
    rung(page)
    (one,) = shown(page, 1)
    assert one["body"] == "By push"


def test_a_push_message_for_what_the_hidden_page_has_shown_makes_no_second_noise(page, server):
    on = card(page, "Hood").get_attribute("data-on")
    pushed = Pushed(page, server.address)
    page.evaluate("turned('hidden')")
    rung(page)
    shown(page, 1)
    pushed.send(message(tag=page.evaluate(KEY, on), body="By push"))
    comes(page, f"async () => (await ({SHOWN})())[0].body === 'By push'")
    (one,) = shown(page, 1)
    assert one["silent"] is True


def test_where_notifications_are_forbidden_the_room_says_so_and_a_ring_goes_its_other_ways(server, phones):
    page = in_hand(phones(server.address, permissions=["midi"]), SPIES)  # what is not named is forbidden
    to_putty(page)
    lay(page, "Hood")
    page.evaluate("() => { location.hash = '#ring'; }")
    way = page.locator(".way", has=page.locator("h3", has_text="Notification"))
    expect(way).to_contain_text("Not allowed.")
    expect(way.locator("button")).to_be_hidden()
    page.evaluate("turned('hidden')")
    rung(page)
    assert page.evaluate("asked.some(([way]) => way === 'shake')")
    assert shown(page, 0) == []


# --- screen, vibration, voice ---


def test_the_screen_is_held_awake_let_go_when_hidden_and_held_again_on_return(page):
    page.wait_for_function("() => awake.now === 'screen'")
    asked = page.evaluate("awake.asked")
    page.evaluate("() => { window.seen = 'hidden'; return lock.release(); }")  # the browser lets go of it by itself
    page.clock.run_for(3_000)
    assert page.evaluate("[awake.now, awake.asked]") == [None, asked]
    page.evaluate("turned('visible')")
    page.wait_for_function("() => awake.now === 'screen'")
    assert page.evaluate("awake.asked") == asked + 1


def test_the_screen_may_sleep_once_nothing_rings_within_the_hour(page):
    page.wait_for_function("() => awake.now === 'screen'")
    rung(page)
    page.locator("#ringing [data-do=silence]").tap()
    page.clock.run_for(2_000)
    page.wait_for_function("() => awake.now === null")


def test_a_ring_shakes_and_says_its_words_aloud_where_that_is_chosen(page):
    page.evaluate("() => { location.hash = '#ring'; }")
    page.locator(".way", has_text="Voice").locator("button").tap()
    page.wait_for_function("() => asked.some(([way]) => way === 'speak')")
    page.evaluate("() => { window.asked = []; }")
    rung(page)
    assert page.evaluate("asked.filter(([way]) => way === 'speak')") == [["speak", "Hood: try it: Block P180", "en"]]
    assert [pattern for way, pattern in page.evaluate("asked.filter(([way]) => way === 'shake')") if pattern] == [
        [300, 200, 300, 200, 300]
    ]
    page.evaluate("() => { window.asked = []; }")
    page.locator("#ringing [data-do=silence]").tap()
    page.wait_for_function("() => asked.some(([way]) => way === 'hush')")
    assert ["shake", 0] in page.evaluate("asked")  # it stops at once


# --- the track ---


def test_the_track_is_named_after_the_next_ring_and_made_anew_when_the_clocks_move(page):
    page.evaluate("""() => {
      const made = URL.createObjectURL;
      URL.createObjectURL = (blob) => {
        window.blob = blob;
        return made.call(URL, blob);
      };
      location.hash = '#ring';
    }""")
    page.locator(".way", has_text="Track for the locked phone").locator("button").tap()
    page.wait_for_function("() => window.blob && navigator.mediaSession.metadata")
    first, early = page.evaluate("navigator.mediaSession.metadata.title"), page.evaluate(TONE)
    assert first.endswith("Hood: try it: Block P180")
    assert 15 * 60_000 < early <= 20 * 60_000
    tell_air(page, 30)
    page.clock.run_for(2_000)
    comes(page, f"async () => (await ({TONE})()) < {early} - 120_000")
    later = page.evaluate("navigator.mediaSession.metadata.title")
    assert later.endswith("Hood: try it: Block P180")
    assert later != first
