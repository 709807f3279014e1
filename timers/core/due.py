"""What is due of a panel or a cup: when it rings, under which key, in which words.  Twin: static/js/core/due.js

A ring is {"key", "kind", "gate", "at_ms", "since_ms", "until_ms"}: it rings at `at_ms`, which is `since_ms` unless it
was put off, and is of no use from `until_ms` on (None: it stays).  The key names the thing, the kind, the gate and the
films, not the moment: a clock that moves keeps its key.
"""

from . import cup, film, panel, quiet
from . import words as say
from .tongue import later, t
from .units import HOUR_MS, MINUTE_MS

URGENCY = ("closing", "pot_closing", "shut", "pot_shut", "opens", "asked", "clear")
NOT_SPRAYED = ("putty",)
MOST_FILMS = 20  # as many as a key names
SINCE = {
    "shut": later("the window is shut since {time}. Sand first"),
    "pot_shut": later("pot life over since {time}"),
    "clear": later("the air has had its time to clear since {time}. The safety data sheet rules"),
}


def rings(on: str, state: dict, times: dict, now_ms: int) -> list[dict]:
    """What rings of a panel or a cup that stands on the floor, from now on or still.

    Rule     an opening that was waited for, its closing before it shuts, the shutting; what came later takes the place
             of what came before; what was silenced is left out, what was put off rings again
    Unit     ms since 1970 UTC
    Holds    any folded panel or cup with the times reckoned from it (film.times, cup.times)
    Source   our own rule
    Vectors  tests/vectors/due.json
    """
    if not stands(on, state):
        return []
    found = (_of_cup if on.startswith("cup:") else _of_panel)(on, state, times)
    begun = any(ring["kind"].endswith("closing") and ring["since_ms"] <= now_ms for ring in found)
    found = [ring for ring in found if not (begun and ring["kind"] in ("opens", "asked"))]
    held = state.get("quiet") or {}
    heard = [_heeded(ring, held) for ring in found if held.get(ring["key"], 0) is not None]
    return [ring for ring in heard if _is_of_use(ring, now_ms)]


def stands(on: str, state: dict) -> bool:
    """Whether a thing stands on the floor: a panel added and not put away, a cup mixed and not emptied."""
    if on.startswith("cup:"):
        return cup.stands(state)
    return on.startswith("panel:") and state["added_at"] is not None and state["away_at"] is None


def overdue(found: list[dict], told_keys: list, now_ms: int) -> list[dict]:
    """What must ring now and was not told yet, most urgent first."""
    told = set(told_keys)
    now = [ring for ring in found if ring["at_ms"] <= now_ms and ring["key"] not in told]
    return urgent_first([ring for ring in now if _is_of_use(ring, now_ms)])


def urgent_first(found: list[dict]) -> list[dict]:
    """What closes first, then what has shut, what opens, what is asked again; the earlier before the later."""
    return sorted(found, key=lambda ring: (URGENCY.index(ring["kind"]), ring["since_ms"], ring["key"]))


def next_at(found: list[dict], now_ms: int) -> int | None:
    """The next moment that rings, or None."""
    return min((ring["at_ms"] for ring in found if ring["at_ms"] > now_ms), default=None)


def name_of(state: dict) -> str:
    """What a ring calls its thing: a panel's name, "Cup: Surfacer"."""
    return t("Cup: {name}", name=state["sheet"]["name"]) if "mixed_at" in state else state["name"]


def todo(state: dict) -> str:
    """What a ring says there is to do on a panel: "coat 2", "sand P180", "Glazing putty"; of a cup nothing."""
    step = None if "mixed_at" in state else panel.current(state)
    if step is None:
        return ""
    said = t("coat {n}", n=step["laid"] + 1) if step["do"] == "coat" else step["words"]
    return f"{said} ({step['area']})" if step["area"] else said


def words(ring: dict, name: str, step_words: str, now_ms: int, zone) -> str:
    """A ring in one sentence with a clock time: "Left door: coat 2 can go on. Until 16:05".

    Rule     a closing is said down to the minute, an opening up; what is over says since when
    Unit     ms since 1970 UTC; zone minutes east of UTC
    Holds    a ring of `rings`; name and step_words as `name_of` and `todo` give them
    Source   our own rule
    Vectors  tests/vectors/due.json
    """
    return f"{name}: {_said(ring, step_words, now_ms, zone)}"


def _is_of_use(ring: dict, now_ms: int) -> bool:
    return ring["until_ms"] is None or now_ms < ring["until_ms"]


def _of_panel(on: str, state: dict, times: dict) -> list[dict]:
    found = _windows(on, state, times) if times["gate"] else []
    waits = [(one, _clear_ms(one["sheet"])) for one in state["films"]]
    clears = [(one["laid_at"] + wait, one["id"]) for one, wait in waits if wait]
    if clears:
        at, film_id = max(clears)
        found.append(_ring(f"{on} clear clear_air {film_id[-12:]}", at, at + HOUR_MS))
    return found


def _windows(on: str, state: dict, times: dict) -> list[dict]:
    opens, shuts, ask = times["opens_at"], times["shuts_at"], times["ask_at"]
    films = ",".join(film_id[-12:] for film_id in times["films"][-MOST_FILMS:])
    key = f"{times['gate']} {films}"
    since = max([times["laid_at"], *(step["done_at"] for step in state["steps"] if step["done_at"] is not None)])
    found = []
    if opens is not None and (shuts is None or opens < shuts):
        if ask is not None and not times["ready"]:
            found.append(_ring(f"{on} asked {key} {ask}", max(opens, ask), shuts))
        elif not times["ready"] and opens > since:  # what had opened before the work came to it needs no ring
            found.append(_ring(f"{on} opens {key}", opens, shuts))
        if shuts is not None:
            found.append(_ring(f"{on} closing {key}", film.closing_at(state, times), shuts))
    return found + ([_ring(f"{on} shut {key}", shuts, None)] if shuts is not None else [])


def _clear_ms(sheet: dict) -> int:
    """The longest time that a sheet gives the air to clear after spraying, or 0.  Fresh air does that, not warmth."""
    points = [] if sheet["cls"] in NOT_SPRAYED else sheet["gates"].get("clear_air", [])
    return max((long for _, _, long in points), default=0)


def _of_cup(on: str, state: dict, times: dict) -> list[dict]:
    opens, shuts = times["opens_at"], times["shuts_at"]
    found = []
    if opens is not None and (shuts is None or opens < shuts):
        if times["induction"]:
            found.append(_ring(f"{on} opens induction", opens, shuts))
        if shuts is not None:
            found.append(_ring(f"{on} pot_closing pot", max(opens, shuts - film.lead_ms(opens, shuts)), shuts))
    return found + ([_ring(f"{on} pot_shut pot", shuts, None)] if shuts is not None else [])


def _ring(key: str, at_ms: int, until_ms: int | None) -> dict:
    _, kind, gate = key.split(" ")[:3]
    return {"key": key, "kind": kind, "gate": gate, "at_ms": at_ms, "since_ms": at_ms, "until_ms": until_ms}


def _heeded(ring: dict, held: dict) -> dict:
    """A ring at the moment it was put off to."""
    if ring["key"] not in held:
        return ring
    until = held[ring["key"]]
    return {**ring, "key": quiet.later(ring["key"], until), "at_ms": max(ring["at_ms"], until)}


def _said(ring: dict, step: str, now_ms: int, zone) -> str:
    kind, until = ring["kind"], ring["until_ms"]
    since = say.shuts(ring["since_ms"], now_ms, zone)
    if kind in SINCE:
        return t(SINCE[kind], time=since)
    if kind in ("closing", "pot_closing"):
        return _closing(kind, until, now_ms, zone)
    said = _opened(ring, step, since if now_ms >= ring["since_ms"] + MINUTE_MS else "")
    return said if until is None else f"{said}. {t('Until {time}', time=say.shuts(until, now_ms, zone))}"


def _closing(kind: str, until: int, now_ms: int, zone) -> str:
    """ "... at 16:05", but "... tomorrow 02:10"."""
    when = say.shuts(until, now_ms, zone)
    today = when == say.shuts(until, until, zone)
    if kind == "closing":
        return t("the window shuts at {time}", time=when) if today else t("the window shuts {when}", when=when)
    return t("pot life ends at {time}", time=when) if today else t("pot life ends {when}", when=when)


def _opened(ring: dict, step: str, since: str) -> str:
    """What can be done now; when it can be for a while, since when."""
    if ring["gate"] == "induction":
        if not since:
            return t("it has stood long enough. Stir it [[a cup]]")
        return t("it has stood long enough since {time}. Stir it [[a cup]]", time=since)
    if ring["kind"] == "asked":
        return t("try it again: {step}", step=step)
    if ring["gate"] == "flash":
        return t("{step} can go on since {time}", step=step, time=since) if since else t("{step} can go on", step=step)
    return t("try it since {time}: {step}", time=since, step=step) if since else t("try it: {step}", step=step)
