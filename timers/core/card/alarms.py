"""What is due of a panel or a cup: when it rings, under which key, in which words.  Twin: static/js/core/card/alarms.js

A ring rings at `at_ms`, which is `since_ms` unless it was put off, and is of no use from `until_ms` on (None: it
stays).  The key names the thing, the kind, the gate and the films, not the moment: a clock that moves with the air
keeps its key; what was corrected has keys of its own (ring_keys).
"""

from typing import cast

from ..base import words as say
from ..base.shapes import Sheet, Silences, Zone
from ..base.states import CupState, CupTimes, PanelState, PanelTimes, Ring
from ..base.translate import later, t
from ..base.units import HOUR_MS, MINUTE_MS
from ..clock import film, lanes
from ..clock.clock_step import ClockStep, clock_steps
from ..fold import areas, panel, silence
from . import cup, ring_keys

URGENCY = ["closing", "pot_closing", "shut", "pot_shut", "opens", "asked", "clear"]
AGAIN = film.AGAIN
SINCE = {
    "shut": later("the window is shut since {time}. Sand first"),
    "pot_shut": later("pot life over since {time}"),
    "clear": later("the air has had its time to clear since {time}. The safety data sheet rules"),
}


def rings(on: str, state: PanelState | CupState, times: PanelTimes | CupTimes, now_ms: int) -> list[Ring]:
    """What rings of a panel or a cup that stands on the floor, from now on or still.

    Rule     an opening that was waited for, its closing before it shuts, the shutting; what came later takes the place
             of what came before; what was silenced is left out, what was put off rings again; each lane of a panel
             by itself
    Unit     ms since 1970 UTC
    Holds    any folded panel or cup with the times reckoned from it (film.times, cup.times)
    Source   our own rule
    Vectors  tests/vectors/due.json
    """
    if not stands(on, state):
        return []
    if on.startswith("cup:"):
        each = _unbegun(_of_cup(on, cast(CupState, state), cast(CupTimes, times)), now_ms)
    else:
        each = _of_panel(on, cast(PanelState, state), cast(PanelTimes, times), now_ms)
    silences = state.get("quiet") or {}
    audible = [_put_off(ring, silences) for ring in each if silences.get(ring["key"], 0) is not None]
    return [ring for ring in audible if _is_of_use(ring, now_ms)]


def stands(on: str, state: PanelState | CupState) -> bool:
    """Whether a thing stands on the floor: a panel added and not put away, a cup mixed and not emptied."""
    if on.startswith("cup:"):
        return cup.stands(cast(CupState, state))
    panel_state = cast(PanelState, state)
    return on.startswith("panel:") and panel_state["added_at"] is not None and panel_state["away_at"] is None


def overdue(rings: list[Ring], rung_keys: list[str], now_ms: int) -> list[Ring]:
    """What must ring now and did not ring yet, most urgent first."""
    rung = set(rung_keys)
    now = [ring for ring in rings if ring["at_ms"] <= now_ms and ring["key"] not in rung]
    return urgent_first([ring for ring in now if _is_of_use(ring, now_ms)])


def urgent_first(rings: list[Ring]) -> list[Ring]:
    """What closes first, then what has shut, what opens, what is asked again; the earlier before the later."""
    return sorted(rings, key=lambda ring: (URGENCY.index(ring["kind"]), ring["since_ms"], ring["key"]))


def next_at(rings: list[Ring], now_ms: int) -> int | None:
    """The next moment that rings, or None."""
    return min((ring["at_ms"] for ring in rings if ring["at_ms"] > now_ms), default=None)


def name_of(state: PanelState | CupState, area: str = "") -> str:
    """What a ring calls its thing: a panel's name and the lane that rings, "Left door, Underside"; "Cup: Surfacer"."""
    if "mixed_at" not in state:
        return ", ".join(part for part in (state["name"], areas.words(area)) if part) if area else state["name"]
    return t("Cup: {name}", name=cast(Sheet, state["sheet"])["name"])


def todo(state: PanelState | CupState, gate: str = "", area: str = "") -> str:
    """What a ring says there is to do on a panel: "coat 2", "sand P180", "Glazing putty"; of a cup nothing.

    Named by the step whose clock rings with that gate in a lane, else by the first that a clock is for, else by the
    current one.
    """
    if "mixed_at" in state:
        return ""
    lane = lanes.of(state, area)
    clocks = clock_steps(lane)
    ringing = [clock for clock in clocks if _gate_of_ring(clock) == gate] or clocks
    step = ringing[0]["step"] if ringing else panel.current(lane)
    if step is None:
        return ""
    what = t("coat {n}", n=step["laid"] + 1) if step["do"] == "coat" else step["words"]
    return what if step["area"] in ("", area) else f"{what} ({areas.words(step['area'])})"


def words(ring: Ring, name: str, step_words: str, now_ms: int, zone: Zone) -> str:
    """A ring in one sentence with a clock time: "Left door: coat 2 can go on. Until 16:05".

    Rule     a closing is said down to the minute, an opening up; what is over says since when
    Unit     ms since 1970 UTC; zone minutes east of UTC
    Holds    a ring of `rings`; name and step_words as `name_of` and `todo` give them
    Source   our own rule
    Vectors  tests/vectors/due.json
    """
    return f"{name}: {_sentence(ring, step_words, now_ms, zone)}"


def _is_of_use(ring: Ring, now_ms: int) -> bool:
    return ring["until_ms"] is None or now_ms < ring["until_ms"]


def _of_panel(on: str, state: PanelState, times: PanelTimes, now_ms: int) -> list[Ring]:
    if "lanes" not in times:
        return _unbegun(_of_lane(on, state, times, "") + _clears(on, state), now_ms)
    rings: list[Ring] = []
    for lane, one in zip(lanes.lanes(state), times["lanes"], strict=True):
        heard = _unbegun(_of_lane(on, lane["state"], one, lanes.tag(lane, one["films"])), now_ms)
        rings += [{**ring, "area": lane["area"]} for ring in heard]
    return rings + _clears(on, state)


def _unbegun(rings: list[Ring], now_ms: int) -> list[Ring]:
    """Without what opened before the window began to close."""
    begun = any(ring["kind"].endswith("closing") and ring["since_ms"] <= now_ms for ring in rings)
    return [ring for ring in rings if not (begun and ring["kind"] in ("opens", "asked")) or ring["gate"] == AGAIN]


def _of_lane(on: str, state: PanelState, times: PanelTimes, tag: str) -> list[Ring]:
    return _windows(on, state, times, tag) + _later(on, state, times, tag) if times["gate"] else []


def _clears(on: str, state: PanelState) -> list[Ring]:
    """Once, for the whole panel: when the air has had its time to clear."""
    rings: list[Ring] = []
    waits = [(one, film.clear_ms(one["sheet"])) for one in state["films"]]
    clears = [(one["laid_at"] + wait, one["id"]) for one, wait in waits if wait]
    if clears:
        at, film_id = max(clears)
        rings.append(_ring(f"{on} clear clear_air {ring_keys.of_films([film_id], state)}", at, at + HOUR_MS))
    return rings


def _windows(on: str, state: PanelState, times: PanelTimes, tag: str) -> list[Ring]:
    opens, shuts = times["opens_at"], times["shuts_at"]
    clocks = clock_steps(state)
    gate = _gate_of_ring(clocks[0]) if clocks else times["gate"]
    films = ring_keys.of_films(times["films"], state)
    window = f"flash {tag}{films}"  # what shuts is a coat's window, whatever waits in it
    rings: list[Ring] = []
    if opens is not None and (shuts is None or opens < shuts):
        rings = _opening(on, gate, state, times, tag)
        closing = film.closing_at(state, times)
        if closing is not None:
            rings.append(_ring(f"{on} closing {window}", closing, shuts))
    again = times.get("again_at")
    if again is not None:
        rings.append(_ring(f"{on} opens {AGAIN} {tag}{films}", again, None))
    return rings if shuts is None else [*rings, _ring(f"{on} shut {window}", shuts, again)]


def _later(on: str, state: PanelState, times: PanelTimes, tag: str) -> list[Ring]:
    """What opens for the steps behind the one that the clock is for, whether that one was tapped done or not."""
    clocks = zip(clock_steps(state)[1:], times.get("later", []), strict=True)
    return [ring for clock, one in clocks for ring in _opening(on, _gate_of_ring(clock), state, one, tag)]


def _opening(on: str, gate: str, state: PanelState, times: PanelTimes, tag: str) -> list[Ring]:
    """The opening of one gate, or the moment to ask again; none of what had opened before the work came to it."""
    opens, ask, key = times["opens_at"], times["ask_at"], f"{gate} {tag}{ring_keys.of_films(times['films'], state)}"
    if times["ready"] or opens is None:
        return []
    if ask is not None:
        return [_ring(f"{on} asked {key} {ask}", max(opens, ask), times["shuts_at"])]
    since = max(times["laid_at"] or 0, ring_keys.since(times["films"], state))
    return [_ring(f"{on} opens {key}", opens, times["shuts_at"])] if opens > since else []


def _gate_of_ring(clock: ClockStep) -> str:
    """The gate in a ring's key: a coat "can go on", a clean or check step that needs a flash is due."""
    return "flashed" if clock["need"] == "flash" and not clock["work"] else clock["need"]


def _of_cup(on: str, state: CupState, times: CupTimes) -> list[Ring]:
    opens, shuts = times["opens_at"], times["shuts_at"]
    mark = ring_keys.of_cup(state)
    rings: list[Ring] = []
    if opens is not None and (shuts is None or opens < shuts):
        if times["induction"] and opens > state.get("corrected", ("", 0))[1]:
            rings.append(_ring(f"{on} opens induction{mark}", opens, shuts))
        if shuts is not None:
            rings.append(_ring(f"{on} pot_closing pot{mark}", max(opens, shuts - film.lead_ms(opens, shuts)), shuts))
    return rings if shuts is None else [*rings, _ring(f"{on} pot_shut pot{mark}", shuts, None)]


def _ring(key: str, at_ms: int, until_ms: int | None) -> Ring:
    parts = key.split(" ")  # the thing, the kind, the gate, and more of some kinds
    return {"key": key, "kind": parts[1], "gate": parts[2], "at_ms": at_ms, "since_ms": at_ms, "until_ms": until_ms}


def _put_off(ring: Ring, silences: Silences) -> Ring:
    """A ring at the moment it was put off to."""
    until = silences.get(ring["key"])
    if until is None:
        return ring
    return {**ring, "key": silence.later(ring["key"], until), "at_ms": max(ring["at_ms"], until)}


def _sentence(ring: Ring, step: str, now_ms: int, zone: Zone) -> str:
    kind, until = ring["kind"], ring["until_ms"]
    since = say.shuts(ring["since_ms"], now_ms, zone)
    if kind == "shut" and until is not None:
        again = say.opens(until, now_ms, zone)
        return t("the window is shut since {time}, a coat wrinkles. Again {again}", time=since, again=again)
    if kind in SINCE:
        return t(SINCE[kind], time=since)
    if kind in ("closing", "pot_closing") and until is not None:
        return _closing(kind, until, now_ms, zone)
    opened = _opened(ring, step, since if now_ms >= ring["since_ms"] + MINUTE_MS else "")
    return opened if until is None else f"{opened}. {t('Until {time}', time=say.shuts(until, now_ms, zone))}"


def _closing(kind: str, until: int, now_ms: int, zone: Zone) -> str:
    """ "... at 16:05", but "... tomorrow 02:10"."""
    when = say.shuts(until, now_ms, zone)
    today = when == say.shuts(until, until, zone)
    if kind == "closing":
        return t("the window shuts at {time}", time=when) if today else t("the window shuts {when}", when=when)
    return t("pot life ends at {time}", time=when) if today else t("pot life ends {when}", when=when)


def _opened(ring: Ring, step: str, since: str) -> str:
    """What can be done now; when it can be for a while, since when."""
    if ring["gate"] == "induction":
        if not since:
            return t("it has stood long enough. Stir it [[a cup]]")
        return t("it has stood long enough since {time}. Stir it [[a cup]]", time=since)
    if ring["kind"] == "asked":
        return t("try it again: {step}", step=step)
    if ring["gate"] == "flashed":
        return t("{what} now, since {time}", what=step, time=since) if since else t("{what} now", what=step)
    if ring["gate"] in ("flash", AGAIN):
        return t("{step} can go on since {time}", step=step, time=since) if since else t("{step} can go on", step=step)
    return t("try it since {time}: {step}", time=since, step=step) if since else t("try it: {step}", step=step)
