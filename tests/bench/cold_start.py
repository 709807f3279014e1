"""From opening to a usable floor of 40 panels: a new browser process, no server.

Ours is the moment after the frame that shows the floor (`sandtime-ready`, then the next frame); bare is the first
paint of a blank page that a service worker of its own keeps.  Both count from the start of the navigation.
"""

from .bare import BareSite
from .browser import Browser
from .rig import RATES, Row, calm, folder, median, serving, settle_in
from .seed import MIXED, Seeder

ROUNDS = 11
PANELS = 40
AIM = 2.2

WATCH = """
const mark = performance.mark.bind(performance);
performance.mark = (name, ...rest) => {
  if (name === "sandtime-ready") {
    const after = new MessageChannel();
    const ready = performance.now();
    after.port1.onmessage = () => {
      const painted = performance.now();
      const cards = document.querySelectorAll("#floor .card").length;
      const first = performance.getEntriesByType("paint")[0]?.startTime ?? null;
      tell(JSON.stringify({ ready, painted, first, cards, stands: document.body.dataset.ready }));
    };
    requestAnimationFrame(() => after.port2.postMessage(0));
  }
  return mark(name, ...rest);
};
"""
WATCH_BARE = """
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
        _start(where / "phone", server.address, 1, WATCH)
        _start(where / "bare", site.address, 1, WATCH_BARE)
        return [row for rate in RATES for row in _rows(where, server.address, site.address, rate)]


def _settle(where, server, seeder, site):
    with Browser(where / "phone") as browser:
        settle_in(browser.page(), server, seeder, PANELS)
        browser.gather(1)
    with Browser(where / "bare") as browser:
        page = browser.page()
        page.go(site.address)
        page.until("navigator.serviceWorker?.ready.then(() => Boolean(navigator.serviceWorker.controller))")
        browser.gather(1)


def _rows(where, ours: str, bare: str, rate: int) -> list[Row]:
    starts, blanks = [], []
    for _ in range(ROUNDS):
        starts.append(_start(where / "phone", ours, rate, WATCH))
        blanks.append(_start(where / "bare", bare, rate, WATCH_BARE)["painted"])
    for start in starts:
        assert (start["cards"], start["stands"]) == (PANELS, "yes"), start
    blank, painted = median(blanks), median([start["painted"] for start in starts])
    first = median([start["first"] or start["painted"] for start in starts])
    aim = f"ratio at most {AIM}"
    return [
        Row(f"{rate}x CPU, floor painted", painted, "ms", blank, aim, painted <= AIM * blank),
        Row(f"{rate}x CPU, first paint of anything", first, "ms", blank),
    ]


def _start(profile, address: str, rate: int, watch: str) -> dict:
    with Browser(profile) as browser:
        page = browser.page()
        page.before(watch)
        page.slow(rate)
        calm()
        page.go(address)
        told = page.told()
        browser.gather(0.3)
        return told
