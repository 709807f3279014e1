"""Codes taken with the eye of the phone: by camera, by photo, by the browser's own reader; and when it cannot see."""

import numpy as np
import pytest
from playwright.sync_api import expect

from tests.conftest import CHROMIUM_FLAGS, chromium_path
from tests.support import packs
from tests.support.bad_packs import read

from .conftest import PHONE, heard, put_panel, ready
from .handed import away, back, filmed, links, meta, outbox, picture, read_by_another, show, take
from .test_handing import pair, three_taps
from .test_screens import fits, go

pytestmark = pytest.mark.browser
OWN_READER = """globalThis.BarcodeDetector = class {
  static getSupportedFormats = async () => ['qr_code'];
  detect = async (picture) => (picture instanceof ImageBitmap ? [{ rawValue: globalThis.sees }] : []); };"""
BROKEN_READER = """globalThis.BarcodeDetector = class {
  static getSupportedFormats = async () => ['qr_code'];
  detect = async () => { throw new DOMException('service', 'NotSupportedError'); }; };"""
RUNS = (
    """() => document.getElementById('take-video').srcObject.getTracks().some((track) => track.readyState === 'live')"""
)
HELD = """async () => {
  while (!(await caches.match('/static/vendor/jsQR.js'))) await new Promise((go) => setTimeout(go, 50));
}"""
FORGET = """async () => { for (const name of await caches.keys()) {
  await (await caches.open(name)).delete('/static/vendor/jsQR.js'); } }"""
NO_CAMERA = (
    """(name) => { navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('no', name)); }"""
)


@pytest.fixture
def filming(chromium, tmp_path):
    """Makes phones whose camera sees a film, which is written when the codes are known: (page, path of the film)."""
    film = tmp_path / "seen.y4m"
    flags = ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"]
    flags += [f"--use-file-for-fake-video-capture={film}"]
    browser = chromium.browser_type.launch(executable_path=chromium_path(), args=CHROMIUM_FLAGS + flags)
    errors = []

    def make(address: str):
        page = browser.new_context(**PHONE).new_page()
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda said: errors.append(said.text) if "Content Security Policy" in said.text else None)
        page.goto(address)
        ready(page)
        return page, film

    yield make
    browser.close()
    assert errors == []


def at_taking(page):
    go(page, "Book")
    page.tap("text=Take from another phone")
    expect(page.locator("#take-scan")).to_be_visible()


def pictures(page) -> list:
    """Every code as it stands on the screen of the phone that gives."""
    count = len(links(page))
    found = []
    for no in range(1, count + 1):
        expect(page.locator("#hand-code")).to_have_attribute("data-code", str(no))
        found.append(picture(page))
        if count > 1:
            page.tap("[data-do=hand-next]")
    return found


def test_the_camera_sees_code_after_code_with_no_signal(one_shop, phones, filming):
    one = phones(one_shop.address)
    heard(one)
    two, film = filming(one_shop.address)
    away(one)
    away(two)
    for n in range(8):
        put_panel(one, f"Panel number {n} of the long van", "Chips and small dings")
    show(one)
    codes = pictures(one)
    assert len(codes) > 1
    film.write_bytes(filmed(codes))
    at_taking(two)
    two.tap("#take-scan")
    expect(two.locator(".set .say")).to_contain_text("8 taps on 8 panels", timeout=60_000)
    expect(two.locator("#take-video")).to_be_hidden()  # what is whole needs no camera any more
    expect(two.locator("#take-scan")).to_have_text("Scan with the camera")
    take(two)
    go(two, "Floor")
    expect(two.locator("#floor .card")).to_have_count(8)
    back(two)
    back(one)
    assert outbox(one) == outbox(two) == []


def test_the_camera_stops_by_its_button_and_when_the_room_is_left(server, filming):
    page, film = filming(server.address)
    heard(page)
    film.write_bytes(filmed([]))
    at_taking(page)
    for stop in ("#take-scan", ".bar a[href='#floor']"):
        page.tap("#take-scan")
        expect(page.locator("#take-scan")).to_have_text("Stop the camera")
        fits(page)
        assert page.evaluate(RUNS)
        page.tap(stop)
        page.wait_for_function("() => document.getElementById('take-video').srcObject === null")


@pytest.mark.parametrize("script", ["", BROKEN_READER], ids=["no reader of its own", "one that does not work"])
def test_photos_of_the_other_phone_are_read_with_no_signal(one_shop, phones, script):
    one, two = pair(
        one_shop, phones, device_scale_factor=2
    )  # any phone's camera sees more dots than its screen's layout
    three_taps(one)
    show(one)
    shots = []
    for theme in ("sun", "dark"):
        one.evaluate("(theme) => document.documentElement.dataset.theme = theme", theme)
        shots.append({"name": f"{theme}.png", "mimeType": "image/png", "buffer": one.screenshot()})
    two.add_init_script(script)
    for shot in shots:
        two.reload()
        ready(two)
        at_taking(two)
        two.set_input_files("#take-photo", shot)
        expect(two.locator(".set .say")).to_contain_text("3 taps on 1 panel")
        two.locator("[data-do=take-leave]").tap()
        expect(two.locator("#take-sets li")).to_have_count(0)


def test_the_browsers_own_reader_is_asked_first_and_nothing_else_is_loaded(server, phones):
    page = phones(server.address)
    heard(page)
    known = meta(page)
    page.add_init_script(OWN_READER)
    page.reload()
    ready(page)
    at_taking(page)
    (text,) = packs.made([read()], known["key"], known["shop"])
    page.evaluate("(text) => { globalThis.sees = text; }", f"https://other.example/#take={text}")
    page.set_input_files("#take-photo", {"name": "a.png", "mimeType": "image/png", "buffer": page.screenshot()})
    expect(page.locator(".set .say")).to_contain_text("1 tap on the air")
    assert page.evaluate("() => globalThis.jsQR === undefined")


def test_a_picture_with_no_code_and_a_file_that_is_no_picture_are_said_in_words(server, phones):
    page = phones(server.address)
    heard(page)
    at_taking(page)
    page.set_input_files("#take-photo", {"name": "a.png", "mimeType": "image/png", "buffer": page.screenshot()})
    expect(page.locator("#take-why")).to_contain_text("No code is seen in this picture.")
    page.set_input_files("#take-photo", {"name": "a.png", "mimeType": "image/png", "buffer": b"no picture"})
    expect(page.locator("#take-why")).to_contain_text("This file is no picture")


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("NotAllowedError", "The browser may not use the camera here."),
        ("NotFoundError", "This phone has no camera"),
        ("NotReadableError", "Another app holds the camera."),
        ("AbortError", "The camera did not start."),
    ],
)
def test_a_camera_that_is_refused_or_missing_is_said_with_another_way(server, phones, name, words):
    page = phones(server.address)
    heard(page)
    at_taking(page)
    page.evaluate(NO_CAMERA, name)
    page.tap("#take-scan")
    expect(page.locator("#take-why")).to_contain_text(words)
    expect(page.locator("#take-why")).to_contain_text("A photo of the code does as well.")
    expect(page.locator("#take-scan")).to_have_text("Scan with the camera")


def test_a_reader_that_is_not_on_the_phone_yet_is_said(server, phones):
    page = phones(server.address, worker=True)
    heard(page)
    at_taking(page)
    page.route("**/jsQR.js", lambda route: route.abort())
    page.evaluate(HELD)
    page.evaluate(FORGET)
    page.set_input_files("#take-photo", {"name": "a.png", "mimeType": "image/png", "buffer": page.screenshot()})
    expect(page.locator("#take-why")).to_contain_text("The reader of codes is not on this phone yet")


LINKS = """async ([counts, hosts, meta]) => {
  const { $handover_codec: handing } = await import('/static/joined/handover.js');
  const { $data_acts: acts } = await import('/static/joined/actions.js');
  const { generate, correction } = await import('/static/vendor/lean-qr.mjs');
  const drawn = (link) => { const code = generate(link, { minCorrectionLevel: correction.M, maxVersion: 17 });
    const line = [...Array(code.size).keys()];
    return [link, line.map((y) => line.map((x) => code.get(x, y)))]; };
  const made = [];
  for (const host of hosts) for (const count of counts) {
    const some = Array.from({ length: count }, () => acts.born('air', 'air_read', { temp_dc: 200, rh_pm: 500 }));
    made.push((await handing.links(some, meta, host)).map(drawn)); }
  return made; }"""


def test_another_reader_reads_every_code_at_most_version_17_m(server, phones):
    page = phones(server.address)
    at_taking(page)
    heard(page)
    known = meta(page)
    hosts = ["http://localhost:8000/", "https://clock.example.org/", f"https://{'long-name.' * 20}example.org/"]
    counts = [1, 2, 5, 12, 60]
    sets = page.evaluate(LINKS, [counts, hosts, known])
    for made, count in zip(sets, counts * len(hosts), strict=True):
        texts = [read_by_another(_edged(rows)) for _, rows in made]
        assert texts == [link for link, _ in made]
        given = packs.opened([text.partition("#take=")[2] for text in texts], known["key"], known["shop"])
        assert len(given) == count


def _edged(rows: list[list[bool]]) -> np.ndarray:
    """Modules as a grey picture with a quiet edge."""
    return np.pad(np.where(np.array(rows), 0, 255).astype(np.uint8), 4, constant_values=255)
