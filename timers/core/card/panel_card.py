"""What a card says at a moment, drawn by Django and painted by the phone.  Twin: static/js/core/card/panel_card.js"""

from ..base import words
from ..base.shapes import Trace, Zone
from ..base.states import PanelCard, PanelState, PanelStep, PanelTimes, PhoneName, Taken
from ..base.translate import later, t
from ..clock import film
from ..clock.clock_step import ClockStep, clock_step, is_untimed
from ..fold import areas, duplicates, finishing, panel, shop_state, top_films
from .aside import aside, more_buttons
from .strip import opening, strip

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
    times = film.reopened(times, now_ms)
    mode, step, clock = mode_of(state, times, trace, now_ms), panel.current(state), clock_step(state)
    what = _what(clock["step"] if clock else step)
    return {
        "name": state["name"],
        "job": state["job"],
        "state": mode,
        "word": t(STATE_WORDS[mode]),
        "step": step_words(step),
        "place": _place(state, step),
        "say": _meanwhile(
            mode,
            clock,
            _standing_still(what, times, trace, now_ms, zone, unit)
            if mode == STILL
            else _sentence(mode, state, what, times, now_ms, zone),
        ),
        "left": _left(mode, times, now_ms),
        "strip": strip(mode, times, now_ms, zone),
        "note": film.notes(times, trace, now_ms, "laid", unit) if times["gate"] and mode != FREE else "",
        "taken": _taken(state.get("taken"), phones or {}, own),
        "laid": _laid(state, step, now_ms, zone),
        "buttons": [*film.unscuffed(buttons(mode, step, clock), times), *more_buttons(state, step)],
        "main": main_words(mode, step),
        **duplicates.asked(state, now_ms, zone),
        **aside(state, times, now_ms, zone),
    }


def mode_of(state: PanelState, times: PanelTimes, trace: Trace, now_ms: int) -> str:
    """The one word for where the step stands that the clock is for: one that needs nothing is free once there is no
    moment ahead but a hand's trying."""
    times = film.reopened(times, now_ms)
    opens, shuts = times["opens_at"], times["shuts_at"]
    if panel.current(state) is None or not times["gate"]:
        return FREE if panel.current(state) else FINISHED
    if shuts is not None and now_ms >= shuts:
        return SHUT
    tried = times["gate"] != "flash"  # by hand; a coat goes by the clock
    if times["ready"]:
        return FREE if tried and shuts is None else _window(state, times, now_ms)
    if opens is None or now_ms < opens:
        return STILL if opens is None or film.too_cold(times, trace, now_ms) else WAITS
    if times["ask_at"] is not None and now_ms < times["ask_at"]:
        return ASKED
    window = _window(state, times, now_ms)
    if not tried or window == CLOSING:
        return window
    clock = clock_step(state)
    return TRY if clock is None or clock["own"] else FREE if shuts is None else window


def next_at(state: PanelState, times: PanelTimes, now_ms: int) -> int | None:
    """The next moment at which the card changes its word in steady air."""
    moments = [times["opens_at"], times["shuts_at"], times["ask_at"], film.closing_at(state, times)]
    moments.append(times.get("again_at"))
    return min((moment for moment in moments if moment is not None and moment > now_ms), default=None)


def step_words(step: PanelStep | None) -> str:
    """A step with its coat count and area: "Surfacer, coat 2 of 3", "Putty (low spot, lower edge)"."""
    if step is None:
        return t("Every step is done")
    name, coats = step["words"], step["coats"]
    if step["do"] == "coat" and coats > 1:
        name = t("{step}, coat {n} of {coats}", step=name, n=min(step["laid"] + 1, coats), coats=coats)
    return f"{name} ({areas.words(step['area'])})" if step["area"] else name


def buttons(mode: str, step: PanelStep | None, clock: ClockStep | None = None) -> list[str]:
    """The keys of the actions a card offers, the main one first."""
    if mode == FINISHED or step is None:
        return ["away"]
    if step["do"] in ("fill", "coat"):
        return ["scuff", "lay"] if mode == SHUT else ["lay", "notyet"] if mode in (OPENS, CLOSING, TRY) else ["lay"]
    tried = clock["own"] and clock["need"] != "flash" if clock else step["do"] == "sand"
    if tried and mode in (WAITS, STILL, ASKED, TRY):
        return ["ready", "notyet"] if mode == TRY else ["ready"]
    done = ["done"] if step["do"] == "clean" else ["done", "back"]
    return ["scuff", *done] if mode == SHUT else done


def main_words(mode: str, step: PanelStep | None) -> str:
    """What the lay button says."""
    if step is None or step["do"] not in ("fill", "coat"):
        return ""
    what = t("coat {n}", n=step["laid"] + 1) if step["do"] == "coat" else step["words"]
    if mode in (WAITS, SHUT, STILL, ASKED):
        return t("Lay anyway: {what} [[a coat]]", what=what)
    return t("Lay: {what} [[a coat]]", what=what)


def _window(state: PanelState, times: PanelTimes, now_ms: int) -> str:
    closing = film.closing_at(state, times)
    return OPENS if closing is None or now_ms < closing else CLOSING


def _place(state: PanelState, step: PanelStep | None) -> str:
    ids = [one["id"] for one in finishing.steps(state)]
    if step is None:
        return t("{count} of {count} steps", count=len(ids))
    return t("Step {n} of {count}", n=ids.index(step["id"]) + 1, count=len(ids))


def _meanwhile(mode: str, clock: ClockStep | None, say: str) -> str:
    """What is said of the clock of a later step, and that the current one needs nothing."""
    if clock is None or clock["own"]:
        return say
    if mode in (WAITS, STILL, ASKED):
        return t("{say}. This step can be done meanwhile", say=say)
    return t("{say}. This step comes first", say=say) if mode in (OPENS, CLOSING) else say


def _sentence(mode: str, state: PanelState, what: str, times: PanelTimes, now_ms: int, zone: Zone) -> str:
    step = panel.current(state)
    if mode == FINISHED or step is None:
        return t("Put it away, or add a step")
    opens, shuts, ask = times["opens_at"], times["shuts_at"], times["ask_at"]
    end = "" if shuts is None else words.shuts(shuts, now_ms, zone)
    if mode == WAITS and opens is not None:
        return _waiting(what, times, words.opens(opens, now_ms, zone), end)
    if mode == ASKED and ask is not None:
        return t("Not yet. Try again at {time}", time=words.opens(ask, now_ms, zone))
    if mode == TRY and opens is not None:
        return t("Try it: open since {time}", time=opening(opens, now_ms, zone))
    if mode == SHUT:
        return film.shut_words(times, now_ms, zone)
    if mode in (OPENS, CLOSING):
        return t("{what} now, until {time}", what=what, time=end) if end else t("{what} now", what=what)
    if is_untimed(state, step):
        return t("The sheet gives no time for it. Look it up")
    return t("Sand now [[do it]]") if step["do"] == "sand" else t("Ready for your hands")


def _waiting(what: str, times: PanelTimes, begin: str, end: str) -> str:
    if not end:
        return t("{what} from {time}", what=what, time=begin)
    opens, shuts = times["opens_at"], times["shuts_at"]
    if opens is not None and shuts is not None and shuts <= opens:
        return t("Shuts {end}, before {what} opens {time}. Sand first", end=end, what=what, time=begin)
    return t("{what} from {time}, until {end}", what=what, time=begin, end=end)


def _standing_still(what: str, times: PanelTimes, trace: Trace, now_ms: int, zone: Zone, unit: str) -> str:
    opens, lowest = times["opens_at"], times["lowest_dc"]
    cold = film.too_cold(times, trace, now_ms) or (opens is None and film.too_cold(times, trace, trace[-1][0]))
    why = t("Stands still: the air is too damp")
    if cold and lowest is not None:
        why = t("Stands still below {temp}", temp=words.degrees(lowest, unit))
    if opens is None:
        return why
    return f"{why}. {_waiting(what, times, words.opens(opens, now_ms, zone), '')}"


def _what(step: PanelStep | None) -> str:
    """What is waited for, as a sentence begins with it."""
    if step is None:
        return ""
    if step["do"] == "sand":
        return t("Sand [[do it]]")
    return t("Coat {n}", n=step["laid"] + 1) if step["do"] == "coat" else step["words"]


def _left(mode: str, times: PanelTimes, now_ms: int) -> str:
    """The time left, beside the clock time and never alone."""
    end = times["shuts_at"] if mode in (OPENS, CLOSING) else times.get("again_at") if mode == SHUT else None
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
    films = top_films.under(state, step["area"] if step else "")
    if not films:
        return ""
    name, coat, time = films[-1]["sheet"]["name"], films[-1]["coat"], words.shuts(films[-1]["laid_at"], now_ms, zone)
    if coat > 1:
        return t("{name}, coat {n}, laid {time}", name=name, n=coat, time=time)
    return t("{name}, laid {time}", name=name, time=time)
