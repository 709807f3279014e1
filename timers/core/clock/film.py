"""The clocks under one piece of work: when it opens, when it shuts.  Twin: static/js/core/clock/film.js"""

from ..base import words
from ..base.shapes import Sheet, Trace, Zone
from ..base.states import AirState, Clocks, FilmTimes, LaidSheet, PanelState, PanelTimes
from ..base.translate import later, t
from ..base.units import DAY_MS, MINUTE_MS, clamp
from ..base.words import degrees
from . import air, cure
from .clock_step import ClockStep, clock_steps, films_for, gates_for
from .cure import COLD, HOT
from .lanes import lanes

NOT_SPRAYED = ("putty", "seam")
AGAIN = "recoat_again"  # the gate at which a window that has shut opens again
FROM_AHEAD = {
    "laid": later("laid at a time still to come: a phone's clock is wrong"),
    "mixed": later("mixed at a time still to come: a phone's clock is wrong"),
}


def felt(state: PanelState, air_state: AirState, trace: Trace) -> Trace:
    """The trace that a panel's films have felt: the shop's, with the panel's own surface ruling over the air."""
    surfaces = state.get("surfaces")
    return air.trace(air_state, surfaces) if surfaces else trace


def times(state: PanelState, trace: Trace) -> PanelTimes:
    """The moments that rule the step that the clock is for, reckoned once for a state and a trace; `now` is not needed.

    Rule     opens with the last of the films under that step, shuts with the first; a film found ready holds no one up;
             a clean or check step shuts only for the coat that follows it.  `later` are the same moments of the steps
             behind it that wait for other gates of the films, without theirs; `lanes` those of each lane of a panel
             that has several
    Unit     ms since 1970 UTC; None where there is no such moment
    Holds    any folded panel, any trace
    Source   design rule "two sides"
    Vectors  tests/vectors/times.json
    """
    each = [(lane["area"], _of_lane(lane["state"], trace)) for lane in lanes(state)]
    first = each[0][1]
    return {**first, "lanes": [{**one, "area": area} for area, one in each]} if each[1:] else first


def _of_lane(state: PanelState, trace: Trace) -> PanelTimes:
    clocks = clock_steps(state)
    reckoned = _times(state, clocks[0] if clocks else None, trace)
    if clocks[1:]:
        reckoned["later"] = [{**_times(state, one, trace), "step": one["step"]["id"]} for one in clocks[1:]]
    return reckoned


def _times(state: PanelState, clock: ClockStep | None, trace: Trace) -> PanelTimes:
    need = clock["need"] if clock else ""
    films = films_for(state, clock["area"], need) if clock else []
    gates = [gate for gate in (gate_of(film, need, trace) for film in films) if gate]
    coated = films_for(state, clock["coated"], "flash") if clock and clock["coated"] is not None else []
    windows = gates if clock and clock["work"] else []
    windows = windows + [gate for gate in (gate_of(film, "flash", trace) for film in coated) if gate]
    holding = [gate for gate in gates if not gate["ready"]] or gates
    last = max(holding, key=_waits_until, default=None)
    shutting = [gate for gate in windows if gate["shuts_at"] is not None]
    again = [gate.get("again_at") for gate in shutting]
    moments = [at for at in again if at is not None]
    reckoned: PanelTimes = {
        "gate": need,
        "films": [gate["film"] for gate in gates],
        "laid_at": max((gate["laid_at"] for gate in gates), default=None),
        "opens_at": last["opens_at"] if last else None,
        "shuts_at": min((gate["shuts_at"] for gate in shutting if gate["shuts_at"] is not None), default=None),
        "ask_at": max((gate["ask_at"] for gate in holding if gate["ask_at"] is not None), default=None),
        "ready": bool(gates) and all(gate["ready"] for gate in gates),
        "beyond": any(gate["beyond"] for gate in gates),
        "typical": any(gate["typical"] for gate in gates),
        "lowest_dc": last["lowest_dc"] if last else None,
        "highest_dc": min((gate["highest_dc"] for gate in gates if gate["highest_dc"] is not None), default=None),
    }
    if moments and len(moments) == len(again):
        reckoned["again_at"] = max(moments)
    return reckoned


def reopened(times: PanelTimes, now_ms: int) -> PanelTimes:
    """The moments as they count once a window that had shut is open again: it opens then and shuts no more.

    Rule     of a film that wrinkles: coat it within the hour, or again after a day or two
    Unit     ms since 1970 UTC
    Holds    any times
    Source   common practice, no source
    Vectors  tests/vectors/times.json, tests/vectors/face.json
    """
    again = times.get("again_at")
    if again is None or now_ms < again:
        return times
    return {**times, "opens_at": again, "shuts_at": None}


def unscuffed(buttons: list[str], times: PanelTimes) -> list[str]:
    """The buttons of a card: no sanding helps a film whose window opens again by itself."""
    return [key for key in buttons if key != "scuff" or "again_at" not in times]


def shut_words(times: PanelTimes, now_ms: int, zone: Zone) -> str:
    """What a card says of a window that has shut."""
    again, end = times.get("again_at"), words.shuts(times["shuts_at"] or 0, now_ms, zone)
    if again is None:
        return t("Window shut {time}. Sand first [[it has shut]]", time=end)
    begin = words.opens(again, now_ms, zone)
    return t("Window shut {time}, a coat now wrinkles. Again from {again}", time=end, again=begin)


def gate_of(film: LaidSheet, need: str, trace: Trace) -> FilmTimes | None:
    """One film's opening and shutting for a need, or None where its sheet has neither."""
    opener, shutter = gates_for(film["sheet"], need)
    if not opener and not shutter:
        return None
    laid, sheet = film["laid_at"], film["sheet"]
    lowest, highest = cure.limits(sheet, opener or shutter)
    opens = cure.opens_at(cure.opening(sheet, opener), laid, trace) if opener else laid
    shuts = cure.closes_at(cure.closing(sheet, shutter), laid, trace) if shutter else None
    reckoned: FilmTimes = {
        "film": film["id"],
        "laid_at": laid,
        "opens_at": opens,
        "shuts_at": shuts,
        "ask_at": film["ask"].get(need, film["ask"].get(opener)),
        "ready": need in film["ready"] or opener in film["ready"],
        "beyond": reaches_beyond(sheet, opener, laid, opens, trace, COLD)
        or reaches_beyond(sheet, shutter, laid, shuts, trace, HOT),
        "typical": bool(sheet.get("typical")),
        "lowest_dc": lowest,
        "highest_dc": highest,
    }
    again = cure.opens_at(cure.opening(sheet, AGAIN), laid, trace) if shutter and AGAIN in sheet["gates"] else None
    if again is not None and shuts is not None and again > shuts:
        reckoned["again_at"] = again
    return reckoned


def clear_ms(sheet: Sheet) -> int:
    """The longest time that a sheet gives the air to clear after spraying, or 0.  Fresh air does that, not warmth."""
    points = [] if sheet["cls"] in NOT_SPRAYED else sheet["gates"].get("clear_air", [])
    return max((long for _, _, long in points), default=0)


def lead_ms(opens_at: int, shuts_at: int) -> int:
    """How long before a window shuts the screen says so: a quarter of the window, from 2 to 30 minutes."""
    return clamp((shuts_at - opens_at) // 4, 2 * MINUTE_MS, 30 * MINUTE_MS)


def closing_at(state: PanelState, times: PanelTimes) -> int | None:
    """When a panel's window begins to close: what its card says and what rings of it go by one rule.

    Rule     before it shuts, as long as the newest film's sheet says, else a quarter of the window; not before it opens
    Unit     ms since 1970 UTC; None where nothing opens or nothing shuts
    Holds    any folded panel with the times reckoned from it
    Source   our own rule
    Vectors  tests/vectors/times.json
    """
    opens, shuts = times["opens_at"], times["shuts_at"]
    if opens is None or shuts is None:
        return None
    under = set(times["films"])
    newest = [one for one in state["films"] if one["id"] in under][-1:]
    own = newest[0]["sheet"].get("lead_ms") if newest else None
    return max(opens, shuts - (lead_ms(opens, shuts) if own is None else own))


def ask_again_at(laid_at: int, opens_at: int | None, now_ms: int) -> int:
    """When a film that was not ready is asked about again: a quarter of its wait later, from 3 to 30 minutes; a day
    later where it waited for two days and more."""
    wait = (opens_at or now_ms) - laid_at
    return now_ms + (DAY_MS if wait >= 2 * DAY_MS else clamp(wait // 4, 3 * MINUTE_MS, 30 * MINUTE_MS))


def too_cold(times: Clocks, trace: Trace, now_ms: int) -> bool:
    lowest = times["lowest_dc"]
    return lowest is not None and cure.side_dc(air.at(trace, now_ms), COLD) < lowest


def too_hot(times: Clocks, trace: Trace, now_ms: int) -> bool:
    highest = times["highest_dc"]
    return highest is not None and cure.side_dc(air.at(trace, now_ms), HOT) > highest


def reaches_beyond(sheet: Sheet, gate: str, start_ms: int, end_ms: int | None, trace: Trace, side: int) -> bool:
    """Whether a gate's clock meets temperatures outside the sheet's own lines; of a gate the sheet has not, never.

    Rule     from the start to the end, of a clock that never ends to the last reading; side COLD or HOT of cure
    Unit     ms since 1970 UTC
    Holds    a sheet as a film keeps it
    Source   design, "beyond the sheet"
    Vectors  tests/vectors/times.json, tests/vectors/cup.json
    """
    if gate not in sheet["gates"]:
        return False
    end = trace[-1][0] if end_ms is None else end_ms
    return cure.beyond(cure.opening(sheet, gate), start_ms, max(start_ms, end), trace, side)


def notes(times: Clocks, trace: Trace, now_ms: int, done: str, unit: str) -> str:
    """What the person must know about the figures of a film or a cup; `done` is "laid" or "mixed"."""
    parts, laid, highest = [], times["laid_at"], times["highest_dc"]
    if laid is not None and laid > now_ms + MINUTE_MS:
        parts.append(t(FROM_AHEAD[done]))
    if highest is not None and too_hot(times, trace, now_ms):
        parts.append(t("above {temp}: too hot for this sheet", temp=degrees(highest, unit)))
    if times["beyond"]:
        parts.append(t("beyond the sheet"))
    if times["typical"] and times["gate"]:
        parts.append(t("typical, check your sheet"))
    return "; ".join(parts)


def _waits_until(gate: FilmTimes) -> tuple[bool, int]:
    """What holds the work up longest: a film that stands still (most warmth asked for first), else the last to open."""
    opens = gate["opens_at"]
    return (True, gate["lowest_dc"] or 0) if opens is None else (False, opens)
