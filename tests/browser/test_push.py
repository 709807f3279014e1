"""Push on the phone: what the service worker shows, what a tap on it does, and how the room turns it on and off."""

import re

import pytest
from playwright.sync_api import expect

from .conftest import PATIENCE_MS, Server, card, heard, in_hand, kept_offline, lay, put_panel, ready, to_putty
from .delivered import DOOR, SHOWN, Pushed, message
from .test_ringing import SPY, wait_out
from .test_screens import fits

pytestmark = pytest.mark.browser
CLOSED = """async () => {
  for (const one of await (await navigator.serviceWorker.ready).getNotifications()) one.close(); }"""
FILM = """async (on) => {
  const { $data_views: views } = await import('/static/joined/floor.js');
  return views.view(on).films[0].id;
}"""
TOLD = """async (said) => (await fetch('/push/subscribe', {
  method: 'POST', headers: { 'X-Sandtime': '1' }, body: new URLSearchParams(said) })).json()"""
# What a browser says to the service worker; a bare one has no push service to change anything.
CHANGED = """async ([{ endpoint, ...keys }, given]) => {
  const made = { endpoint, options: {}, toJSON: () => ({ endpoint, keys }) };
  self.registration.pushManager.subscribe = async () => made;
  const event = new Event('pushsubscriptionchange');
  event.waitUntil = (work) => (self.renewing = work);
  Object.assign(event, { newSubscription: given ? made : null, oldSubscription: { options: {} } });
  self.dispatchEvent(event);
  await self.renewing;
}"""
FAKE_MANAGER = """(keys) => {
  const { endpoint, ...rest } = keys;
  const unsubscribe = async () => sessionStorage.removeItem('on');
  const made = { endpoint, options: {}, toJSON: () => ({ endpoint, keys: rest }), unsubscribe };
  Notification.requestPermission = async () => 'granted';
  PushManager.prototype.subscribe = async ({ applicationServerKey }) => {
    sessionStorage.setItem('on', applicationServerKey.length);
    return made;
  };
  PushManager.prototype.getSubscription = async () => (sessionStorage.getItem('on') ? made : null);
}"""


@pytest.fixture(scope="module")
def chromium(windowed):
    """Only a browser with a window shows notifications."""
    return windowed


@pytest.fixture
def push_server(tmp_path, push_service):
    running = Server(tmp_path / "data", "--one-shop").start(SANDTIME_PUSH_HOSTS=push_service.host)
    yield running
    running.stop()


@pytest.fixture
def pushed(server, phones):
    return Pushed(phones(server.address), server.address)


def test_a_push_message_is_shown_with_its_words_and_its_tag(pushed):
    pushed.send(message())
    (shown,) = pushed.shown(1)
    assert {key: shown[key] for key in ("title", "body", "tag")} == {key: DOOR[key] for key in ("title", "body", "tag")}


def test_a_message_that_says_nothing_is_shown_all_the_same(pushed):
    for data in ("", "no json", "[]", "{}", '{"notification": null}', '{"notification": {"title": ""}}'):
        pushed.send(data)
        (shown,) = pushed.shown(1)
        assert shown["body"] == "Open Sandtime.", data
        pushed.page.evaluate(CLOSED)
        assert pushed.comes(lambda: pushed.page.evaluate(SHOWN) == [], PATIENCE_MS)


@pytest.mark.parametrize(
    ("locale", "words"),
    [("de-AT", ("Etwas klingelt", "Sandtime öffnen.")), ("es-MX", ("Algo suena", "Abre Sandtime."))],
)
def test_a_message_that_says_nothing_is_shown_in_the_phones_own_language(server, phones, locale, words):
    pushed = Pushed(phones(server.address, locale=locale), server.address)
    pushed.send("no json")
    (shown,) = pushed.shown(1)
    assert (shown["title"], shown["body"]) == words


def test_the_same_ring_twice_is_shown_once_and_heard_once(pushed):
    pushed.send(message())
    pushed.shown(1)
    pushed.send(message(body="Again"))
    (shown,) = pushed.shown(1)
    assert (shown["body"], shown["silent"]) == ("Again", True)


def test_a_page_before_the_person_rings_itself_and_the_push_message_makes_no_noise(pushed):
    pushed.send(message())
    assert [one["silent"] for one in pushed.shown(1)] == [True]


def test_with_no_page_open_it_makes_noise_and_stays_until_it_is_answered(pushed):
    pushed.leave()
    pushed.send(message())
    pushed.page.goto(pushed.address)
    assert [one["silent"] for one in pushed.shown(1)] == [False]


def test_a_tap_on_what_is_shown_goes_to_the_panel_in_the_open_page_and_nowhere_else(pushed):
    put_panel(pushed.page, "Hood")
    heard(pushed.page)
    on = card(pushed.page, "Hood").get_attribute("data-on")
    pushed.page.evaluate("() => { window.stays = 'yes'; }")
    pushed.send(message(navigate=f"https://elsewhere.example/#panel={on}"))
    pushed.shown(1)
    worker = pushed.page.context.service_workers[0]
    worker.evaluate("""async () => { const [notification] = await self.registration.getNotifications();
      self.dispatchEvent(new NotificationEvent('notificationclick', { notification })); }""")
    pushed.page.wait_for_function("(on) => location.hash === `#panel=${on}`", arg=on)
    assert pushed.page.evaluate("() => window.stays") == "yes"
    assert pushed.page.url.startswith(pushed.address)
    assert pushed.page.evaluate(SHOWN) == []


def test_what_rang_by_push_makes_no_noise_again_when_the_page_comes_to_it(server, phones):
    page = in_hand(phones(server.address), SPY)
    page.context.set_offline(False)
    phone = Pushed(page, server.address)
    to_putty(page)
    lay(page, "Hood")
    expect(card(page, "Hood")).to_have_attribute("data-state", "wait")
    heard(page)
    on = card(page, "Hood").get_attribute("data-on")
    film = page.evaluate(FILM, on)
    phone.leave()
    phone.send(message(tag=f"{on} opens sand {film[-12:]}"))
    page.context.set_offline(True)
    page.goto(server.address)
    ready(page)
    wait_out(page, 19, 50)
    page.clock.run_for(15_000)
    expect(page.locator("#ringing-list li [data-text=words]")).to_have_text("Hood: try it: Block P180")
    assert page.evaluate("notes + shakes") == 0


def held(page) -> dict:
    """What the server holds for this phone."""
    return page.evaluate("async () => (await fetch('/push/key', { cache: 'no-store' })).json()")


@pytest.mark.parametrize("given", [True, False], ids=["a new one is given", "it asks for one"])
def test_an_address_that_the_browser_changes_is_told_to_the_server_and_what_rings_here_stays(
    push_server, push_service, phones, given
):
    page = phones(push_server.address)
    heard(page)
    kept_offline(page)
    page.evaluate(TOLD, {**push_service.keys("/old"), "kinds": "shut", "quiet": "1320-360"})
    with page.context.expect_event("request", lambda asked: asked.url.endswith("/push/subscribe")):
        page.context.service_workers[0].evaluate(CHANGED, [push_service.keys("/new"), given])
    for _ in range(200):
        if held(page)["endpoint"].endswith("/new"):
            break
        page.wait_for_timeout(50)
    assert held(page)["endpoint"].endswith("/new")
    assert held(page)["wants"] == {"kinds": ["shut"], "quiet": [1320, 360]}


# --- the room ---


def room(page, push_service):
    """The room, in a browser whose push manager is ours: Debian's Chromium has no push service of its own."""
    heard(page)
    kept_offline(page)
    page.evaluate(FAKE_MANAGER, push_service.keys())
    page.evaluate("() => { location.hash = '#ring'; }")
    return page.locator("#push-words")


def test_push_is_turned_on_told_what_rings_here_and_turned_off(push_server, push_service, phones):
    page = phones(push_server.address)
    words = room(page, push_service)
    expect(words).to_contain_text("Off. With signal")
    page.tap("#push-on")
    expect(words).to_contain_text("On. It rings where there is signal")
    with page.expect_response("**/push/here"):
        page.tap("#ring-kinds button >> nth=0")
    assert "opens" not in held(page)["wants"]["kinds"]
    with page.expect_response("**/push/here"):
        page.tap("#ring-quiet")
    assert held(page)["wants"]["quiet"] == [1320, 360]
    page.tap("#push-try")
    expect(page.locator("#push-tried")).to_have_text(re.compile(r"It rings at \d\d:\d\d:\d\d. Lock the phone now."))
    fits(page)
    page.tap("#push-off")
    expect(words).to_contain_text("Off. With signal")


def test_a_subscription_that_the_server_lost_is_said(push_server, push_service, phones):
    page = phones(push_server.address)
    words = room(page, push_service)
    page.evaluate("() => sessionStorage.setItem('on', '65')")
    page.evaluate("() => { location.hash = '#floor'; }")
    page.reload()
    words = room(page, push_service)
    expect(words).to_contain_text("It has ended, or never quite begun")
    page.tap("#push-on")
    expect(words).to_contain_text("On. It rings")
    push_server.stop()
    page.reload()
    page.evaluate(FAKE_MANAGER, push_service.keys())
    said = page.locator("#push-server [data-asked]")
    expect(said).to_contain_text("The server is not reached: no signal, or it is off.")
    page.tap("#push-server [data-again]")
    expect(said).to_contain_text("Push was asked for on this phone. Whether the server still knows it cannot be told")
