"""What a card says at a moment, drawn by Django and painted by the phone.  Twin: static/js/core/card/panel_card.js"""

from ..base import words
from ..base.shapes import Trace, Zone
from ..base.states import Clocks, PanelCard, PanelState, PanelStep, PanelTimes, PhoneName, Strip, Taken
from ..base.translate import later, t
from ..base.units import DAY_MS, whole
from ..clock import film
from ..fold import duplicates, panel, shop_state

WAITS, OPENS, CLOSING, SHUT, TRY = "wait", "open", "closing", "shut", "try"
FREE, STILL, ASKED, FINISHED = "free", "still", "asked", "finished"
STATE_WORDS = {
    WAITS: later("Wait [[state]]"),
    OPENS: later("Open [[of a window, not shut]]"),
    CLOSING: later("Closing [[soon shut]]"),
    SHUT: later("Shut [[state]]"),
    TRY: later("Try it"),
    FREE: later("Your hands [[are needed]]"),
    STILL: later("Stands still"),
    ASKED: later("Wait [[state]]"),
    FINISHED: later("All done"),
}


def face(
    state: PanelState,
    times: PanelTimes,
    trace: Trace,
    now_ms: int,
    zone: Zone,
    unit: str = "c",
    phones: dict[str, PhoneName] | None = None,
    own: str = "",
) -> PanelCard:
    """All that a card shows, as words and whole numbers.

    Rule     state from the clocks; sentence from state; a clock time in every sentence that has one
    Unit     now_ms ms since 1970 UTC; zone minutes east of UTC; phones as house.fold gives them, own the one it is for
    Holds    any folded panel with the times reckoned from it
    Source   our own rule; "try it", never "done": the hand decides
    Vectors  tests/vectors/face.json
    """
    mode = mode_of(state, times, trace, now_ms)
    step = panel.current(state)
    return {
        "name": state["name"],
        "job": state["job"],
        "state": mode,
        "word": t(STATE_WORDS[mode]),
        "step": step_words(step),
        "place": _place(state, step),
        "say": _standing_still(step, times, trace, now_ms, zone, unit)
        if step and mode == STILL
        else _sentence(mode, step, times, now_ms, zone),
        "left": _left(mode, times, now_ms),
        "strip": strip(mode, times, now_ms, zone),
        "note": film.notes(times, trace, now_ms, "laid", unit) if times["gate"] and mode != FREE else "",
        "taken": _taken(state.get("taken"), phones or {}, own),
        "laid": _laid(state, step, now_ms, zone),
        "buttons": buttons(mode, step),
        "main": main_words(mode, step),
        **duplicates.asked(state, now_ms, zone),
    }


def mode_of(state: PanelState, times: PanelTimes, trace: Trace, now_ms: int) -> str:
    """The one word for where the current step stands."""
    if panel.current(state) is None:
        return FINISHED
    opens, shuts = times["opens_at"], times["shuts_at"]
    if not times["gate"]:
        return FREE
    if shuts is not None and now_ms >= shuts:
        return SHUT
    if times["ready"]:
        return FREE if times["gate"] == "sand" else _window(state, times, now_ms)
    if opens is None or now_ms < opens:
        return STILL if opens is None or film.too_cold(times, trace, now_ms) else WAITS
    if times["ask_at"] is not None and now_ms < times["ask_at"]:
        return ASKED
    return TRY if times["gate"] == "sand" else _window(state, times, now_ms)


def next_at(state: PanelState, times: PanelTimes, now_ms: int) -> int | None:
    """The next moment at which the card changes its word in steady air."""
    moments = [times["opens_at"], times["shuts_at"], times["ask_at"], film.closing_at(state, times)]
    return min((moment for moment in moments if moment is not None and moment > now_ms), default=None)


def step_words(step: PanelStep | None) -> str:
    """A step with its coat count and area: "Surfacer, coat 2 of 3", "Putty (low spot, lower edge)"."""
    if step is None:
        return t("Every step is done")
    name, coats = step["words"], step["coats"]
    if step["do"] == "coat" and coats > 1:
        name = t("{step}, coat {n} of {coats}", step=name, n=min(step["laid"] + 1, coats), coats=coats)
    return f"{name} ({step['area']})" if step["area"] else name


def buttons(mode: str, step: PanelStep | None) -> list[str]:
    """The keys of the actions a card offers, the main one first."""
    if mode == FINISHED or step is None:
        return ["away"]
    if step["do"] in ("fill", "coat"):
        return ["scuff", "lay"] if mode == SHUT else ["lay", "notyet"] if mode in (OPENS, CLOSING) else ["lay"]
    if step["do"] == "sand" and mode != FREE:
        return ["ready", "notyet"] if mode == TRY else ["ready"]
    return ["done"] if step["do"] == "clean" else ["done", "back"]


def main_words(mode: str, step: PanelStep | None) -> str:
    """What the lay button says."""
    if step is None or step["do"] not in ("fill", "coat"):
        return ""
    what = t("coat {n}", n=step["laid"] + 1) if step["do"] == "coat" else step["words"]
    if mode in (WAITS, SHUT, STILL, ASKED):
        return t("Lay anyway: {what} [[a coat]]", what=what)
    return t("Lay: {what} [[a coat]]", what=what)


def strip(mode: str, times: Clocks, now_ms: int, zone: Zone) -> Strip:
    """The strip: its shape, where now stands from 0 to 1000, and the clock times at its edges.

    The waiting part is 400 wide, the open part 480, the shut part 120, each to its own scale, so that a flash of ten
    minutes before a window of a day still shows.
    """
    laid, opens, shuts = times["laid_at"], times["opens_at"], times["shuts_at"]
    if not times["gate"] or laid is None:
        return {"shape": "none", "now": 0, "from": "", "opens": "", "shuts": ""}
    return {
        "shape": "still" if opens is None else "window" if shuts is not None else "opens",
        "now": _now_mark(laid, opens, shuts, now_ms),
        "from": words.shuts(laid, now_ms, zone),
        "opens": "" if opens is None else _opening(opens, now_ms, zone),
        "shuts": "" if shuts is None else words.shuts(shuts, now_ms, zone),
    }


def _opening(opens: int, now_ms: int, zone: Zone) -> str:
    """An opening to come is said up to the minute, one that has been is said down: neither lies in the future."""
    return words.opens(opens, now_ms, zone) if now_ms < opens else words.shuts(opens, now_ms, zone)


def _window(state: PanelState, times: PanelTimes, now_ms: int) -> str:
    closing = film.closing_at(state, times)
    return OPENS if closing is None or now_ms < closing else CLOSING


def _now_mark(laid: int, opens: int | None, shuts: int | None, now_ms: int) -> int:
    if opens is None:
        return 0
    if now_ms < opens:
        return _along(laid, opens, now_ms, 0, 400)
    if shuts is None or shuts <= opens:
        return _along(opens, opens + DAY_MS, now_ms, 400, 1000)
    if now_ms < shuts:
        return _along(opens, shuts, now_ms, 400, 880)
    return _along(shuts, shuts + DAY_MS, now_ms, 880, 1000)


def _along(begin: int, end: int, now_ms: int, low: int, high: int) -> int:
    if now_ms <= begin or end <= begin:
        return low
    return high if now_ms >= end else low + whole((high - low) * (now_ms - begin) / (end - begin))


def _place(state: PanelState, step: PanelStep | None) -> str:
    count = len(state["steps"])
    if step is None:
        return t("{count} of {count} steps", count=count)
    return t("Step {n} of {count}", n=[one["id"] for one in state["steps"]].index(step["id"]) + 1, count=count)


def _sentence(mode: str, step: PanelStep | None, times: PanelTimes, now_ms: int, zone: Zone) -> str:
    if mode == FINISHED or step is None:
        return t("Put it away, or add a step")
    what, opens, shuts, ask = _what(step, times), times["opens_at"], times["shuts_at"], times["ask_at"]
    end = "" if shuts is None else words.shuts(shuts, now_ms, zone)
    if mode == WAITS and opens is not None:
        return _waiting(what, times, words.opens(opens, now_ms, zone), end)
    if mode == ASKED and ask is not None:
        return t("Not yet. Try again at {time}", time=words.opens(ask, now_ms, zone))
    if mode == TRY and opens is not None:
        return t("Try it: open since {time}", time=_opening(opens, now_ms, zone))
    if mode == SHUT:
        return t("Window shut {time}. Sand first [[it has shut]]", time=end)
    if mode in (OPENS, CLOSING):
        return t("{what} now, until {time}", what=what, time=end) if end else t("{what} now", what=what)
    return t("Sand now [[do it]]") if step["do"] == "sand" else t("Ready for your hands")


def _waiting(what: str, times: PanelTimes, begin: str, end: str) -> str:
    if not end:
        return t("{what} from {time}", what=what, time=begin)
    opens, shuts = times["opens_at"], times["shuts_at"]
    if opens is not None and shuts is not None and shuts <= opens:
        return t("Shuts {end}, before {what} opens {time}. Sand first", end=end, what=what, time=begin)
    return t("{what} from {time}, until {end}", what=what, time=begin, end=end)


def _standing_still(step: PanelStep, times: PanelTimes, trace: Trace, now_ms: int, zone: Zone, unit: str) -> str:
    opens, lowest = times["opens_at"], times["lowest_dc"]
    cold = film.too_cold(times, trace, now_ms) or (opens is None and film.too_cold(times, trace, trace[-1][0]))
    why = t("Stands still: the air is too damp")
    if cold and lowest is not None:
        why = t("Stands still below {temp}", temp=words.degrees(lowest, unit))
    if opens is None:
        return why
    return f"{why}. {_waiting(_what(step, times), times, words.opens(opens, now_ms, zone), '')}"


def _what(step: PanelStep, times: PanelTimes) -> str:
    """What is waited for, as a sentence begins with it."""
    if times["gate"] == "sand":
        return t("Sand [[do it]]")
    return t("Coat {n}", n=step["laid"] + 1) if step["do"] == "coat" else step["words"]


def _left(mode: str, times: PanelTimes, now_ms: int) -> str:
    """The time left, beside the clock time and never alone."""
    end = times["shuts_at"] if mode in (OPENS, CLOSING) else None
    if mode in (WAITS, STILL):
        end = times["opens_at"]
    elif mode == ASKED:
        end = times["ask_at"]
    return "" if end is None else words.span(end - now_ms)


def _taken(taken: Taken | None, phones: dict[str, PhoneName], own: str) -> str:
    """Who has the panel: "Taken by Ana", "Handed to Ben: second coat on"."""
    if not taken:
        return ""
    who, note = shop_state.called(phones, taken["by"], own), taken["note"]
    if note:
        return t("Handed to {who}: {note}", who=who, note=note)
    return t("Handed to {who}", who=who) if taken["from"] else t("Taken by {who}", who=who)


def _laid(state: PanelState, step: PanelStep | None, now_ms: int, zone: Zone) -> str:
    """The newest film under the work: "Glazing putty, fine, laid 14:02"."""
    films = panel.under(state, step["area"] if step else "")
    if not films:
        return ""
    name, coat, time = films[-1]["sheet"]["name"], films[-1]["coat"], words.shuts(films[-1]["laid_at"], now_ms, zone)
    if coat > 1:
        return t("{name}, coat {n}, laid {time}", name=name, n=coat, time=time)
    return t("{name}, laid {time}", name=name, time=time)
