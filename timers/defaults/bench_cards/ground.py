"""The ground: dull, sound, clean, masked.  No source named: common practice, no source."""

from ...core.base.translate import later
from .card import Card

CARDS = [
    Card(
        "scuff",
        later("Scuff"),
        drawing="scuff",
        first=later("Make it dull all over, edges and folds too: what still shines will peel."),
        shows=later("Fine even scratches. The shiny spot in the ring would peel."),
        need=(
            later(
                "Under filler P180 or coarser; under surfacer or sealer P320 to P400 or a grey pad; under base "
                "P600 to P1000"
            ),
        ),
        how=(
            later("Edges, folds and corners first, by hand with the pad."),
            later("Then the flat, with a soft pad and little pressure."),
            later("Blow off and look from the side: shiny spots once more."),
            later("Only dull it; do not go through."),
        ),
        good=(later("One even dull grey from every side."),),
        wrong=(
            later("Through to metal: spot prime it before you go on."),
            later("The paper clogs: the film is not dry. Wait, and tap Not yet."),
            later("Deep scratches: too coarse for the coat that follows. Go finer over them."),
        ),
        cautions=("dust", "fresh2k"),
    ),
    Card(
        "rub",
        later("Solvent rub"),
        drawing="rub",
        first=later("Rub one hidden spot with a cloth wet with thinner: a sound factory coat stays hard."),
        shows=later("Left: the cloth stays clean, the coat holds. Right: it comes off, strip it."),
        need=(later("White cloth, standard thinner, gloves"),),
        how=(
            later("Ten light rubs, wait a minute, press with a nail."),
            later("Try it inside and outside."),
            later("Look for transport scratches and dings: fill those now."),
        ),
        good=(later("The cloth stays white, the nail leaves no mark."),),
        wrong=(
            later("It softens or comes off: strip to metal and prime with epoxy."),
            later("Only the shine goes: it holds. Scuff it."),
        ),
        cautions=("rags", "fire", "solvent"),
    ),
    Card(
        "clean",
        later("Blow off, clean, mask"),
        drawing="mask",
        first=later("Blow off, wipe off, mask what stays: no dust and no grease go under the next coat."),
        shows=later("In an open surface fold the tape back: the edge comes out soft, with no step."),
        need=(later("Air gun and goggles; degreaser and two cloths; tape and paper made for paint"),),
        how=(
            later("Blow from top to bottom, out of gaps and folds."),
            later("Bare filler drinks solvent: wipe it with a barely damp cloth only."),
            later("Degrease the rest with two cloths."),
            later("Tape a sharp edge along a line of the body; in the open fold it back."),
        ),
        good=(later("A clean cloth stays clean; no dust comes out of the gaps."),),
        wrong=(
            later("Dust keeps coming from a gap: tape the gap."),
            later("The tape lifts: the ground was dusty or wet. Clean it, tape again."),
        ),
        cautions=("air", "rags", "fire"),
    ),
    Card(
        "tack",
        later("Clean and tack"),
        drawing="tack",
        first=later("Degrease once more, then draw the tack cloth over it without pressure, just before you spray."),
        shows=later("Open and loose, one way, no pressure: pressed, it leaves resin."),
        need=(later("Degreaser (a water-based cleaner too under waterborne), two cloths, a tack cloth"),),
        how=(
            later("Clean suit on; wipe down hose and gun."),
            later("Mask anew where tape is torn or dusty."),
            later("Degrease with two cloths; let it dry."),
            later("Unfold the tack cloth, draw it one way, edges last."),
            later("Look once more for bare metal: prime it now, not later."),
        ),
        good=(later("Light along the panel shows no grain and no streak."),),
        wrong=(
            later("A sticky streak: pressed too hard. Degrease and tack again."),
            later("Fibres: another cloth."),
        ),
        cautions=("rags", "fire"),
    ),
]
