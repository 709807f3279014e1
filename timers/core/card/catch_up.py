"""What others did while a phone did not hear from the shop, thing by thing.  Twin: static/js/core/card/catch_up.js"""

from typing import TypedDict

from ..base.corrections import CORRECTED
from ..base.shapes import Act
from ..base.states import PanelState
from ..fold import duplicates, panel, shelf
from ..fold.order import in_order, standing, taken_out

ANSWERS = ("twice", "rivals")  # kinds that ask a person


class Change(TypedDict):
    """A line of what others did meanwhile: how many, what the panel is called, what this phone had called it."""

    on: str
    kind: str
    n: int
    name: str
    yours: str


def lines(on: str, before: list[Act], after: list[Act], own: str) -> list[Change]:
    """What changed on one thing, as [{"on", "kind", "n", "name", "yours"}], none where nothing did that others made.

    Rule     of a panel: questions first (twice), then what took something of this phone's own (ready_void, name_lost),
             then what is gone, put away, brought back, added, renamed, taken out, laid, done, corrected; of a
             product: rivals.  Acts of this phone, and what was taken out again, say nothing
    Unit     n: how many; name: what the panel is called now, or was called last; yours: what this phone had called it
    Holds    all acts of the thing that the phone held before, its own among them, and holds now; any kinds of things
    Source   our own rule: whoever was away must not have to read each panel's history
    Vectors  tests/vectors/meanwhile.json
    """
    known = {act["id"] for act in before}
    fresh = [act for act in in_order(after) if act["id"] not in known and act.get("who") != own]
    if not fresh:
        return []
    if on.startswith("product:"):
        more = len(shelf.fold(after)["rivals"]) > len(shelf.fold(before)["rivals"])
        return [_line(on, "rivals", 1)] if more else []
    return _of_panel(on, before, after, fresh, own) if on.startswith("panel:") else []


def _of_panel(on: str, before: list[Act], after: list[Act], fresh: list[Act], own: str) -> list[Change]:
    was, now = panel.fold(before), panel.fold(after)
    out = _films_out(before, after, fresh)
    void = len([act for act in out if _was_ready(before, act["film"], own)])
    stood, stands = was["added_at"] is not None, now["added_at"] is not None
    away_before, away = was["away_at"] is not None, now["away_at"] is not None
    renamed = stood and stands and now["name"] != was["name"]
    lost = renamed and _namer(before) == own and _namer(after) != own
    ids = {act["id"] for act in fresh}
    stand = [act for act in standing(after) if act["id"] in ids]
    counts = [
        ("twice", _once_if(_asks(now, stand))),
        ("ready_void", void),
        ("name_lost", _once_if(lost)),
        ("gone", _once_if(stood and not stands)),
        ("put_away", _once_if(stands and away and not away_before)),
        ("brought_back", _once_if(stands and away_before and not away)),
        ("added", _once_if(stands and not stood)),
        ("renamed", _once_if(renamed and not lost)),
        ("film_out", len(out) - void),
        ("laid", len([act for act in stand if act["kind"] == "film_laid"])),
        ("done", len([act for act in stand if act["kind"] == "step_done"])),
        ("corrected", len([act for act in fresh if act["kind"] == CORRECTED and act["id"] not in taken_out(after)])),
    ]
    name = now["name"] or was["name"]
    return [_line(on, kind, n, name, was["name"] if renamed else "") for kind, n in counts if n]


def _line(on: str, kind: str, n: int, name: str = "", yours: str = "") -> Change:
    return {"on": on, "kind": kind, "n": n, "name": name, "yours": yours}


def _once_if(true: bool) -> int:
    return 1 if true else 0


def _films_out(before: list[Act], after: list[Act], fresh: list[Act]) -> list[Act]:
    """The layings that others took out."""
    gone = taken_out(after) - taken_out(before)
    undone = {act.get("act") for act in fresh}
    return [act for act in before if act["kind"] == "film_laid" and act["id"] in gone and act["id"] in undone]


def _asks(state: PanelState, stand: list[Act]) -> bool:
    """Whether a film that others laid may be one that was laid here."""
    laid = {act.get("film") for act in stand}
    return any(film["id"] in laid for film in duplicates.pair(state))


def _namer(acts: list[Act]) -> str | None:
    """The phone whose naming of a panel stands."""
    named = [act for act in standing(acts) if act["kind"] == "panel_named"]
    named = named or [act for act in standing(acts) if act["kind"] == "panel_added"]
    return named[-1].get("who") if named else None


def _was_ready(acts: list[Act], film: str | None, own: str) -> bool:
    """Whether this phone had found a film ready."""
    ready = [act for act in standing(acts) if act["kind"] == "found_ready" and act.get("who") == own]
    return any(film in act["films"] for act in ready)
