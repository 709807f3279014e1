"""From a finger's lift to the frame that shows what it did, on a floor of 40 panels.

Three taps in turn: a step done, that tap undone, the sheet of products opened.  The first two are on the disk before
they show.  The server answers meanwhile, and the floor's own tick goes on.  Bare is a page whose button counts taps.
"""

import random

from .bare import BareSite
from .browser import Browser
from .rig import RATES, Row, calm, folder, p95, serving, settle_in
from .seed import MIXED, RUNNING, Seeder

TAPS = 25  # of each kind, at each speed
PANELS = 40
AIM_MS = 50

# `seen` says what the page shows; the first change of it after a finger's lift, and the frame after, are one tap.
WATCH = """
globalThis.bench = (seen) => {
  const before = seen();
  let lifted = 0;
  const look = new MutationObserver(() => {
    if (!lifted || seen() === before) return;
    look.disconnect();
    const changed = performance.now();
    const after = new MessageChannel();
    after.port1.onmessage = () => tell(JSON.stringify({ lifted, changed, painted: performance.now() }));
    requestAnimationFrame(() => after.port2.postMessage(0));
  });
  const all = { subtree: true, childList: true, characterData: true };
  look.observe(document.body, { ...all, attributes: true, attributeFilter: ["open"] });
  addEventListener("pointerup", (event) => (lifted = event.timeStamp), { capture: true, once: true });
};
globalThis.middle = (node) => {
  node.scrollIntoView({ block: "center" });
  const { x, y, width, height } = node.getBoundingClientRect();
  return [x + width / 2, y + height / 2];
};
"""
PLACE = "() => document.querySelector('.card[data-on=\"{on}\"] [data-text=place]').textContent"


def measure() -> list[Row]:
    with folder() as where, BareSite() as site, serving(where) as server:
        seeder = Seeder(server.address)
        free, waiting = _panels(seeder)
        rows = []
        with Browser(where / "phone") as browser, Browser(where / "bare") as beside:
            page, bare = browser.page(), beside.page()
            for one in (page, bare):
                one.before(WATCH)
            settle_in(page, server, seeder, PANELS)
            bare.go(site.address + "tap")
            bare.until("Boolean(globalThis.said && globalThis.middle)")
            for rate in RATES:
                rows += _rows(page, bare, free, waiting, rate)
        return rows


def _panels(seeder: Seeder) -> tuple[list[str], list[str]]:
    """Panels that want hands, and panels whose main button opens the sheet of products."""
    panels = seeder.fill(PANELS, MIXED)
    stage = lambda at: MIXED[at % len(MIXED)]  # noqa: E731
    free = [on for at, on in enumerate(panels) if not stage(at)[2]]
    return free, [on for at, on in enumerate(panels) if stage(at) == RUNNING[1]]


def _rows(page, bare, free: list[str], waiting: list[str], rate: int) -> list[Row]:
    acts, sheets, plain = [], [], []
    rnd = random.Random(rate)
    for one in (page, bare):
        one.slow(rate)
    for at in range(TAPS):
        calm(1)
        on = free[at % len(free)]
        acts.append(_tap(page, rnd, PLACE.format(on=on), f"document.querySelector('{_button(on, 'done')}')"))
        acts.append(_tap(page, rnd, PLACE.format(on=on), "document.querySelector('[data-do=undo-last]')"))
        sheet = f"document.querySelector('{_button(waiting[at % len(waiting)], 'lay')}')"
        sheets.append(_tap(page, rnd, "() => document.getElementById('dialog-lay').open", sheet))
        page.run("document.getElementById('dialog-lay').close()")
        for _ in range(3):
            plain.append(_tap(bare, rnd, "() => said.textContent", "document.querySelector('button')"))
    rows = []
    for what, taps in (("act", acts), ("sheet opens", sheets)):
        aim = (f"at most {AIM_MS} ms", p95(taps) <= AIM_MS) if rate == 4 else ("", None)
        rows.append(Row(f"{rate}x CPU, {what}, p95 of {len(taps)}", p95(taps), "ms", p95(plain), *aim))
    return rows


def _button(on: str, do: str) -> str:
    return f'.card[data-on="{on}"] .deeds [data-do={do}]'


def _tap(page, rnd, seen: str, node: str) -> float:
    """One tap on the middle of a node, and how long after the lift its effect was in a frame."""
    page.run(f"bench({seen})")
    page.run(f"middle({node})")
    page.browser.gather(0.35 + rnd.random() * 0.5)
    page.tap(*page.run(f"middle({node})"))
    told = page.told(20)
    return told["painted"] - told["lifted"]
