"""Whole jobs, written by hand from the sheets before they were played: what the card says, and what rings."""

import json
from datetime import UTC, datetime, timedelta

import pytest

from tests.conftest import ROOT
from tests.timers.core.test_vectors import zone_of
from timers.core.base.units import DAY_MS, MINUTE_MS
from timers.core.card import alarms, panel_card
from timers.core.clock import film
from timers.core.clock.clock_step import is_curing
from timers.core.fold import panel
from timers.core.fold.shelf import laid_sheet
from timers.defaults import products, routes

JOBS = {path.stem: json.loads(path.read_text()) for path in sorted((ROOT / "tests/jobs").glob("*.json"))}
ON = "panel:00000000-0000-7000-8000-00000000d001"
DEEDS = {
    **{"done": "step_done", "ready": "found_ready", "lay": "film_laid", "add": "panel_added"},
    "notyet": "found_not_ready",
}


class Played:
    """A panel on a phone: what its buttons do, and which of its rings were heard."""

    def __init__(self, job: dict) -> None:
        self.job, self.acts, self.heard = job, [], []
        self.trace = [[0, job["temp_dc"], job["temp_dc"]]]
        self.products = {one["name"]: one for one in map(products.translated, products.PRODUCTS)}
        self.products |= {name: own_product(name, **one) for name, one in job.get("products", {}).items()}

    def moment(self, clock: str) -> int:
        """A clock time of the job's day, "+1 03:20:00" of the next, in ms."""
        days, _, clock = clock.rpartition(" ")
        parts = [int(part) for part in clock.split(":")]
        begin = datetime.fromisoformat(self.job["day"]).replace(tzinfo=UTC) + timedelta(days=int(days or 0))
        return int((begin.timestamp() + 3600 * parts[0] + 60 * parts[1] + sum(parts[2:])) * 1000)

    def do(self, at_ms: int, line: dict) -> None:
        if line["do"] == "look":
            return
        state = panel.fold(self.acts)
        step = panel.current(state)
        if line["do"] == "add":
            fields = {"name": self.job["panel"], "steps": self.job.get("steps") or default_steps(self.job["route"])}
        elif line["do"] == "done":
            fields = {"step": step["id"]}
        elif line["do"] in ("ready", "notyet"):
            times = film.times(state, self.trace)
            fields = {"films": times["films"], "gate": times["gate"]}
            if line["do"] == "notyet":
                fields["ask_at"] = film.ask_again_at(times["laid_at"], times["opens_at"], at_ms)
        else:
            sheet = self.sheet(line["product"])
            fields = {"film": f"film-{len(self.acts)}", "step": step["id"], "area": "", "coat": step["laid"] + 1}
            fields |= {"product": self.products[line["product"]]["id"], "sheet": sheet}
        act = {"id": f"act-{len(self.acts)}", "at": at_ms, "on": ON, "kind": DEEDS[line["do"]]}
        self.acts.append({**act, **fields})

    def sheet(self, name: str) -> dict:
        return laid_sheet(self.products[name], self.job.get("sheets", {}).get(name, {"variant": ""})["variant"])

    def card(self, now_ms: int) -> dict:
        state = panel.fold(self.acts)
        return panel_card.face(state, film.times(state, self.trace), self.trace, now_ms, zone_of(0))

    def rings(self, now_ms: int) -> list[dict]:
        state = panel.fold(self.acts)
        return alarms.rings(ON, state, film.times(state, self.trace), now_ms)

    def heard_now(self, now_ms: int) -> list[str]:
        """The words of what rings by now and did not before."""
        state = panel.fold(self.acts)
        rings = alarms.overdue(self.rings(now_ms), self.heard, now_ms)
        self.heard += [ring["key"] for ring in rings]
        return [
            alarms.words(ring, state["name"], alarms.todo(state, ring["gate"]), now_ms, zone_of(0)) for ring in rings
        ]


def default_steps(route: int) -> list[dict]:
    return routes.translated(routes.ROUTES[route - 1])["steps"]


def own_product(name: str, cls: str, minutes: dict) -> dict:
    """A sheet that a person typed in, of one line for each gate."""
    gates = {gate: [[200, low * MINUTE_MS, high * MINUTE_MS]] for gate, (low, high) in minutes.items()}
    return {"id": f"own.{cls}", "name": name, "cls": cls, "gates": gates}


@pytest.mark.parametrize("name", JOBS)
def test_the_job_goes_as_it_was_written_down(name):
    job = JOBS[name]
    played = Played(job)
    for line in job["timeline"]:
        now_ms = played.moment(line["at"])
        played.do(now_ms, line)
        card = played.card(now_ms)
        shown = {key: card.get(key, "") for key in ("state", "step", "say", "left", "buttons", "then")}
        assert shown == {key: line.get(key, "") for key in shown}, line["at"]
        assert is_curing(panel.fold(played.acts)) == line.get("curing", False), line["at"]
        ahead = [[ring["kind"], ring["at_ms"]] for ring in played.rings(now_ms)]
        assert ahead == [[kind, played.moment(at)] for kind, at in line["ahead"]], line["at"]
        assert played.heard_now(now_ms) == ([line["rings"]] if "rings" in line else []), line["at"]


@pytest.mark.parametrize("name", JOBS)
def test_nothing_else_rings_between_the_lines_but_what_was_written_ahead(name):
    job = JOBS[name]
    played = Played(job)
    lines = [(played.moment(line["at"]), line) for line in job["timeline"]]
    for (now_ms, line), (until_ms, _) in zip(lines, [*lines[1:], (lines[-1][0] + DAY_MS, None)], strict=True):
        played.do(now_ms, line)
        due = {played.moment(at) for _, at in line["ahead"]}
        for at_ms in range(now_ms, until_ms, max(MINUTE_MS, (until_ms - now_ms) // 1_000)):
            assert all(ring["at_ms"] in due for ring in played.rings(at_ms)), (line["at"], at_ms)
