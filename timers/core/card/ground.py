"""What to mind on what is under the paint.  Twin: static/js/core/card/ground.js

Common practice, no source: the data sheets of such products say the same in their own words, and they rule.
"""

from ..base.states import PanelState, PanelStep
from ..base.translate import later, t

METAL_PRIMERS = ("epoxy", "etch")
PRIMERS = ("surfacer", "sealer")
GROUND: dict[str, dict[str, str]] = {
    "steel": {
        "sand": later("Bare steel rusts overnight: fill or prime it the same day."),
        "prime": later("Bare steel: where it shows, etch or epoxy first."),
    },
    "aluminium": {
        "sand": later("Aluminium: paper of its own, none that was on steel; P120 at the coarsest."),
        "fill": later("Aluminium: filler over epoxy, or one whose sheet names aluminium. Never over acid etch."),
        "metal": later("Aluminium: on within the hour after sanding. Epoxy or etch, no acid under epoxy."),
        "prime": later("Aluminium: where it shows, epoxy or etch first."),
    },
    "galvanised": {
        "sand": later("Zinc: paper of its own, P120 at the coarsest, and not through to the steel."),
        "fill": later("Zinc: filler over epoxy, or one whose sheet names zinc. Never over acid etch."),
        "metal": later("Zinc: epoxy, or an etch whose sheet names zinc. No acid under epoxy."),
        "prime": later("Zinc: where it shows, epoxy first."),
    },
    "plastic": {
        "sand": later("Plastic: P320 at the coarsest, and cool: it melts. A texture is never sanded."),
        "clean": later("Plastic: a cleaner for plastic, wiped slowly. A dry cloth charges it, and it draws dust."),
        "prime": later("Plastic: where it shows raw, promoter first. Flex additive if the sheet asks for it."),
    },
    "factory": {
        "clean": later("Factory coat: rub it with solvent. What softens or comes off must come off altogether."),
        "sand": later("Factory coat: only dulled. Where metal shows, spot prime it."),
    },
    "paint": {
        "clean": later("Old paint: try the solvent on a hidden spot. What wrinkles must come off."),
        "sand": later("Old paint may hold lead: sand it wet, or with extraction and a mask for dust."),
    },
}


def caution(state: PanelState, step: PanelStep) -> str:
    """What to mind at a step, by what is under the paint.

    Rule     primers for metal, and what covers them, wherever they stand; the rest while no film lies on the panel
    Unit     none
    Holds    any folded panel; nothing is said where nobody said what is under it
    Source   common practice, no source
    Vectors  tests/vectors/ground.json
    """
    lines = GROUND.get(state.get("choices", {}).get("substrate", ""), {})
    kind = _kind(step, bool(state["films"]))
    return t(lines[kind]) if kind in lines else ""


def _kind(step: PanelStep, is_covered: bool) -> str:
    if step["cls"] in METAL_PRIMERS:
        return "metal"
    if step["cls"] in PRIMERS:
        return "prime"
    return "" if is_covered else {"check": "clean", "coat": ""}.get(step["do"], step["do"])
