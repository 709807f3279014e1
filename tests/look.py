"""Pictures of every screen, to be looked at: `python -m tests.look` writes them to tests/pictures/ (not kept in git).

English, Spanish and German; sun and dark; a small phone, a large one, one on its side, a tablet, a laptop, a tablet on
the wall; an empty floor, one panel with a long name, forty panels.  One sheet a lot shows all of it at once.
`python -m tests.look de dark phone forty` makes only the lots that are named; all are 126 and take a while.
`python -m tests.look cards` shows every bench card instead (look_cards.py).
"""

import os
import shutil
import sys
import tempfile
from itertools import product
from pathlib import Path

import django
from django.utils import translation
from playwright.sync_api import sync_playwright

from tests.bench.seed import COOKIE, MIXED, Seeder
from tests.conftest import CHROMIUM_FLAGS, ROOT, chromium_path
from timers.defaults.products import PRODUCTS

from . import look_cards, look_readme
from .browser.conftest import PHONE, TALL_PHONE, Server, heard, ready
from .browser.walk import AWAY

FOLDER = ROOT / "tests/pictures"
SIZES = {
    "phone": PHONE,
    "tall": TALL_PHONE,
    "side": {**PHONE, "viewport": {"width": 740, "height": 360}},
    "tablet": {**PHONE, "viewport": {"width": 1280, "height": 800}},
    "laptop": {**PHONE, "viewport": {"width": 1440, "height": 900}},
    "wall": {**PHONE, "viewport": {"width": 1280, "height": 800}},
    "upright": {**PHONE, "viewport": {"width": 800, "height": 1280}},  # a tablet on the wall too
}
WALLS = {"wall": ("floor", "panel", "book", "phones", "ring", "help"), "upright": ("floor", "panel", "book")}
ON_THE_WALL = """async () => {
  const { $data_state: shop } = await import('/static/joined/floor.js');
  Object.defineProperty(shop.meta, 'role', { get: () => 'wall', set: () => {} });
  dispatchEvent(new Event('hashchange'));
}"""
THEMES = ("sun", "dark")
TONGUES = ("en", "es", "de")
FLOORS = {"none": 0, "one": 1, "forty": 40}
LONG = "Quarter panel, the one with the very long name that nobody wanted to type twice " * 2
SCREENS = ("floor", "panel", "mix", "shelf", "sheet", "table", "book", "ring", "help")
SCREENS += ("phones", "join", "hand", "take", "thermometer")
DIALOGS = {  # name: what is tapped on the floor
    "air": "[data-do=air]",
    "add": "[data-do=add]",
    "lay": ".card .deeds [data-do=lay]:not([hidden])",
    "back": ".card .deeds [data-do=back]:not([hidden])",
}
CONTACT = """([names, wide]) => {
  document.body.style.cssText = 'margin:8px;display:flex;flex-wrap:wrap;gap:8px;background:#888;font:16px sans-serif';
  for (const name of names) {
    const [box, image] = [document.createElement('figure'), document.createElement('img')];
    box.style.margin = 0;
    Object.assign(image, { src: name, width: wide });
    box.append(name.replace('.png', ''), document.createElement('br'), image);
    document.body.append(box);
  }
  return Promise.all([...document.images].map((image) => image.decode()));
}"""


def main(wanted: set[str]) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    django.setup()  # the seeder's steps and products are said in the tongue of the lot
    shutil.rmtree(FOLDER, ignore_errors=True)
    FOLDER.mkdir()
    with tempfile.TemporaryDirectory() as data, sync_playwright() as playwright:
        server = Server(Path(data)).start()
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_FLAGS)
        try:
            for named in product(FLOORS, SIZES, THEMES, TONGUES):
                if _is_wanted(wanted, *named):
                    with translation.override(named[-1]):
                        _lot(browser, server.address, named)
        finally:
            browser.close()
            server.stop()


def _is_wanted(wanted: set[str], *named: str) -> bool:
    groups = (set(FLOORS), set(SIZES), set(THEMES), set(TONGUES))
    return all(name in wanted or not wanted & group for name, group in zip(named, groups, strict=True))


def _lot(browser, address: str, named: tuple[str, str, str, str]) -> None:
    """Every screen of a floor in one size, theme and tongue (a wall: what it may look at), and a sheet of them all."""
    floor, size, theme, tongue = named
    lot, panels, wall = "-".join(named), FLOORS[floor], WALLS.get(size, ())
    seeder = Seeder(address, tongue)
    on = seeder.fill(panels, MIXED) if panels else []
    if panels == 1:
        seeder.tell([seeder.act(on[0], "panel_named", 1, name=LONG[:200], job="A job with a long name too")])
    context = browser.new_context(**SIZES[size], locale=tongue)
    context.add_cookies([{"name": COOKIE, "value": seeder.cookie, "url": address}])
    page = context.new_page()
    page.goto(address)
    ready(page)
    heard(page)
    page.evaluate("() => document.querySelector('[data-do=hush]').click()")  # it says that it knows the shop again
    page.evaluate("(theme) => document.documentElement.dataset.theme = theme", theme)
    screens = [screen for screen in wall or SCREENS if on or screen != "panel"]
    names = [_screen(page, lot, screen, on, bool(wall)) for screen in screens]
    page.evaluate("() => location.hash = '#floor'")
    if on and not wall:
        page.evaluate(AWAY)
        names.append(_screen(page, lot, "floor", on, wall=False, name="away"))
        page.evaluate("() => document.querySelector('[data-do=meanwhile-close]').click()")
    dialogs = {} if wall else DIALOGS
    names += [found for name, button in dialogs.items() if (found := _dialog(page, lot, name, button))]
    context.close()
    _sheet(browser, lot, names, 300 if SIZES[size]["viewport"]["width"] < 500 else 600)


def _screen(page, lot: str, screen: str, on: list[str], wall: bool, name: str = "") -> str:
    about = {"panel": f"={on[0]}" if on else "", "sheet": f"=product:{PRODUCTS[5]['id']}"}.get(screen, "")
    page.evaluate("(hash) => location.hash = hash", f"#{screen}{about}")
    page.locator(f"#screen-{screen}").wait_for()
    if wall:
        page.evaluate(ON_THE_WALL)
    page.wait_for_timeout(400)  # for the eye only: nothing is checked here
    return _shoot(page, f"{lot}-{name or screen}.png", full_page=screen not in ("floor", "shelf"))


def _dialog(page, lot: str, name: str, button: str) -> str:
    buttons = page.locator(button)
    if not buttons.count():
        return ""
    buttons.first.tap()
    page.locator(f"#dialog-{name}").wait_for()
    shot = _shoot(page, f"{lot}-dialog-{name}.png")
    page.keyboard.press("Escape")
    return shot


def _shoot(page, name: str, full_page: bool = False) -> str:
    page.screenshot(path=FOLDER / name, full_page=full_page)
    return name


def _sheet(browser, lot: str, names: list[str], wide: int) -> None:
    page = browser.new_page(viewport={"width": wide * 5 + 60, "height": 800})
    (FOLDER / "sheet.html").write_text("<!doctype html><meta charset=utf-8>", encoding="utf-8")
    page.goto((FOLDER / "sheet.html").as_uri())
    page.evaluate(CONTACT, [names, wide])
    page.screenshot(path=FOLDER / f"all-{lot}.png", full_page=True)
    page.close()


if __name__ == "__main__":
    if sys.argv[1:2] == ["cards"]:
        look_cards.main(set(sys.argv[2:]))
    elif sys.argv[1:] == ["readme"]:
        look_readme.main()
    else:
        main(set(sys.argv[1:]))
