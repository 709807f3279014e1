"""Before anything is laid: looking, washing, straightening, old paint.  No source named: common practice, no source."""

from ...core.base.translate import later
from .card import Card

CARDS = [
    Card(
        "look_over",
        later("Look it over"),
        drawing="rake",
        first=later("Wash it, then find every dent, chip and edge with a lamp held low, and mark each one."),
        shows=later("A lamp held low along the panel: each dent throws a shadow. Ring it."),
        need=(
            later("Soap and water, a lamp, a soft pencil that wipes off"),
            later("A paint thickness gauge, if you have one"),
        ),
        how=(
            later("Look along the panel, not at it."),
            later("Feel with the flat of a gloved hand, in long strokes."),
            later("Knock and listen: where it sounds dull there is old filler."),
            later("Look behind it for rust, wires, foam and glue."),
            later("Decide now: straighten, fill, or another part."),
        ),
        good=(later("Every fault is ringed, and you know how far the work goes."),),
        wrong=(
            later("Paint much thicker than beside it: an old repair. Go down to sound ground."),
            later("Rust from behind: cut it out or take another part. Filler does not stop it."),
        ),
        cautions=("lead",),
    ),
    Card(
        "degrease",
        later("Wash and degrease"),
        drawing="wipe",
        first=later("Soap and water first; then degreaser: one cloth wets, a second takes it off before it dries."),
        shows=later("Cloth 1 wets. Cloth 2, clean and dry, takes it off while it is wet."),
        need=(
            later("Soap and water; wax and silicone remover"),
            later("Two lint-free cloths, gloves that stand solvent"),
        ),
        how=(
            later("Wash and dry the panel and a hand's width round it."),
            later("Wet no more than an arm's reach with cloth 1."),
            later("Wipe off at once with cloth 2, in one direction."),
            later("Turn to a fresh side often; take new cloths when they are grey."),
            later("Before sanding, and again before every coat."),
        ),
        good=(later("Water runs off as one film and does not bead."),),
        wrong=(
            later("It dried on the panel: the grease is still there. Wet it again, wipe it off."),
            later("Water beads: wax or silicone is left. Do it once more."),
        ),
        cautions=("rags", "fire", "solvent"),
    ),
    Card(
        "straighten",
        later("Straighten"),
        drawing="dolly",
        first=later("Bring the metal back first: filler is for the last 2 to 3 mm, not for the dent."),
        shows=later("Dolly behind the low, hammer on the high beside it; the straight edge shows both."),
        need=(later("Hammer and dolly, or a puller; a straight edge"),),
        how=(
            later("Push out from the rim of the dent towards its middle."),
            later("Many light taps, not a few hard ones."),
            later("Check with the straight edge in two directions."),
            later("Leave nothing high: it cannot be filled, only sanded through."),
        ),
        good=(later("Nothing stands high; no low is deeper than about 2 mm."),),
        wrong=(
            later("The sheet pops in and out: it is stretched. It wants shrinking; ask one who can."),
            later("A crack or a torn weld: no filler on it. Weld, or another part."),
        ),
        cautions=("metal",),
    ),
    Card(
        "feather",
        later("Feather the edge"),
        drawing="feather",
        first=later("Sand each layer back until no edge is felt: about 3 cm of slope for each layer."),
        shows=later("Cut through the layers: a long flat slope from metal to paint, no step."),
        need=(later("Orbital sander or block; P80 to strip, P120 to P180 to feather, P240 to P320 at the rim"),),
        how=(
            later("Take off what is loose or cracked, down to sound ground."),
            later("Work outwards; let each ring of colour grow wide."),
            later("One paper finer on each ring outwards."),
            later("Close your eyes and feel with a flat hand."),
            later("Dull 5 cm more all round for the next coat."),
        ),
        good=(later("Wide, even rings; neither hand nor nail feels an edge."),),
        wrong=(
            later("An edge is felt: it will show as a ring in the paint. Go wider."),
            later("Rust pits: sand or blast to clean metal, prime the same day."),
            later("The paint curls or flakes: it was loose. Strip further."),
        ),
        cautions=("dust", "lead"),
    ),
    Card(
        "strip",
        later("Strip to metal"),
        drawing="disc",
        first=later("Take the old paint off with the disc flat and moving; the sheet must stay cool."),
        shows=later("Flat and moving it cuts. Tipped on its edge it digs and heats."),
        need=(
            later("Orbital with P80 or a stripping disc, then P120"),
            later("Paint stripper instead: by its own sheet, and rinse it all off"),
        ),
        how=(
            later("Let the paper cut; do not press."),
            later("Hand on the metal: too hot to touch means stop. Thin sheet warps."),
            later("Edges, folds and creases by hand."),
            later("P120 over all of it, blow off, degrease."),
            later("Prime the same day: bare steel rusts overnight."),
        ),
        good=(later("Bright, even metal, even scratches, edges not thinned."),),
        wrong=(
            later("Blue or wavy metal: it got hot. Straighten it before you fill."),
            later("Aluminium: paper and pads of its own, none that touched steel."),
        ),
        cautions=("dust", "lead"),
    ),
]
