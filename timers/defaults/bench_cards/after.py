"""After the last coat.  No source named: common practice, no source."""

from ...core.base.translate import later
from .card import Card

CARDS = [
    Card(
        "look_coat",
        later("Look over the coat"),
        drawing="reflect",
        first=later(
            "Look along the coat against the light and do not touch it: most of what you see is polished out later."
        ),
        shows=later("The lamp in the gloss: a bend is a run, a dot is dust."),
        how=(
            later("Breathing gear stays on until the air is clear."),
            later("Note dust, runs, craters, dry spots: how many and where."),
            later("Leave a wet run alone: wiping makes it worse."),
            later("Decide: polish, or sand and coat once more."),
        ),
        good=(later("Even gloss; the lamp's edge is sharp in it."),),
        wrong=(
            later("Dust or a run: P1500 to P2000 and polish, after the wait on the card."),
            later("Craters, popping, dry spray: cured, sand flat, coat again."),
            later("The colour is off: back to the base."),
        ),
        cautions=("iso", "iso_air"),
    ),
    Card(
        "unmask",
        later("Unmask"),
        drawing="unmask",
        first=later("Pull the tape back on itself, slow and low, away from the paint, while the clear is still soft."),
        shows=later("Back on itself and away from the paint: the edge breaks clean."),
        need=(later("Dry gloves, a fresh blade for a bridge of paint"),),
        how=(
            later("Tape first, then the paper, so that no dust falls on it."),
            later("Where paint bridges the tape, cut it before you pull."),
            later("Keep sleeves and paper off the coat."),
        ),
        good=(later("A clean thin line, no tear."),),
        wrong=(
            later("It tears: too late. Warm it a little, or cut along the tape."),
            later("It strings: too early. Wait."),
        ),
        cautions=("fresh",),
    ),
    Card(
        "refit",
        later("Refit"),
        drawing="refit",
        first=later("Carry it by its edges, pad what touches it, nothing tight on fresh clear."),
        shows=later("Hands at the edges, soft cloth where it rests, tape on the neighbour's edge."),
        need=(later("A helper, soft cloth, tape over the edges of the neighbours"),),
        how=(
            later("All bolts loose first, set the gaps, then tighten."),
            later("No clamp, no suction cup, no cover, no badge glue yet."),
            later("New seals and clips where the old ones pull."),
        ),
        good=(later("Even gaps, no mark on the clear."),),
        wrong=(
            later("A print in the clear: leave it, it may flow back in warmth; else polish later."),
            later("An edge chipped: touch it in."),
        ),
    ),
    Card(
        "polish",
        later("Denib and polish"),
        drawing="polish",
        first=later(
            "Cut nibs and runs flat with P1500 to P3000 wet on a small block, then polish with little pressure."
        ),
        shows=later("The pad lies flat and keeps moving; edges and body lines are taped."),
        need=(later("P1500, P2000, P3000, a small hard block, water; compound, polish, clean pads"),),
        how=(
            later("Tape edges and body lines: clear is thin there."),
            later("Only the nib or the run at first, not round it."),
            later("Finer until it is evenly dull, wipe off each grit."),
            later("Polish at low speed, flat, moving; the panel stays cool."),
        ),
        good=(later("The lamp's edge is sharp; no scratch, no haze."),),
        wrong=(
            later("Colour on the pad, or a dull ring: through the clear. Sand, clear again."),
            later("It clogs or dulls again next day: too early. Wait."),
            later("Scratches show in the sun: back to P3000, polish longer."),
        ),
        cautions=("buffer", "fresh2k", "wet"),
    ),
    Card(
        "wash",
        later("First wash"),
        drawing="wash",
        first=later("Cool water, a mild soap, a soft mitt, in the shade. No jet, no brush, no machine."),
        shows=later("Two buckets: one with soap, one to rinse the mitt; from the top down."),
        how=(
            later("Rinse first; let the water carry the grit away."),
            later("Straight strokes, rinse the mitt often."),
            later("Pat dry with a soft cloth."),
            later("Bird lime, sap, fuel: rinse off the same day."),
        ),
        good=(later("Clean, no swirls, no water marks."),),
        wrong=(later("Fine swirls: polish them once it is cured."),),
    ),
    Card(
        "wax",
        later("First wax"),
        drawing="wax",
        first=later("Wax, sealant or coating only once the film has cured: it closes it."),
        shows=later("Solvent still leaves the film for weeks; wax would shut it in."),
        how=(
            later("Wash and dry; a clean cloth stays clean."),
            later("Thin, on a cool panel in the shade."),
            later("Wipe it off before it is hard."),
        ),
        good=(later("Water beads evenly all over."),),
        wrong=(later("It hazes under the wax: too early. Take it off and wait."),),
    ),
    Card(
        "lamp",
        later("Lamp and bake"),
        drawing="lamp",
        first=later("Flash off first, keep the lamp's own distance, and measure the panel, not the air."),
        shows=later("The distance its maker names, square to the panel; the temperature is read on the panel."),
        need=(later("The lamp's own sheet, the product's sheet (how hot, how long), a surface thermometer"),),
        how=(
            later("Flash off until matt, or as the sheet says."),
            later("Warm it up slowly; the time counts from when the panel is at temperature."),
            later("Dark colours and thin sheet get hotter: measure there."),
            later("Plastic bends: stay below what its sheet allows."),
            later("Let it cool before you judge, sand or polish."),
        ),
        good=(later("Hard when cold, no bubbles, no haze."),),
        wrong=(
            later("Popping: heat too early. Cured: sand, coat again."),
            later("Soft in places: the beam missed them. Move the lamp, time again."),
        ),
        cautions=("lampc",),
    ),
]
