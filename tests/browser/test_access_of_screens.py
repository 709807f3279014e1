"""Every screen and every sheet that asks, for eyes, ears and gloves: axe, contrast, targets, large text, sizes."""

import importlib.resources
from pathlib import Path

import pytest

from .conftest import PHONE, TALL_PHONE, in_hand
from .walk import stops

pytestmark = pytest.mark.browser
AXE = importlib.resources.files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")
MEASURES = Path(__file__).with_name("measures.js").read_text("utf-8")
# WCAG 2.0 to 2.2, levels A and AA, as axe names them.
# Another theme changes colours and nothing else, so only the rule about those is asked in the second.
RULES = """async (theme) => {
  const all = { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] };
  const runOnly = theme === 'sun' ? all : { type: 'rule', values: ['color-contrast'] };
  const quickly = { resultTypes: ['violations'], preload: false, iframes: false };
  const { violations } = await axe.run(document, { runOnly, ...quickly });
  return violations.flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html.slice(0, 160)}`));
}"""
THEME = "(theme) => { document.documentElement.dataset.theme = theme; }"
SIZED = """['sideways', 'small', 'clipped', 'broken', 'covered']
  .flatMap((look) => measures[look]().map((said) => `${look}: ${said}`))"""
TWICE = "(size) => { document.documentElement.style.fontSize = size; }"  # html is at 17 px
LOOKS = {"sun": PHONE["viewport"], "dark": TALL_PHONE["viewport"]}
OTHERS = {
    "a phone on its side": (740, 360),
    "a tablet on the wall": (1280, 800),
    "the same upright": (800, 1280),
    "a laptop": (1440, 900),
    "a tall phone": (412, 915),
}


@pytest.fixture(scope="module")
def found(server, chromium):
    """The whole walk, once: what was found wrong, by what was looked for and where."""
    context = chromium.new_context(**PHONE, service_workers="allow")
    page = context.new_page()
    page.goto(server.address)
    page.wait_for_function("() => document.body?.dataset.ready === 'yes'")
    in_hand(page)
    page.evaluate(AXE)
    page.evaluate(MEASURES)
    wrong: dict[str, dict] = {}
    names = []
    for name in stops(page):
        names.append(name)
        for what, said in looked_at(page):
            if said:
                wrong.setdefault(what, {})[name] = said
    wrong["stops"] = names
    yield wrong
    context.close()


def looked_at(page):
    """Each look at the page as it stands, and what it found."""
    for theme, size in LOOKS.items():
        page.set_viewport_size(size)
        page.evaluate(THEME, theme)
        yield f"axe, {theme}", page.evaluate(RULES, theme)
        yield f"contrast, {theme}", page.evaluate("measures.faint()")
    page.evaluate(THEME, "sun")
    for what, (width, height) in OTHERS.items():
        page.set_viewport_size({"width": width, "height": height})
        yield f"size, {what}", page.evaluate(SIZED)
    page.set_viewport_size(PHONE["viewport"])
    yield "size, a phone", page.evaluate(SIZED)
    yield "reached by keys", page.evaluate("measures.unreached()")
    page.evaluate(TWICE, "34px")
    yield "text twice as large", page.evaluate(SIZED.replace("'small', ", ""))
    page.evaluate(TWICE, "")
    page.set_viewport_size({"width": 1280, "height": 800})
    page.evaluate(TWICE, "34px")
    yield "text twice as large, a tablet", page.evaluate(SIZED.replace("'small', ", ""))
    page.set_viewport_size(PHONE["viewport"])
    page.evaluate(TWICE, "")


def test_the_walk_comes_to_every_screen_and_every_sheet(found):
    assert len(found["stops"]) == len(set(found["stops"])) >= 22


@pytest.mark.parametrize(
    "what",
    [
        *(f"{look}, {theme}" for look in ("axe", "contrast") for theme in LOOKS),
        *(f"size, {size}" for size in ("a phone", *OTHERS)),
        "text twice as large",
        "text twice as large, a tablet",
        "reached by keys",
    ],
)
def test_nothing_is_wrong_on_any_screen(found, what):
    assert found.get(what, {}) == {}
