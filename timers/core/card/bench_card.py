"""Which bench card a step opens.  Twin: static/js/core/card/bench_card.js

What the cards say is data: timers/defaults/bench_cards.
"""

from collections.abc import Iterable

from ..base.states import PanelStep

AFTER_CLEAR = {"after.refit": "refit", "after.polish": "polish", "after.wash": "wash", "after.wax": "wax"}
BY_USE = {
    "filler": "filler",
    "fibre": "filler",
    "glaze": "glaze",
    "spot": "spot",
    "surfacer": "surfacer",
    "sealer": "sealer",
    "base": "base",
    "effect": "effect",
    "clear": "clear",
    "topcoat": "topcoat",
    "promoter": "promoter",
    "seam": "seam",
}
BY_CLASS = {
    "putty": "filler",
    "sprayputty": "sprayfill",
    "epoxy": "epoxy",
    "etch": "etch",
    "surfacer": "surfacer",
    "sealer": "sealer",
    "base": "base",
    "waterbase": "base",
    "clear": "clear",
    "topcoat": "topcoat",
    "promoter": "promoter",
    "seam": "seam",
}
WORK = ("sand", "fill", "coat")
LAYS = ("fill", "coat")
PAINT = ("base", "effect", "clear", "topcoat")
STRIPS_P, SHAPES_P, SCUFFS_P, FINAL_P, POLISHES_P = 100, 100, 280, 500, 1200


def bench_card(steps: list[PanelStep], at: int) -> str:
    """The card that a step of a panel opens.

    Rule     the one the step names; else by the use or class of what it lays; a sand step by its paper and by what
             lies under it, a clean or check step by what it waits for and by the work before and after it, of a step
             with an area that of its own area or of the whole panel.  Never by its words, which are the shop's own
             and in any language
    Unit     a P grade for the paper; the answer is a key of bench_cards.CARDS
    Holds    any steps in their order, and the place of one of them
    Source   our own rule; the limits between papers are common practice, no source
    Vectors  tests/vectors/bench_card.json
    """
    step = steps[at]
    steps, at = _same_area(steps, at)
    own = step.get("card") or AFTER_CLEAR.get(step["id"], "")
    if own:
        return own
    if step["do"] in LAYS:
        return _laid(step)
    if step["do"] == "sand":
        return _sanded(steps, at)
    return _checked(steps, at) if step["do"] == "check" else _cleaned(steps, at)


def _same_area(steps: list[PanelStep], at: int) -> tuple[list[PanelStep], int]:
    area = steps[at].get("area", "")
    if not area:
        return steps, at
    near = [one.get("area", "") in ("", area) for one in steps]
    return [one for one, is_near in zip(steps, near, strict=True) if is_near], sum(near[:at])


def _laid(step: PanelStep) -> str:
    named = BY_USE.get(step.get("use", "")) or BY_CLASS.get(step["cls"])
    return named or ("filler" if step["do"] == "fill" else "spray")


def _sanded(steps: list[PanelStep], at: int) -> str:
    """By the film under it, and by the paper: without one named, the paper that is usual there."""
    under = next((one for one in reversed(steps[:at]) if one["do"] in LAYS), None)
    grit = steps[at]["grit"]
    if under is None:
        return "scuff" if grit >= SCUFFS_P else "strip" if 0 < grit < STRIPS_P else "feather"
    card = _laid(under)
    if under["do"] == "fill":
        return "shape" if 0 < grit < SHAPES_P else "block"
    if card in PAINT:
        return "polish" if grit >= POLISHES_P else "scuff"
    if card in ("surfacer", "sprayfill", "spray"):
        return "final" if grit >= FINAL_P else "block"
    return "scuff"


def _checked(steps: list[PanelStep], at: int) -> str:
    before = _work(reversed(steps[:at]))
    if before is None:
        return "look_over"
    return "look_coat" if before["do"] == "coat" else "feel"


def _cleaned(steps: list[PanelStep], at: int) -> str:
    needs = steps[at].get("needs", "")
    before, after = _work(reversed(steps[:at])), _work(steps[at + 1 :])
    if needs == "cure":
        return "wax" if any(one.get("needs") == "cure" for one in steps[:at]) else "wash"
    if needs in ("flash", "handle") and after is None:
        return "unmask" if needs == "flash" else "refit"
    if needs == "sand":
        return "guide" if after else "polish"
    if before is None and not (after and after["do"] in LAYS):
        return "degrease"
    if before and after and after["do"] == "sand" and before["do"] != "sand":
        return "guide"
    is_tacked = after is not None and after["do"] == "coat" and _laid(after) in ("sealer", *PAINT)
    return "tack" if is_tacked else "clean"


def _work(steps: Iterable[PanelStep]) -> PanelStep | None:
    return next((one for one in steps if one["do"] in WORK), None)
