"""Share of one processor that a page with 100 running strips takes over 10 s.

Bare is a page whose timer writes one number a second.  `main thread` is the time in tasks; `process` is all the
processor time of the page's process, with its drawing threads.
"""

from .bare import BareSite
from .browser import Browser
from .rig import Row, calm, folder, median, serving, settle_in
from .seed import RUNNING, Seeder

PANELS = 100
SECONDS = 10
TURNS = 2
MEASURES = {"TaskDuration": "main thread", "ProcessTime": "process"}
PARTS = {"ScriptDuration": "script", "RecalcStyleDuration": "style", "LayoutDuration": "layout"}
RUNS = "document.querySelectorAll('#floor .strip:not([data-shape=none]):not([data-shape=still])').length"


def measure() -> list[Row]:
    with folder() as where, BareSite() as site, serving(where) as server:
        seeder = Seeder(server.address)
        seeder.fill(PANELS, RUNNING)
        with Browser(where / "phone") as browser:
            page = browser.page()
            settle_in(page, server, seeder, PANELS)
            assert page.run(RUNS) == PANELS
            assert page.run("document.visibilityState") == "visible"
            ours = [_visit(page, server.address) for _ in range(TURNS)]
        with Browser(where / "bare") as browser:
            page = browser.page()
            bare = [_visit(page, site.address + "tick") for _ in range(TURNS)]
    return _rows(ours, bare)


def _visit(page, address: str) -> dict:
    """Open the page afresh, let it settle (its first second tick of the server is 30 s away), and watch."""
    page.go("about:blank")
    page.go(address)
    page.browser.gather(4)
    calm(2, 0.5)
    page.call("Performance.enable")
    before = _metrics(page)
    page.browser.gather(SECONDS)
    after = _metrics(page)
    page.call("Performance.disable")
    wall = after["Timestamp"] - before["Timestamp"]
    return {name: 100 * (after[name] - before[name]) / wall for name in (*MEASURES, *PARTS)}


def _metrics(page) -> dict:
    return {one["name"]: one["value"] for one in page.call("Performance.getMetrics")["metrics"]}


def _rows(ours: list[dict], bare: list[dict]) -> list[Row]:
    def row(name: str, words: str, beside: bool) -> Row:
        ceiling = median([turn[name] for turn in bare]) if beside else None
        return Row(words, median([turn[name] for turn in ours]), "%", ceiling)

    return [row(name, words, True) for name, words in MEASURES.items()] + [
        row(name, f"main thread, of it {words}", False) for name, words in PARTS.items()
    ]
