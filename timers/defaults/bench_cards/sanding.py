"""Sanding flat, and what shows where it is not.  No source named: common practice, no source."""

from ...core.base.translate import later
from .card import Card

CARDS = [
    Card(
        "block",
        later("Block it flat"),
        drawing="block",
        first=later("Long block, light even pressure, strokes that cross in an X, until the guide coat is gone."),
        shows=later("The strokes cross in an X. The same pressure over the whole block."),
        need=(later("A block longer than the repair; P120 to P180 on filler, P320 on surfacer; guide coat"),),
        how=(
            later("Guide coat on first."),
            later("Hold the block at a slant, push along, then cross the other way."),
            later("Begin and end on sound panel."),
            later("Hard block on the flat, soft one on a curve; never the fingers."),
            later("New paper when it stops cutting; do not press."),
            later("Blow off, look, feel."),
        ),
        good=(later("The guide coat goes everywhere at about the same time; no edge is felt."),),
        wrong=(
            later("Guide coat left: low. Do not dig: skim it, or one more coat."),
            later("Gone first, and the ground shows: high or rubbed through. Spot prime it."),
            later("The paper clogs: not dry. Wait, and tap Not yet."),
            later("Waves: block too short, or pressed too hard."),
        ),
        cautions=("dust", "fresh2k"),
    ),
    Card(
        "guide",
        later("Guide coat"),
        drawing="guide",
        first=later("A thin dark mist or powder over all of it: while you block, what stays dark is low."),
        shows=later("Dark is left in the hollow: low. Gone first: high."),
        need=(later("Guide powder and its pad, or a mist of dark 1K paint"),),
        how=(
            later("Only on a film that is dry to sand: powder sticks to a wet one."),
            later("Powder: rub it over all, edges too."),
            later("Mist: dots from afar, not a coat. Let it dry."),
            later("Again before each finer paper."),
        ),
        good=(later("An even grey veil, nowhere bare."),),
        wrong=(
            later("The paper clogs with it: too wet or too thick. Let it dry."),
            later("It stays in pinholes: glaze those."),
        ),
        cautions=("dust",),
    ),
    Card(
        "feel",
        later("Feel for low spots"),
        drawing="feel",
        first=later("Flat gloved hand, long slow strokes in four directions. Trust the hand, not the eye."),
        shows=later("The whole hand flat, from sound panel over the repair to sound panel."),
        need=(later("A thin cotton glove or a cloth under the hand, good light"),),
        how=(
            later("Begin and end on sound panel."),
            later("Move from the shoulder, fingers together, palm down."),
            later("Along, across, and both slants."),
            later("Wet it with degreaser and look along it: wet, it shines as the paint will."),
            later("Ring what you feel."),
        ),
        good=(later("The hand cannot tell where the repair is."),),
        wrong=(
            later("A low: send that area back to filler or glaze, scuffed first."),
            later("An edge: feather it wider."),
            later("A high: block it. If metal comes, tap it down first."),
        ),
        cautions=("rags",),
    ),
    Card(
        "final",
        later("Final sand"),
        drawing="final",
        first=later(
            "P600 wet by hand on a soft block, or an orbital with a soft pad: take out the P320 scratches, no more."
        ),
        shows=later("Left: wet, hand flat on a soft block. Right: orbital, a soft pad between plate and paper."),
        need=(
            later("P500 to P600; P800 under waterborne or dark metallic base"),
            later("Soft block or soft interface pad; for wet: water with a drop of soap"),
        ),
        how=(
            later("Guide coat once more."),
            later("Edges and body lines by hand and light: paint is thin there."),
            later("Wet: rinse often, squeegee off, look."),
            later("Orbital: start it on the panel, flat, slow, no pressing."),
            later("Dry it and look from the side for scratches."),
        ),
        good=(later("Even and silky, no shiny spot, no scratch."),),
        wrong=(
            later("Through on an edge: spot prime it, or seal it."),
            later("Shiny dots: the texture is not down yet. Go on."),
            later("Scratches left: they swell through the base. Go on."),
            later("Water on bare filler: dry it through with warmth first."),
        ),
        cautions=("dust", "fresh2k", "wet"),
    ),
    Card(
        "orbital",
        later("Sand with an orbital"),
        drawing="final",
        first=later(
            "Orbital flat and slow on a soft pad: quick and even, but it follows a wave and does not cut it down."
        ),
        shows=later("Left: wet, hand flat on a soft block. Right: orbital, a soft pad between plate and paper."),
        need=(
            later("Orbital with extraction, soft interface pad, paper of the grit that the step names"),
            later("Where it must be straight: a long block and guide coat instead"),
        ),
        how=(
            later("Put it on the panel first, then start it; lift it off still running."),
            later("Flat, no pressing, a hand's width a second, each pass half over the last."),
            later("Keep off edges and body lines: those by hand."),
            later("Blow the paper out or change it when it stops cutting."),
        ),
        good=(later("Even fine scratches, no curls, the rim of the repair is not felt."),),
        wrong=(
            later("Curls and deep rings: dirt under the paper, or pressed. New paper, go over it again."),
            later("A wave is left: that is work for the long block."),
            later("Through on an edge: spot prime it, or seal it."),
        ),
        cautions=("dust", "fresh2k"),
    ),
]
