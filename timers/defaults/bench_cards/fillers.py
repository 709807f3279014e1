"""Fillers and what shapes them.  No source named: common practice, no source."""

from ...core.base.translate import later
from .card import Card

CARDS = [
    Card(
        "filler",
        later("Body filler"),
        drawing="spread",
        first=later("Weigh the hardener, fold it in until no streak is left, press on a thin coat, then build it up."),
        shows=later("1: thin, pressed into the scratches. 2: thicker, a little proud, past the dent."),
        need=(
            later("Body filler and its own hardener: mostly 2 %, from 1.5 to 3 % by its sheet"),
            later("Scale, board, spreaders; ground sanded with P80"),
        ),
        how=(
            later("Take only what you spread in 3 to 4 minutes."),
            later("2 g of paste to 100 g of filler. More does not help: it stains through."),
            later("Press and fold, do not whip: whipping brings air."),
            later("First pass thin and hard; second thicker, a little proud."),
            later("At most 3 mm at a time and about 6 mm in all."),
            later("Never over acid etch primer; over epoxy once it is scuffed."),
        ),
        good=(later("One even colour, no streaks, few pores, thin edges."),),
        wrong=(
            later("Streaks: it cures in spots. Take it off, mix anew."),
            later("It turns to rubber while you spread: stop, this mix is over."),
            later("Soft after an hour: too little hardener, or too cold. Scrape it off."),
            later("Pinholes: glaze over them. Primer does not close them."),
        ),
        cautions=("peroxide", "heatmix"),
    ),
    Card(
        "shape",
        later("Shape the filler"),
        drawing="shape",
        first=later("Cut the filler to the shape of the panel with P80 on a long board, before you go finer."),
        shows=later("The board rests on sound panel at both ends and cuts only what stands proud."),
        need=(later("Long board, P80; a sander with extraction for the rough cut only"),),
        how=(
            later("Begin when it powders and no longer clogs."),
            later("Long strokes in an X, over the rim into sound panel."),
            later("On a curve a board that bends; never the fingertips."),
            later("Stop just proud: P120 and P180 take the rest."),
            later("Feel, and fill a low spot now."),
        ),
        good=(later("It runs into the panel with no edge; lows are marked."),),
        wrong=(
            later("The paper clogs: not cured, or the waxy skin. Wait, or take the skin off coarse."),
            later("Metal shows in the middle: a high spot. Tap it down, fill again."),
            later("A low is left: scuff with P80 and skim it again."),
        ),
        cautions=("dust",),
    ),
    Card(
        "glaze",
        later("Glaze"),
        drawing="glaze",
        first=later("A thin skin, pressed on hard: it closes pinholes and scratches, never a dent."),
        shows=later("Spreader nearly upright: pressed into the pores, wiped off between them."),
        need=(later("Glazing putty, hardener by its sheet; a springy spreader; ground P120 to P180"),),
        how=(
            later("Blow the pores out first."),
            later("Mix little, without streaks; you have some 3 minutes."),
            later("Press it in one way, take it off the other way."),
            later("Half a millimetre at most; pull the edges thin."),
        ),
        good=(later("Pores closed, the ground still shines through."),),
        wrong=(
            later("Pinholes again: air in the mix, or not pressed in. Once more."),
            later("A thick edge is felt: sand it wider."),
            later("A hollow is left: that is work for body filler."),
        ),
        cautions=("peroxide", "heatmix"),
    ),
    Card(
        "sprayfill",
        later("Spray polyester"),
        drawing="spray",
        first=later("Two or three full coats with a big tip, and the gun cleaned at once: it sets in minutes."),
        shows=later("Square to the panel, each pass over half of the last, begun past the edge."),
        need=(later("Spray polyester, hardener by weight; tip 1.8 to 2.5 mm; strainer"),),
        how=(
            later("Over filler and sanded paint; never over acid etch primer."),
            later("Let each coat go matt before the next."),
            later("Empty and rinse the gun before the mix sets."),
        ),
        good=(later("Even and matt, no runs, no pinholes."),),
        wrong=(
            later("Pinholes: too wet, or too soon after the last coat. Glaze them."),
            later("It strings or spits: the mix is setting. Stop and clean."),
        ),
        cautions=("peroxide", "mist", "fire"),
        sources=("spray",),
    ),
]
