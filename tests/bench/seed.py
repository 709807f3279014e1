"""Shops for the benchmarks: made over HTTP, as a phone makes them, with films at every stage of their clocks."""

import http.client
import json
import os
import time
from urllib.parse import urlsplit

from timers.core.acts.envelope import new_id
from timers.core.base.units import MINUTE_MS
from timers.core.fold import panel
from timers.core.fold.route import steps_for
from timers.core.fold.shelf import fit, laid_sheet
from timers.defaults import products
from timers.defaults.products import PRODUCTS
from timers.defaults.routes import numbered, translated

GLAZE, EPOXY, SURFACER = PRODUCTS[1], PRODUCTS[3], PRODUCTS[5]
PARTS = ["Left front door", "Right fender", "Tailgate", "Bumper cover", "Hood", "Sill", "Mirror cap", "Roof"]
JOBS = ["Grey hatchback", "White van", "Red pickup", "Blue estate"]
COOKIE = "sandtime_phone"

# Route, steps done before, then what was laid how many minutes ago, then steps done after.
RUNNING = [
    (1, 3, [(GLAZE, 4)], 0),  # putty, waits
    (3, 6, [(SURFACER, 30)], 0),  # between two coats: the window is open
    (4, 4, [(SURFACER, 75), (SURFACER, 55)], 1),  # both coats laid, waits for sanding
    (6, 3, [(EPOXY, 20)], 0),  # epoxy, waits a day
]
MIXED = [
    *RUNNING,
    (1, 3, [(GLAZE, 31)], 0),  # may be tried
    (3, 6, [(SURFACER, 225)], 0),  # the window closes soon
    (3, 6, [(SURFACER, 255)], 0),  # shut
    (1, 1, [], 0),  # wants hands
]


class Seeder:
    """One phone of a new shop, and the acts it has told."""

    def __init__(self, address: str, tongue: str = "en"):
        self.address, self.tongue = urlsplit(address), tongue
        self.now_ms = time.time_ns() // 1_000_000
        self.cookie = self._begin()

    def fill(self, count: int, stages: list) -> list[str]:
        """So many panels, their stages in turn, no two of one stage at the same minute; their names."""
        acts, panels = [self.act("air", "air_read", 360, temp_dc=190, rh_pm=560)], []
        acts.append(self.act("air", "air_read", 10, temp_dc=205, rh_pm=500))
        for at in range(count):
            made = self.panel(f"{PARTS[at % len(PARTS)]} {at + 1}", JOBS[at % len(JOBS)], stages[at % len(stages)], at)
            panels.append(made[0]["on"])
            acts += made
        for start in range(0, len(acts), 150):
            self.tell(acts[start : start + 150])
        return panels

    def panel(self, name: str, job: str, stage: tuple, at: int) -> list[dict]:
        route, before, lays, after = stage
        born = 400 + at
        on = f"panel:{self.fresh(born)}"
        doc = translated(numbered(route))
        acts = [self.act(on, "panel_added", born, name=name, job=job, route=doc["name"], steps=steps_for(doc, {}))]
        for nth in range(before):
            acts.append(self.act(on, "step_done", 380 - nth, step=_now(acts)["id"]))
        for product, minutes in lays:
            acts.append(self.laid(on, product, minutes + (at % 7) / 3, _now(acts)))
        for nth in range(after):
            acts.append(self.act(on, "step_done", 50 - nth, step=_now(acts)["id"]))
        return acts

    def laid(self, on: str, product: dict, minutes_ago: float, step: dict) -> dict:
        named = {"film": self.fresh(minutes_ago), "step": step["id"], "area": "", "product": product["id"]}
        sheet = laid_sheet(products.translated(product), fit(product, 200)[0]["id"])
        return self.act(on, "film_laid", minutes_ago, **named, coat=step["laid"] + 1, sheet=sheet)

    def act(self, on: str, kind: str, minutes_ago: float, **fields) -> dict:
        at = int(self.now_ms - minutes_ago * MINUTE_MS)
        return {"id": new_id(at, os.urandom(10)), "at": at, "on": on, "kind": kind, **fields}

    def fresh(self, minutes_ago: float) -> str:
        return new_id(int(self.now_ms - minutes_ago * MINUTE_MS), os.urandom(10))

    def tell(self, acts: list, cursor: int = 0) -> dict:
        answer = self._post("/sync", json.dumps({"acts": acts, "cursor": cursor}), "application/json")[1]
        told = json.loads(answer)
        bad = [verdict for verdict in told["verdicts"] if verdict["verdict"] == "refused"]
        assert not bad, bad[0]
        return told

    def _begin(self) -> str:
        self.cookie = ""
        headers, _ = self._post("/begin", "zone=America/Chicago", "application/x-www-form-urlencoded")
        return headers["Set-Cookie"].split(";")[0].removeprefix(f"{COOKIE}=")

    def _post(self, path: str, body: str, kind: str):
        road = http.client.HTTPConnection(self.address.hostname, self.address.port, timeout=60)
        headers = {"X-Sandtime": "1", "Content-Type": kind, "Cookie": f"{COOKIE}={self.cookie}"}
        headers["Accept-Language"] = self.tongue
        road.request("POST", path, body, headers)
        answer = road.getresponse()
        said = answer.read()
        road.close()
        assert answer.status == 200, (answer.status, said[:200])
        return answer.headers, said


def _now(acts: list) -> dict:
    return panel.current(panel.fold(acts))
