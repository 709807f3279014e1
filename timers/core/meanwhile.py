"""What others did while a phone did not hear from the shop, thing by thing.  Twin: static/js/core/meanwhile.js"""

from . import panel, shelf, twice
from .order import in_order, standing, taken_out

ANSWERS = ("twice", "rivals")  # kinds that ask a person


def lines(on: str, before: list[dict], after: list[dict], own: str) -> list[dict]:
    """What changed on one thing, as [{"on", "kind", "n", "name", "yours"}], none where nothing did that others made.

    Rule     of a panel: questions first (twice), then what took something of this phone's own (ready_void, name_lost),
             then what is gone, put away, brought back, added, renamed, taken out, laid, done; of a product: rivals.
             Acts of this phone, and what was taken out again, say nothing
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
        found = [("rivals", 1)] if len(shelf.fold(after)["rivals"]) > len(shelf.fold(before)["rivals"]) else []
        return [_line(on, kind, n) for kind, n in found]
    return _of_panel(on, before, after, fresh, own) if on.startswith("panel:") else []


def _of_panel(on: str, before: list[dict], after: list[dict], fresh: list[dict], own: str) -> list[dict]:
    was, now, ids = panel.fold(before), panel.fold(after), {act["id"] for act in fresh}
    stand = [act for act in standing(after) if act["id"] in ids]
    out = [act for act in before if act["kind"] == "film_laid" and act["id"] in taken_out(after) - taken_out(before)]
    out = [act for act in out if any(one.get("act") == act["id"] for one in fresh)]
    count = {kind: sum(act["kind"] == kind for act in stand) for kind in ("film_laid", "step_done")}
    void = sum(_found_ready(before, act["film"], own) for act in out)
    asks = any(film["id"] in {act.get("film") for act in stand} for film in twice.pair(now))
    stood, stands = (one["added_at"] is not None for one in (was, now))
    called = stood and stands and now["name"] != was["name"]
    lost = called and _namer(before) == own and _namer(after) != own
    found = [
        ("twice", int(asks)),
        ("ready_void", void),
        ("name_lost", int(lost)),
        ("gone", int(stood and not stands)),
        ("put_away", int(stands and was["away_at"] is None is not now["away_at"])),
        ("brought_back", int(stands and was["away_at"] is not None and now["away_at"] is None)),
        ("added", int(stands and not stood)),
        ("renamed", int(called and not lost)),
        ("film_out", len(out) - void),
        ("laid", count["film_laid"]),
        ("done", count["step_done"]),
    ]
    name = now["name"] or was["name"]
    return [_line(on, kind, n, name, was["name"] if called else "") for kind, n in found if n]


def _line(on: str, kind: str, n: int, name: str = "", yours: str = "") -> dict:
    return {"on": on, "kind": kind, "n": n, "name": name, "yours": yours}


def _namer(acts: list[dict]) -> str | None:
    """The phone whose naming of a panel stands."""
    named = [act for act in standing(acts) if act["kind"] == "panel_named"]
    named = named or [act for act in standing(acts) if act["kind"] == "panel_added"]
    return named[-1].get("who") if named else None


def _found_ready(acts: list[dict], film: str, own: str) -> bool:
    """Whether this phone had found a film ready."""
    ready = [act for act in standing(acts) if act["kind"] == "found_ready" and act.get("who") == own]
    return any(film in act["films"] for act in ready)
