"""The main journeys in engines that are not Chromium: half of the phones are not.

One shop on two phones of one engine, from the first visit to the server's return; each test goes on where the one
before it stopped, as a morning in a shop does.
"""

import pytest

from tests.browser.conftest import Server
from tests.browser.handed import LOG, PIXELS, read_by_another

from .firefox import Firefox
from .phone import Phone
from .webkit import WebKit

WHOLE = "() => navigator.serviceWorker.controller !== null && document.body.dataset.whole === 'yes'"
LATE_FILES = """async () => Boolean(await caches.match('/static/vendor/jsQR.js')
  && await caches.match('/static/vendor/lean-qr.mjs'))"""
TICK = "() => new Promise((done) => setTimeout(() => done(true), 400))"
# What this engine has, asked of the engine and not of our scripts.
HAS = """() => ({ shake: 'vibrate' in navigator, voice: 'speechSynthesis' in window, awake: 'wakeLock' in navigator,
  sound: 'AudioContext' in window, notify: 'Notification' in window, push: 'PushManager' in window })"""
LACKS = {
    "shake": "This phone or browser cannot vibrate for a page.",
    "voice": "This browser has no voice.",
    "awake": "This browser cannot hold the screen awake.",
    "sound": "This browser makes no sound.",
    "notify": "This browser has none.",
    "push": "This browser takes no push messages.",
}


class Shop:
    """A server and two phones of its shop."""

    def __init__(self, engine, folder):
        self.server = Server(folder / "data", "--one-shop").start()
        self.engines = []
        self.one, self.two = (self.phone(engine) for _ in range(2))

    def phone(self, engine) -> Phone:
        self.engines.append(engine())
        return Phone(self.engines[-1], self.server.address)

    def close(self):
        for one in self.engines:
            one.close()
        self.server.stop()


@pytest.fixture(scope="module", params=[Firefox, WebKit], ids=["Firefox", "WebKit"])
def shop(request, tmp_path_factory):
    running = Shop(request.param, tmp_path_factory.mktemp("shop"))
    yield running
    running.close()


def test_a_first_visit_ends_in_a_shop_and_a_phone_that_needs_no_signal(shop):
    for phone in (shop.one, shop.two):
        phone.heard()
        phone.until(WHOLE)
        phone.run("() => fetch('/clock').then(() => null)")
        phone.until(LATE_FILES)


def test_a_panel_gets_its_clock_and_the_other_phone_shows_it(shop):
    one, two = shop.one, shop.two
    one.tap("[data-do=air]")
    one.tap("[data-do=air-tell]")
    one.add_panel("Left door", "Chips and small dings")
    for _ in range(3):
        before = one.card("Left door")["step"]
        one.tap("#floor .deeds [data-do=done]")
        one.until("(step) => document.querySelector('#floor .card [data-text=step]').textContent !== step", before)
    assert one.card("Left door")["step"] == "Glazing putty"
    one.tap("#floor .deeds [data-do=lay]")
    one.tap("#lay-offers button")
    one.until("() => document.querySelector('#floor .card').dataset.state === 'wait'")
    one.heard()
    two.shows("#floor .card [data-text=say]", one.card("Left door")["say"])
    assert two.card("Left door")["state"] == "wait"


def test_with_no_server_both_start_cold_and_take_taps(shop):
    shop.server.stop()
    clock = shop.one.card("Left door")["say"]
    for phone in (shop.one, shop.two):
        phone.cold()
        phone.shows("#floor .card [data-text=say]", clock)
        phone.until("() => document.getElementById('signal').dataset.mood !== 'heard'")
    shop.one.add_panel("Tailgate", "Empty")
    shop.one.shows("#signal-words", "1 tap")
    shop.one.cold()
    shop.one.shows("#floor .card h2", "Tailgate")


def test_the_page_rings_and_says_in_words_what_this_engine_lacks(shop):
    phone = shop.two
    phone.go("Book")
    phone.tap("#screen-book a[href='#ring']")
    phone.shows("#ring-ways li", "Sound")
    has = phone.run(HAS)
    says = phone.run("() => document.getElementById('screen-ring').innerText")
    assert {key: words in says for key, words in LACKS.items()} == {key: not has[key] for key in LACKS}
    print(f"{phone.name} has no {', '.join(key for key in LACKS if not has[key]) or 'lack'}")
    phone.tap("[data-do=ring-trial]")
    phone.shows("#ring-trial-words", "this page rang on time")
    phone.tap("#ring-trial-asked button", "Yes, I heard it")
    phone.until("() => document.getElementById('ring-trial-asked').hidden")


def test_a_tap_goes_from_phone_to_phone_by_codes_with_no_server(shop):
    one, two = shop.one, shop.two
    one.go("Book")
    one.tap("#screen-book a", "Hand over with no signal")
    one.tap("#hand-show")
    one.shows("#hand-codes", "")
    one.until("() => document.getElementById('hand-code').dataset.code === '1'")
    one.run(TICK)
    link = read_by_another(_picture(one))
    two.run("(link) => { location.hash = new URL(link).hash; }", link)
    two.shows("#screen-take .set", "Panel added: Tailgate")
    two.tap("[data-do=take-take]")
    two.shows("#take-told", "Taken: ")
    two.go("Floor")
    two.shows("#floor .card h2", "Tailgate")


def test_when_the_server_is_back_each_tap_is_in_its_log_once(shop):
    shop.server.start()
    for phone in (shop.one, shop.two):
        phone.run("() => { dispatchEvent(new Event('online')); }")
        phone.heard()
    acts = [act for act in shop.one.run(LOG) if act["on"].startswith("panel:")]
    assert len({act["id"] for act in acts}) == len(acts)
    assert sorted(act["kind"] for act in acts) == ["film_laid", "panel_added", "panel_added", *["step_done"] * 3]


def _picture(phone):
    import numpy as np

    seen = phone.run(PIXELS)
    return np.array(seen["grey"], dtype=np.uint8).reshape(-1, seen["wide"])
