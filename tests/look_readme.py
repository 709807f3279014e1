"""The pictures of README.md, from the running tool: `python -m tests.look readme` writes them to tests/readme/, which
git keeps.  A phone makes the demo shop by a tap, as a person does, and shows its screens; small files, at the size of a
phone.
"""

import base64
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import expect, sync_playwright

from tests.conftest import CHROMIUM_FLAGS, ROOT, chromium_path

from .browser.conftest import PHONE, Server, demo_floor, heard, kept_offline, tell_air

FOLDER = ROOT / "tests/readme"
QUALITY = 80
SHOTS = {  # name: the screen that it shows
    "floor": "floor",
    "panel": "panel",
    "mix": "mix",
    "ring": "ring",
}


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as data, sync_playwright() as playwright:
        server = Server(Path(data)).start()
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_FLAGS)
        try:
            page = browser.new_context(**PHONE, timezone_id=_midday()).new_page()
            _demo(page, server.address)
            for name, screen in SHOTS.items():
                _shoot(page, name, screen)
        finally:
            browser.close()
            server.stop()


def _midday() -> str:
    """A time zone in which it is about two in the afternoon: no window then goes over midnight."""
    ahead = (14 - datetime.now(UTC).hour + 11) % 24 - 11
    return f"Etc/GMT{-ahead:+d}"  # the sign of these names is turned round


def _demo(page, address: str) -> None:
    demo_floor(page, address)
    tell_air(page, 21)
    expect(page.locator("#undo")).to_be_hidden()
    heard(page)
    kept_offline(page)


def _shoot(page, name: str, screen: str) -> None:
    about = page.locator("#floor .card").nth(1).get_attribute("data-on") if screen == "panel" else ""
    page.evaluate("(hash) => location.hash = hash", f"#{screen}{about and f'={about}'}")
    expect(page.locator(f"#screen-{screen}")).to_be_visible()
    page.evaluate("() => { scrollTo(0, 0); document.activeElement.blur(); }")
    page.wait_for_timeout(400)  # for the eye only: nothing is checked here
    asked = {"format": "webp", "quality": QUALITY}
    shot = page.context.new_cdp_session(page).send("Page.captureScreenshot", asked)["data"]
    (FOLDER / f"{name}.webp").write_bytes(base64.b64decode(shot))
