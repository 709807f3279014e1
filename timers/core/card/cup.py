"""A cup: one mixed batch, from the mixing to the emptying.  Twin: static/js/core/card/cup.js

It keeps the sheet it was mixed by, so that a product rewritten later moves no running clock.  Amounts are whole ml by
volume, tenths of a gram by weight, one for each part in the order of pouring.
"""

from collections.abc import Callable
from typing import cast

from ..base import words
from ..base.check import plain
from ..base.shapes import Act, Sheet, Trace, Zone
from ..base.states import CupCard, CupState, CupTimes, Strip
from ..base.translate import decimal, later, t
from ..base.units import DAY_MS, whole
from ..clock import cure, film
from ..fold import silence
from ..fold.order import standing
from .panel_card import CLOSING, OPENS, SHUT, STILL, WAITS
from .strip import strip as strip_of

WORDS = {
    WAITS: later("Wait [[state]]"),
    OPENS: later("Good [[to use]]"),
    CLOSING: later("Closing [[soon shut]]"),
    SHUT: later("Over [[pot life]]"),
    STILL: later("Too cold"),
}
_SILENCING: dict[str, Callable[[CupState, Act], None]] = {
    "ring_silenced": silence.silenced,
    "ring_snoozed": silence.snoozed,
}
METRIC = {"temp": "c", "volume": "ml", "weight": "g"}
# Common practice, no source; the safety data sheets of two-part products say the same in their own words.
CAUTION = later(
    "Left-over mix heats itself in a lump. Spread it thin on a metal tray, outdoors. "
    "Never back into the tin. The safety data sheet rules."
)


def fold(acts: list[Act]) -> CupState:
    """The cup as its standing acts make it.

    Rule     the first mixing, wherever it stands in time; each panel once, at its first use; the last emptying
    Unit     ms since 1970 UTC; ml, or tenths of a gram
    Holds    any checked acts of one cup
    Source   our own rule: an undone mixing leaves a cup that was never there
    Vectors  tests/vectors/cup.json
    """
    state = _blank()
    acts = standing(acts)
    for act in [act for act in acts if act["kind"] == "cup_mixed"][:1]:
        _mixed(state, act)
    for act in acts:
        if act["kind"] == "cup_used" and act["panel"] not in [panel for panel, _ in state["used"]]:
            state["used"].append((act["panel"], act["at"]))
        elif act["kind"] == "cup_emptied":
            state["emptied_at"], state["left"] = act["at"], act["left"]
        elif act["kind"] in _SILENCING:
            _SILENCING[act["kind"]](state, act)
    return state


def stands(state: CupState) -> bool:
    """Whether a cup stands on the floor: mixed and not emptied."""
    return state["mixed_at"] is not None and state["emptied_at"] is None


def times(state: CupState, trace: Trace) -> CupTimes:
    """The moments that rule a cup, named as those of a panel are.

    Rule     opens when the induction is over, from the cold side; shuts with the pot life, from the hot side
    Unit     ms since 1970 UTC; opens_at None: stands still; shuts_at None: the sheet tells no pot life
    Holds    any mixed cup, any trace; without an induction it opens as it is mixed
    Source   design rule "two sides"
    Vectors  tests/vectors/cup.json
    """
    sheet, mixed = cast(Sheet, state["sheet"]), cast(int, state["mixed_at"])
    waits, lasts = "induction" in sheet["gates"], "pot" in sheet["gates"]
    opens = cure.opens_at(cure.opening(sheet, "induction"), mixed, trace) if waits else mixed
    shuts = cure.closes_at(cure.closing(sheet, "pot"), mixed, trace) if lasts else None
    lowest, highest = cure.limits(sheet, "induction" if waits else "pot")
    return {
        "gate": "pot" if waits or lasts else "",
        "induction": waits,
        "laid_at": mixed,
        "opens_at": opens,
        "shuts_at": shuts,
        "ask_at": None,
        "beyond": film.reaches_beyond(sheet, "induction", mixed, opens, trace, cure.COLD)
        or film.reaches_beyond(sheet, "pot", mixed, shuts, trace, cure.HOT),
        "typical": bool(sheet.get("typical")),
        "lowest_dc": lowest,
        "highest_dc": highest,
    }


def mode_of(times: CupTimes, trace: Trace, now_ms: int) -> str:
    """The one word for where a cup stands."""
    opens, shuts = times["opens_at"], times["shuts_at"]
    if shuts is not None and now_ms >= shuts:
        return SHUT
    if times["induction"] and (opens is None or now_ms < opens):
        return STILL if opens is None or film.too_cold(times, trace, now_ms) else WAITS
    if opens is None or shuts is None:
        return OPENS
    return CLOSING if now_ms >= shuts - film.lead_ms(opens, shuts) else OPENS


def face(
    state: CupState,
    times: CupTimes,
    trace: Trace,
    now_ms: int,
    zone: Zone,
    panel_names: dict[str, str],
    units: dict[str, str] = METRIC,
) -> CupCard:
    """All that a cup's card shows, as words and whole numbers.

    Rule     state from the clocks; sentence from state; a clock time in every sentence that has one
    Unit     now_ms ms since 1970 UTC; zone minutes east of UTC; panel_names by thing, "a panel" where it has none;
             units as house.fold gives them
    Holds    any mixed cup with the times reckoned from it
    Source   our own rule
    Vectors  tests/vectors/cup.json
    """
    mode, by, sheet = mode_of(times, trace, now_ms), state["by"], cast(Sheet, state["sheet"])
    parts = [f"{name} {amount(by, much, units)}" for name, much in zip(state["names"], state["amounts"], strict=True)]
    return {
        "name": t("Cup: {name}", name=f"{sheet['name']} ({amount(by, sum(state['amounts']), units)})"),
        "meant": _meant(state["for"], panel_names),
        "step": sheet.get("variant", ""),
        "state": mode,
        "word": t(WORDS[mode]),
        "say": _sentence(mode, times, now_ms, zone, units),
        "left": _left(mode, times, now_ms),
        "strip": _strip(mode, times, now_ms, zone),
        "laid": t(
            "Mixed {time}: {parts}", time=words.shuts(cast(int, times["laid_at"]), now_ms, zone), parts=", ".join(parts)
        ),
        "went": _went([panel for panel, _ in state["used"]], panel_names),
        "note": film.notes(times, trace, now_ms, "mixed", units["temp"]),
        "caution": t(CAUTION) if mode in (CLOSING, SHUT) else "",
        "buttons": ["cup-empty"],
    }


def amount(by: str, much: int, units: dict[str, str] = METRIC) -> str:
    """An amount in a cup as the shop reads it: "600 ml", "25.5 g", "20.29 fl oz", "0.899 oz"."""
    if units[by] == "floz":
        return f"{decimal(_over(much * 1_000_000, 295_735, 100))} fl oz"  # as measures.ML_PER_FL_OZ
    if units[by] == "oz":
        return f"{decimal(_over(much * 1_000_000, 283_495, 1000))} oz"  # as measures.G_PER_OZ
    return f"{decimal(plain(much, 10))} g" if by == "weight" else f"{much} ml"


def _over(value: int, by: int, scale: int) -> str:
    """A scaled quotient in plain decimals, rounded to the nearest."""
    return str((2 * value + by) // (2 * by) / scale).removesuffix(".0")


def _blank() -> CupState:
    return {
        "mixed_at": None,
        "who": None,
        "product": "",
        "sheet": None,
        "by": "",
        "amounts": [],
        "names": [],
        "for": [],
        "used": [],
        "emptied_at": None,
        "left": None,
        "quiet": {},
    }


def _mixed(state: CupState, act: Act) -> None:
    state["mixed_at"], state["who"] = act["at"], act.get("who")
    state["product"], state["sheet"], state["by"] = act["product"], act["sheet"], act["by"]
    state["amounts"], state["names"], state["for"] = act["amounts"], act["names"], act.get("for", [])
    if "corrected" in act:
        state["corrected"] = act["corrected"]


def _sentence(mode: str, times: CupTimes, now_ms: int, zone: Zone, units: dict[str, str]) -> str:
    opens, shuts = times["opens_at"], times["shuts_at"]
    until = "" if shuts is None else words.shuts(shuts, now_ms, zone)
    if mode == SHUT:
        return t("Pot life over since {time}. Do not use it", time=until)
    if mode == CLOSING:
        return t("Good only until {time} [[to use]]", time=until)
    good = t("Good until {time} [[to use]]", time=until) if until else ""
    if mode == OPENS:
        return good or t("No pot life is on its sheet")
    ready = "" if opens is None else words.opens(opens, now_ms, zone)
    if opens is not None and shuts is not None and shuts <= opens:
        return t("Pot life over {time}, before it is ready {ready}. Do not use it", time=until, ready=ready)
    wait = t("Stir, wait until {time} (induction)", time=ready)
    line = _standing_still(times, ready, units) if mode == STILL else wait
    return f"{line}. {good}" if good else line


def _standing_still(times: CupTimes, ready: str, units: dict[str, str]) -> str:
    below = t("Stands still below {temp}", temp=words.degrees(cast(int, times["lowest_dc"]), units["temp"]))
    return f"{below}. {t('Stir, wait until {time}', time=ready)}" if ready else below


def _left(mode: str, times: CupTimes, now_ms: int) -> str:
    """The time left, beside the clock time and never alone; of a wait that comes to nothing, none."""
    opens, shuts = times["opens_at"], times["shuts_at"]
    waits = mode in (WAITS, STILL)
    end = opens if waits else shuts
    never = opens is not None and shuts is not None and shuts <= opens
    if mode == SHUT or end is None or (waits and never):
        return ""
    return words.span(end - now_ms)


def _strip(mode: str, times: CupTimes, now_ms: int, zone: Zone) -> Strip:
    """As a panel's; without an induction nothing waits, and the open part takes its place too."""
    strip = strip_of(mode, times, now_ms, zone)
    mixed, shuts = times["laid_at"], times["shuts_at"]
    if times["induction"] or mixed is None or shuts is None:
        return strip
    gone, lasts, over = max(now_ms - mixed, 0), max(shuts - mixed, 1), min(now_ms - shuts, DAY_MS)
    now = 880 + whole(120 * over / DAY_MS) if now_ms >= shuts else whole(880 * gone / lasts)
    return {**strip, "shape": "pot", "now": now, "opens": ""}


def _meant(panels: list[str], panel_names: dict[str, str]) -> str:
    return t("For {panels} [[a cup]]", panels=_listed(panels, panel_names)) if panels else ""


def _went(panels: list[str], panel_names: dict[str, str]) -> str:
    return t("Went on {panels} [[a cup]]", panels=_listed(panels, panel_names)) if panels else ""


def _listed(panels: list[str], panel_names: dict[str, str]) -> str:
    return ", ".join(panel_names.get(panel) or t("a panel") for panel in panels)
