"""Two phones of one shop with no signal between them, and eyes that read what one of them shows."""

import numpy as np
import zxingcpp
from playwright.sync_api import expect

from .conftest import heard, kept_offline
from .test_screens import go

PIXELS = """() => { const { canvas } = document.getElementById('hand-code').getContext('2d');
  const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
  return { wide: canvas.width, grey: [...data].filter((byte, at) => at % 4 === 0) }; }"""
META = """async () => { const { $data_state: { meta } } = await import('/static/joined/floor.js');
  return { key: meta.key, shop: meta.shop, phone: meta.phone, taking: (meta.taking || []).length }; }"""
OUTBOX = """async () => { const { $data_state: shop } = await import('/static/joined/floor.js');
  return shop.rows().map(({ act, why }) => ({ ...act, why: why || '' })); }"""
LOG = """async () => { const headers = { 'X-Sandtime': '1', 'Content-Type': 'application/json' };
  const answer = await fetch('/sync', { method: 'POST', headers, body: JSON.stringify({ cursor: 0 }) });
  return (await answer.json()).fragments.flatMap(({ acts }) => acts); }"""
HELD = """async () => Boolean(await caches.match("/static/vendor/jsQR.js")
  && await caches.match("/static/vendor/lean-qr.mjs"))"""


def away(page):
    """This phone holds all that it needs, and its signal is gone."""
    heard(page)
    kept_offline(page)
    page.evaluate("() => fetch('/clock')")  # the worker fetches the late files with the first request of a page it has
    wait_until(page, HELD)
    page.context.set_offline(True)
    return page


def wait_until(page, script: str, *said):
    """Until an asynchronous question is answered with yes."""
    page.wait_for_function(f"async (said) => ({script})(...said)", arg=list(said))


def back(page):
    """Signal again; wait until all is at the server."""
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    heard(page)


def meta(page) -> dict:
    return page.evaluate(META)


def outbox(page) -> list[dict]:
    return page.evaluate(OUTBOX)


def show(page, *panels: str):
    """The codes of what waits and of these panels whole."""
    go(page, "Book")
    page.tap("text=Hand over with no signal")
    for panel in panels:
        page.locator("#hand-panels button", has_text=panel).tap()
        expect(page.locator("#hand-panels button", has_text=panel)).to_have_attribute("aria-pressed", "true")
    page.tap("#hand-show")
    expect(page.locator("#hand-codes")).to_be_visible()


def picture(page) -> np.ndarray:
    """The code as it stands, grey, one pixel a module, with its quiet edge."""
    said = page.evaluate(PIXELS)
    return np.array(said["grey"], dtype=np.uint8).reshape(-1, said["wide"])


def larger(grey: np.ndarray, times: int = 5) -> np.ndarray:
    return np.ascontiguousarray(grey.repeat(times, axis=0).repeat(times, axis=1))


def read_by_another(grey: np.ndarray) -> str:
    """The text of a code as a reader from elsewhere sees it; at most version 17, at least level M."""
    (found,) = zxingcpp.read_barcodes(larger(grey), formats=zxingcpp.BarcodeFormat.QRCode)
    assert found.ec_level in "MQH"
    assert (len(grey) - 8 - 17) / 4 <= 17
    return found.text


def filmed(codes: list[np.ndarray], wide: int = 640, high: int = 480) -> bytes:
    """What a camera sees before a phone that shows code after code, each for a second; grey where there is none."""
    film = [f"YUV4MPEG2 W{wide} H{high} F10:1 Ip A1:1 C420jpeg\n".encode()]
    for code in codes or [np.full((1, 1), 90, dtype=np.uint8)]:
        seen = larger(code, high // len(code))
        frame = np.full((high, wide), 90, dtype=np.uint8)
        frame[: len(seen), : len(seen)] = seen[:high, :wide]
        film += [b"FRAME\n" + frame.tobytes() + bytes([128]) * (wide * high // 2)] * 10
    return b"".join(film)


def links(page) -> list[str]:
    """What each code says, one after another by the button."""
    said = page.locator("#hand-count").text_content()
    count = int(said.rpartition(" ")[2]) if "of" in said else 1
    found = []
    for no in range(1, count + 1):
        expect(page.locator("#hand-code")).to_have_attribute("data-code", str(no))
        found.append(read_by_another(picture(page)))
        if count > 1:
            page.tap("[data-do=hand-next]")
    return found


def follow(page, link: str):
    """The phone's own camera opens a link."""
    page.evaluate("(link) => { location.hash = new URL(link).hash; }", link)
    page.wait_for_function("() => location.hash === '#take'")
    expect(page.locator("#screen-take")).to_be_visible()


def paste(page, text: str):
    if not page.locator("#take-link").is_visible():
        go(page, "Book")
        page.tap("text=Take from another phone")
    page.fill("#take-link", text)
    page.tap("button[data-do=take-link]")


def take(page):
    page.locator("[data-do=take-take]").tap()
    expect(page.locator("#take-told")).to_contain_text("Taken: ")
    expect(page.locator("#take-sets li")).to_have_count(0)


def at_server(page, kind: str = "") -> list[dict]:
    """The acts of the server's log as a phone with signal is told them, of one kind if named."""
    return [act for act in page.evaluate(LOG) if kind in ("", act["kind"])]
