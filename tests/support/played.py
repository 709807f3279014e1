"""A whole job of tests/jobs played line by line: the acts that its taps make, and what it is compared with.

A job holds its steps, its sheets (of each gate lines of [degrees C, shorter, longer minutes]), the temperatures that
are told, and its timeline: at each clock time what is tapped, and what was reckoned by hand for that moment.  Clock
times are those of the shop, "+1 03:20:00" of the next day; `sum` says how they were come by; no program reads it.
"""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from tests.timers.core.test_vectors import zone_of
from timers.core.acts import envelope
from timers.core.base.units import MINUTE_MS
from timers.core.card import alarms, lane_cards
from timers.core.clock import air, damp, film, forecast, lanes, quiet_hours
from timers.core.clock.clock_step import is_curing
from timers.core.fold import panel
from timers.core.fold.shelf import laid_sheet

SHOWN = ("area", "state", "step", "say", "left", "buttons", "then", "note", "waits")
KINDS = {
    "add": "panel_added",
    "done": "step_done",
    "drop": "step_dropped",
    "ready": "found_ready",
    "notyet": "found_not_ready",
    "lay": "film_laid",
    "scuff": "step_added",
    "put": "step_added",
    "back": "sent_back",
    "lamp": "surface_read",
    "fix": "act_corrected",
}
DOWN = ("closing", "shut")  # what shuts is told to the second before it, what opens to the second after


@dataclass
class Played:
    """A panel on a phone, and which of its rings were heard."""

    job: dict
    acts: list = field(default_factory=list)
    told: list = field(default_factory=list)

    def __post_init__(self) -> None:
        self.zone = [[0, self.job.get("east", 0)]]
        if "turn" in self.job:  # the shop's clocks are changed
            at, east = self.job["turn"]
            self.zone.append([self.moment(at), east])
        self.on = f"panel:{_id(0)}"
        self.products = {
            name: product(_id(900 + nth), name, **one) for nth, (name, one) in enumerate(self.job["products"].items())
        }

    def moment(self, clock: str) -> int:
        """A clock time of the shop in ms."""
        days, _, clock = clock.rpartition(" ")
        parts = [int(part) for part in clock.split(":")]
        begin = datetime.fromisoformat(self.job["day"]).replace(tzinfo=UTC) + timedelta(days=int(days or 0))
        wall_ms = int(begin.timestamp() + 3600 * parts[0] + 60 * parts[1] + sum(parts[2:])) * 1000
        there = [wall_ms - east * MINUTE_MS for from_ms, east in self.zone if wall_ms - east * MINUTE_MS >= from_ms]
        return there[-1]

    def asked(self, now_ms: int, line: dict) -> dict:
        """All that is so at a moment, as both sides of the rules are asked about it."""
        told = self.job.get("air") or [["-1 00:00", self.job["temp_dc"]]]
        read = {"on": "air", "kind": "air_read"}
        reads = [
            {**read, "id": _id(500 + nth), "at": self.moment(at), **dict(zip(("temp_dc", "rh_pm"), air, strict=False))}
            for nth, (at, *air) in enumerate(told)
        ]
        return {
            **{"on": self.on, "acts": self.acts, "told": list(self.told), "now": now_ms},
            "readings": [read for read in reads if read["at"] <= now_ms],
            "quiet": self.job.get("quiet"),
            "zone": self.zone,
            "sheet": self.sheet(line) if line["do"] == "lay" else None,
        }

    def sheet(self, line: dict) -> dict:
        step = self._step(line)
        return laid_sheet(self.products[line["product"]], line.get("variant", ""), step["laid"] + 1)

    def do(self, now_ms: int, line: dict) -> None:
        """What is tapped at this line; nothing where the person only looks."""
        if line["do"] == "look":
            return
        act = {"id": _id(len(self.acts) + 1), "at": now_ms, "on": self.on, "kind": KINDS[line["do"]]}
        act |= getattr(self, f"_{line['do']}")(act["id"], now_ms, line)
        assert envelope.refusal(act, now_ms) == "", line["at"]
        self.acts = [*self.acts, act]

    def _add(self, act_id: str, now_ms: int, line: dict) -> dict:
        return {"name": self.job["panel"], "steps": self.job["steps"]}

    def _done(self, act_id: str, now_ms: int, line: dict) -> dict:
        return {"step": self._step(line)["id"]}

    _drop = _done

    def _ready(self, act_id: str, now_ms: int, line: dict) -> dict:
        times = self._times(now_ms, line)
        return {"films": times["films"], "gate": times["gate"]}

    def _notyet(self, act_id: str, now_ms: int, line: dict) -> dict:
        times = self._times(now_ms, line)
        ask_at = film.ask_again_at(times["laid_at"], times["opens_at"], now_ms)
        return {"films": times["films"], "gate": times["gate"], "ask_at": ask_at}

    def _lay(self, act_id: str, now_ms: int, line: dict) -> dict:
        step = self._step(line)
        product_id = self.products[line["product"]]["id"]
        fields = {"film": act_id, "step": step["id"], "area": step["area"], "coat": step["laid"] + 1}
        return {**fields, "product": product_id, "sheet": self.sheet(line)}

    def _scuff(self, act_id: str, now_ms: int, line: dict) -> dict:
        step = self._step(line)
        area = line.get("lane") or step["area"]
        scuff = {"id": act_id, "do": "sand", "words": "Scuff, the window was missed", "area": area}
        return {"step": scuff, "before": step["id"]}

    def _put(self, act_id: str, now_ms: int, line: dict) -> dict:
        return {"step": {"id": act_id, **line["put"]}, "before": panel.current(panel.fold(self.acts))["id"]}

    def _back(self, act_id: str, now_ms: int, line: dict) -> dict:
        """The steps from the named one up to now again, for one area, one coat each."""
        state = panel.fold(self.acts)
        now = panel.current(state)
        passed = state["steps"][: [one["id"] for one in state["steps"]].index(now["id"])]
        first = max(nth for nth, one in enumerate(passed) if (one["words"], one["area"]) == (line["to"], ""))
        sent = {one["id"] for act in self.acts if act["kind"] == "sent_back" for one in act["steps"]}
        again = [one for one in passed[first:] if one["area"] in ("", line["area"]) and one["id"] not in sent]
        kept = ("do", "words", "cls", "grit", "needs", "why", "use")
        steps = [{key: one[key] for key in kept if one.get(key)} for one in again]
        own = [{**one, "id": f"{act_id}.{nth}", "coats": 1, "area": line["area"]} for nth, one in enumerate(steps)]
        return {"step": passed[first]["id"], "area": line["area"], "why": "", "steps": own, "before": now["id"]}

    def _lamp(self, act_id: str, now_ms: int, line: dict) -> dict:
        beside = {f"{key}_ms": line[key] * MINUTE_MS for key in ("warm", "cool") if key in line}
        return {"temp_dc": line["temp_dc"], "until_ms": self.moment(line["until"]), **beside}

    def _fix(self, act_id: str, now_ms: int, line: dict) -> dict:
        """The coat laid last, as it was: of another hardener, or at another time."""
        laid = next(act for act in reversed(self.acts) if act["kind"] == "film_laid")
        fixed = {"act": laid["id"], "of": laid["kind"]}
        if "when" in line:
            fixed["at_ms"] = self.moment(line["when"])
        if "product" in line:
            product = self.products[line["product"]]
            sheet = laid_sheet(product, line["variant"], laid["coat"])
            fixed |= {"product": product["id"], "sheet": sheet, "coat": laid["coat"]}
        return fixed

    def _times(self, now_ms: int, line: dict) -> dict:
        times = reckoned(self.asked(now_ms, {"do": "look"}))[2]
        return next((one for one in times.get("lanes", []) if one["area"] == line.get("lane")), times)

    def _step(self, line: dict) -> dict:
        """The step that is due, of the lane whose button is tapped."""
        return panel.current(lanes.of(panel.fold(self.acts), line.get("lane", "")))


def reckoned(asked: dict) -> tuple:
    """The panel's state, the trace that it felt, and its times."""
    state, felt = panel.fold(asked["acts"]), air.fold(asked["readings"])
    trace = film.felt(state, felt, air.trace(felt))
    return state, trace, film.times(state, trace)


def _named(ring: dict, state: dict) -> tuple[str, str]:
    area = ring.get("area", "")
    return alarms.name_of(state, area), alarms.todo(state, ring["gate"], area)


def answer(asked: dict) -> dict:
    """What the card says, whether only the cure is left, what rings from now on, what is heard now."""
    state, trace, times = reckoned(asked)
    now_ms, zone = asked["now"], zone_of(asked["zone"])
    card = lane_cards.card(state, times, trace, now_ms, zone)
    rings = alarms.rings(asked["on"], state, times, now_ms)
    fresh = [] if quiet_hours.is_quiet(asked["quiet"], now_ms, zone) else alarms.overdue(rings, asked["told"], now_ms)
    words = [alarms.words(one, *_named(one, state), now_ms, zone) for one in fresh]
    return {
        "shown": {key: card.get(key, "") for key in SHOWN},
        "lanes": [{key: one.get(key, "") for key in SHOWN} for one in card.get("lanes", [])],
        "curing": is_curing(state),
        "ahead": [[one["kind"], one["at_ms"]] for one in rings],
        "heard": [{"key": one["key"], "words": said} for one, said in zip(fresh, words, strict=True)],
        "warns": _warned(asked, trace),
    }


def _warned(asked: dict, trace: list) -> list[str]:
    """What is said against a coat before it is laid."""
    sheet, now_ms = asked["sheet"], asked["now"]
    if sheet is None:
        return []
    _, temp_dc, rh_pm = air.last_read(air.fold(asked["readings"]), now_ms)
    against = damp.coat_warnings(sheet, temp_dc, rh_pm, None)
    return against + forecast.warnings(sheet, now_ms, trace, zone_of(asked["zone"]))


def product(product_id: str, name: str, cls: str, **sheet) -> dict:
    """A sheet that a person typed in: of each gate lines of degrees C, shorter and longer minutes."""
    return {"id": product_id, "name": name, "cls": cls, **_in_ms(sheet)}


def _in_ms(sheet: dict) -> dict:
    """A sheet with the lines of its gates, its variants and its numbers of coats in tenths of a degree and ms."""
    boxes = {key: [_in_ms(one) for one in sheet[key]] for key in ("variants", "coat_gates") if key in sheet}
    gates = sheet.get("gates", {})
    times = {
        gate: [[10 * temp, short * MINUTE_MS, long * MINUTE_MS] for temp, short, long in lines]
        for gate, lines in gates.items()
    }
    return {**sheet, **boxes, **({"gates": times} if gates else {})}


def told_to_the_second(ahead: list, played: Played, lines: list) -> tuple[list, list]:
    """Rings as they were reckoned and as the timeline has them, both in ms and by their moments: what opens is told to
    the second after it, what shuts to the second before."""
    said = [[at // 1000 * 1000 if kind in DOWN else -(-at // 1000) * 1000, kind] for kind, at in ahead]
    return sorted(said), sorted([played.moment(at), kind] for kind, at in lines)


def _id(nth: int) -> str:
    return f"00000000-0000-7000-8000-{nth:012d}"
