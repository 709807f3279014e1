"""From opening to a usable floor of 40 panels: a new browser process, no server.

Ours is the moment after the frame that shows the first screen of the floor, its cards live and taps taken
(`sandtime-ready`, then the next frame), and the moment at which the last of the 40 cards, far below, is there.
Bare is the first paint of a blank page that a service worker of its own keeps; beside it, a bare app: one style sheet,
one module, one word read from IndexedDB and painted.  All count from the start of the navigation.
"""

from .bare import BareSite
from .browser import Browser
from .rig import RATES, Row, calm, folder, median, serving, settle_in
from .seed import MIXED, Seeder

ROUNDS = 5
PANELS = 40
AIM = 2.2

WATCH = (
    f"const CARDS = {PANELS};"
    + """
const mark = performance.mark.bind(performance);
performance.mark = (name, ...rest) => {
  if (name === "sandtime-ready" || name === "bare-ready") {
    const after = new MessageChannel();
    after.port1.onmessage = () => {
      const painted = performance.now();
      const floor = document.getElementById("floor");
      const tellAll = () => {
        const cards = floor ? floor.children.length : 0;
        const said = { painted, whole: performance.now(), cards, stands: document.body.dataset.ready };
        if (name === "bare-ready" || cards >= CARDS) tell(JSON.stringify({ ...said, seen }));
        else setTimeout(tellAll, 5);
      };
      const seen = floor ? Math.max(...[...floor.children].map((card) => card.getBoundingClientRect().bottom)) : 0;
      tellAll();
    };
    requestAnimationFrame(() => after.port2.postMessage(0));
  }
  return mark(name, ...rest);
};
"""
)
WATCH_BLANK = """
const look = new PerformanceObserver((list) => tell(JSON.stringify({ painted: list.getEntries()[0].startTime })));
look.observe({ type: "paint" });
"""


def measure() -> list[Row]:
    with folder() as where, BareSite() as site:
        with serving(where) as server:
            seeder = Seeder(server.address)
            seeder.fill(PANELS, MIXED)
            _settle(where, server, seeder, site)
        site.stop()
        kinds = {
            "floor": (where / "phone", server.address, WATCH),
            "blank": (where / "bare", site.address, WATCH_BLANK),
            "app": (where / "bare", site.address + "app", WATCH),
        }
        for kind in kinds.values():
            _start(*kind, 1)
        return [row for rate in RATES for row in _rows(kinds, rate)]


def _settle(where, server, seeder, site):
    with Browser(where / "phone") as browser:
        settle_in(browser.page(), server, seeder, PANELS)
        browser.gather(1)
    with Browser(where / "bare") as browser:
        page = browser.page()
        for path in ("", "app"):
            page.go(site.address + path)
            page.until("navigator.serviceWorker?.ready.then(() => Boolean(navigator.serviceWorker.controller))")
            browser.gather(1)


def _rows(kinds: dict, rate: int) -> list[Row]:
    starts = {name: [] for name in kinds}
    for _ in range(ROUNDS):
        for name, kind in kinds.items():
            starts[name].append(_start(*kind, rate))
    for start in starts["floor"]:
        assert (start["cards"], start["stands"]) == (PANELS, "yes"), start
        assert start["seen"] >= 740, "the cards painted first fill the screen"
    floor, blank, app = (median([start["painted"] for start in starts[name]]) for name in kinds)
    whole = median([start["whole"] for start in starts["floor"]])
    return [
        Row(f"{rate}x CPU, beside a blank page", floor, "ms", blank, f"ratio at most {AIM}", floor <= AIM * blank),
        Row(f"{rate}x CPU, beside a bare app", floor, "ms", app),
        Row(f"{rate}x CPU, all {PANELS} cards", whole, "ms", blank),
    ]


def _start(profile, address: str, watch: str, rate: int) -> dict:
    with Browser(profile) as browser:
        page = browser.page()
        page.before(watch)
        page.slow(rate)
        calm()
        page.go(address)
        told = page.told()
        browser.gather(0.3)
        return told
