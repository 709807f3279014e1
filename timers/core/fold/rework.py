"""A fault on a panel: how far back it goes, what is sanded first, and why.  Twin: static/js/core/fold/rework.js

Common practice, no source.  It is a proposal: the person may go back to any other step.
"""

from typing import TypedDict

from ..base.states import PanelStep
from ..base.step_shapes import GivenStep
from ..base.translate import later, t

PRIMERS = ("epoxy", "etch", "surfacer", "sealer", "sprayputty")
COLOURS = ("base", "waterbase", "topcoat")
LAYS = ("fill", "coat")
IF_NEEDED = ("spot", "glaze", "seam", "promoter")  # uses of steps for where metal, pores, seams or raw plastic show
# Of each fault: to which step it goes back ("fill" the last filled, "prime" the last primed, "metal" the first primed,
# "colour" the first that gave colour, "last" the last laid), the grit of the sanding before it, its words, and why.
FAULTS: dict[str, tuple[str, int, str, str]] = {
    "low": (
        "fill", 180, later("low spot"),
        later("Scuff it, skim it again, block it wider than before. Primer does not fill it."),
    ),
    "pinholes": (
        "fill", 180, later("pinholes"),
        later("Air in the filler. Open them, blow them out, press glaze in. Primer only bridges them."),
    ),
    "scratches": (
        "prime", 320, later("scratches"),
        later("The paper was too coarse, or a grit was left out. Finer paper, then one more coat of primer."),
    ),
    "edge": (
        "prime", 180, later("edge felt [[a ridge under the hand]]"),
        later("Feather it until no edge is felt, then prime that place again. Paint makes an edge plainer."),
    ),
    "through": (
        "metal", 0, later("rubbed through"),
        later("Bare metal rusts and lets go: prime it before anything else goes on."),
    ),
    "run": (
        "last", 800, later("run [[of paint]]"),
        later("Let it harden, cut it flat on a hard block, then coat that place. Fresh, it only smears."),
    ),
    "dust": (
        "last", 1000, later("dust"),
        later("A nib or two in clear is cut out and polished later. Where there is more, sand and coat again."),
    ),
    "fisheyes": (
        "last", 600, later("fisheyes [[craters in fresh paint]]"),
        later("Silicone, wax or oil. Sand it out, degrease twice with clean cloths, look at the air line. More paint "
              "only opens more."),
    ),
    "pop": (
        "last", 600, later("solvent pop [[small bubbles in paint]]"),
        later("Shut before the solvent was out: too thick, too warm, too soon. Sand until no hole is left, then "
              "thinner coats and the whole flash."),
    ),
    "peel": (
        "last", 800, later("orange peel [[of paint]]"),
        later("Too dry, or from too far off. Clear can be cut flat and polished; where that would rub through, sand "
              "and coat again."),
    ),
    "dry": (
        "last", 800, later("dry spray [[rough, dull paint]]"),
        later("The mist landed dry: gun too far off, air too warm, reducer too fast. Sand it smooth, then a wet coat."),
    ),
    "lifting": (
        "prime", 320, later("lifting [[paint wrinkles]]"),
        later("Solvent got under the old finish, or a coat came outside its window. Let it dry, take off all that "
              "wrinkled, feather it, shut it off with primer."),
    ),
    "colour": (
        "colour", 800, later("colour off [[it does not match]]"),
        later("Compare in daylight on a spray-out card. Tint it or blend it out; clear goes over it again."),
    ),
    "dieback": (
        "last", 1000, later("die-back [[the gloss sinks]]"),
        later("Solvent was still under it. Let it cure and polish; where the gloss sinks again, sand and clear once "
              "more."),
    ),
}  # fmt: skip


class Rework(TypedDict):
    """What to do about a fault: the step it goes back to, "" where nothing was laid; the grit of what is sanded
    first, 0 for nothing; why, in one line."""

    step: str
    grit: int
    why: str


def rework(steps: list[PanelStep], fault: str) -> Rework:
    """What to do about a fault.

    Rule     of the steps whose film is on, back to the last that filled or primed, the first that primed or gave
             colour, as the fault is; where there is none such, to the last of them
    Unit     grit in P
    Holds    the steps of a lane up to the current one, and it; any of the faults
    Source   common practice, no source
    Vectors  tests/vectors/rework.json
    """
    back, grit, _, why = FAULTS[fault]
    laid = [one for one in steps if one["do"] in LAYS and _is_on(one)]
    found = next(iter([*_wanted(laid, back), *laid[-1:]]), None)
    return {"step": found["id"] if found else "", "grit": grit if found else 0, "why": t(why)}


def sanded_first(fault: str, number: str, area: str) -> list[GivenStep]:
    """What is put in before the steps that are done again: sanding and cleaning, where the fault asks for it; the
    first is numbered "{number}.0".

    Vectors  tests/vectors/rework.json
    """
    _, grit, _, why = FAULTS.get(fault, ("", 0, "", ""))
    if not grit:
        return []
    out, clean = t("Sand out P{grit}", grit=grit), t("Blow off, clean, mask")
    return [
        {"id": f"{number}.0", "do": "sand", "words": out, "grit": grit, "area": area, "why": t(why)},
        {"id": f"{number}.1", "do": "clean", "words": clean, "area": area},
    ]


def _is_on(step: PanelStep) -> bool:
    """Whether a film of a step is on: recorded, or done before the panel came in; not where it was not needed."""
    return step["laid"] > 0 or (step["done_at"] is not None and step.get("use") not in IF_NEEDED)


def _wanted(laid: list[PanelStep], back: str) -> list[PanelStep]:
    if back == "fill":
        return [one for one in laid if one["do"] == "fill"][-1:]
    if back == "colour":
        return [one for one in laid if one["cls"] in COLOURS][:1]
    primed = [one for one in laid if one["cls"] in PRIMERS]
    return {"prime": primed[-1:], "metal": primed[:1]}.get(back, [])
