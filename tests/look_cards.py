"""Pictures of every bench card, whole, as a phone shows it: `python -m tests.look cards`, into tests/pictures/.

In sun and dark and in every language, with sheets of eight beside each other; `... cards de dark` makes those only.
"""

import tempfile
from itertools import product
from pathlib import Path

from playwright.sync_api import expect, sync_playwright

from tests.conftest import CHROMIUM_FLAGS, ROOT, chromium_path
from timers.defaults.bench_cards import CARDS

from .browser.conftest import PHONE, Server, ready

FOLDER = ROOT / "tests/pictures"
THEMES, TONGUES = ("sun", "dark"), ("en", "es", "de")
WHOLE = {**PHONE, "viewport": {"width": 360, "height": 2400}}
IN_A_ROW = 8
SHEET = """(names) => {
  document.body.style.cssText = 'margin:8px;display:flex;gap:8px;align-items:start;background:#888';
  for (const name of names) document.body.append(Object.assign(document.createElement('img'), { src: name }));
  return Promise.all([...document.images].map((image) => image.decode()));
}"""


def main(wanted: set[str]) -> None:
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as data, sync_playwright() as playwright:
        server = Server(Path(data)).start()
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_FLAGS)
        try:
            for theme, tongue in product(_of(THEMES, wanted), _of(TONGUES, wanted)):
                page = browser.new_context(**WHOLE, locale=tongue).new_page()
                page.goto(f"{server.address}#help=cards")
                ready(page)
                page.evaluate("(theme) => document.documentElement.dataset.theme = theme", theme)
                names = [_shoot(page, key, f"card-{theme}-{tongue}") for key in CARDS]
                page.context.close()
                _sheets(browser, names, f"all-cards-{theme}-{tongue}")
        finally:
            browser.close()
            server.stop()


def _of(names: tuple[str, ...], wanted: set[str]) -> tuple[str, ...]:
    return tuple(name for name in names if name in wanted) or names


def _shoot(page, key: str, lot: str) -> str:
    page.locator(f"#help-cards [data-card={key}]").tap()
    expect(page.locator(f"#how-card [data-card={key}]")).to_be_visible()
    name = f"{lot}-{key}.png"
    page.locator("#how-card").screenshot(path=FOLDER / name)
    page.keyboard.press("Escape")
    return name


def _sheets(browser, names: list[str], lot: str) -> None:
    for nth, start in enumerate(range(0, len(names), IN_A_ROW)):
        page = browser.new_page(viewport={"width": 360 * IN_A_ROW, "height": 800})
        (FOLDER / "sheet.html").write_text("<!doctype html><meta charset=utf-8>", encoding="utf-8")
        page.goto((FOLDER / "sheet.html").as_uri())
        page.evaluate(SHEET, names[start : start + IN_A_ROW])
        page.screenshot(path=FOLDER / f"{lot}-{nth}.png", full_page=True)
        page.close()
