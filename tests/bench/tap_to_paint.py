"""From a finger to the frame that answers it, on a floor of 40 panels.

Three taps in turn: a step done, that tap undone, the sheet of products opened.  The first two are on the disk before
they show.  "Felt" is from the finger's landing to the frame in which the button says so; the others are from its lift,
80 ms later, to the frame that shows what it did.  The server answers meanwhile, and the floor's own tick goes on.  Bare
is a page whose button counts taps, from the lift.
"""

import random

from .bare import BareSite
from .browser import Browser
from .rig import RATES, Row, calm, folder, median, p95, serving, settle_in
from .seed import MIXED, RUNNING, Seeder

TAPS = 12  # of each kind, at each speed
PANELS = 40
AIM_MS = 50
FELT_MS = 100
RESTS_S = 0.08

# `seen` says what the page shows; the first change of it after a finger's lift, and the frame after, are one tap.
WATCH = """
globalThis.bench = (seen) => {
  const before = seen();
  let [lifted, felt] = [0, null];
  const painted = (then) => {
    const after = new MessageChannel();
    after.port1.onmessage = () => then(performance.now());
    requestAnimationFrame(() => after.port2.postMessage(0));
  };
  addEventListener("pointerdown", ({ timeStamp, target }) => {
    painted((at) => target.closest("[data-pressed]") && (felt = at - timeStamp));
  }, { once: true });
  const look = new MutationObserver(() => {
    if (!lifted || seen() === before) return;
    look.disconnect();
    const changed = performance.now();
    painted((at) => tell(JSON.stringify({ felt, kept: changed - lifted, shown: at - lifted })));
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
            plain.append(_tap(bare, rnd, "() => said.textContent", "document.querySelector('button')")["shown"])
    bare_ms = p95(plain)
    felt = [tap["felt"] for tap in acts + sheets]
    assert None not in felt, "a button that did not say that it was felt"
    aim = (f"at most {FELT_MS} ms", p95(felt) <= FELT_MS)
    rows = [Row(f"{rate}x CPU, felt, p95 of {len(felt)}", p95(felt), "ms", bare_ms, *aim)]
    for what, taps in (("act", acts), ("sheet opens", sheets)):
        shown = [tap["shown"] for tap in taps]
        aim = (f"at most {AIM_MS} ms", p95(shown) <= AIM_MS) if rate == 4 else ("", None)
        rows.append(Row(f"{rate}x CPU, {what}, median", median(shown), "ms", median(plain)))
        rows.append(Row(f"{rate}x CPU, {what}, p95 of {len(taps)}", p95(shown), "ms", bare_ms, *aim))
    kept = [tap["kept"] for tap in acts]
    rows.append(Row(f"{rate}x CPU, of an act until the page changes", median(kept), "ms"))
    return rows


def _button(on: str, do: str) -> str:
    return f'.card[data-on="{on}"] .deeds [data-do={do}]'


def _tap(page, rnd, seen: str, node: str) -> dict:
    """One tap on the middle of a node: how long until it was felt, until the page changed, until that was shown."""
    page.run(f"bench({seen})")
    page.run(f"middle({node})")
    page.browser.gather(0.35 + rnd.random() * 0.5)
    page.tap(*page.run(f"middle({node})"), RESTS_S)
    return page.told(20)
