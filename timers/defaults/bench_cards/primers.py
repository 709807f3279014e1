"""Primers on bare metal and plastic, and sealers of seams.  No source named: common practice, no source."""

from ...core.base.translate import later
from .card import Card

CARDS = [
    Card(
        "spot",
        later("Spot prime bare metal"),
        drawing="spot",
        first=later("Where metal shows: a thin coat of primer over it and a little past it, before anything else."),
        shows=later("Primer just past the rim of the metal; surfacer wider over both."),
        need=(later("Spot primer, epoxy or etch: the one that the sheet of the next coat asks for"),),
        how=(
            later("Degrease; from now on no bare finger on it."),
            later("One or two thin coats, only on the metal and 2 cm round it."),
            later("Flash as its sheet says; keep inside its window."),
            later("Acid etch: no filler and no epoxy on top, unless its sheet says so."),
        ),
        good=(later("Metal covered, thin, no thick rim."),),
        wrong=(
            later("A thick rim: sand it flat once it is dry."),
            later("Rust shimmers under it: sand again, prime at once."),
        ),
        cautions=("mist", "acid", "fire"),
    ),
    Card(
        "epoxy",
        later("Epoxy primer"),
        drawing="layers",
        first=later(
            "One light and one closed coat on clean metal; it seals it, and filler may follow once it is scuffed."
        ),
        shows=later("1 metal, 2 epoxy, 3 filler, 4 surfacer: each on ground that its sheet allows."),
        need=(later("Epoxy and its own hardener; tip 1.4 to 1.6 mm; metal sanded P80 to P180, degreased"),),
        how=(
            later("Mix, and let it stand as long as the sheet asks."),
            later("No acid etch under it, unless its sheet says so."),
            later("First coat light, second closed and wet."),
            later("Recoat inside the window; after it, scuff first."),
        ),
        good=(later("Closed and even; no metal shimmers through."),),
        wrong=(
            later("Soft the next day: cold, or the wrong ratio. Warm it and wait; if it stays soft, take it off."),
            later("A run: let it harden, sand it flat."),
        ),
        cautions=("amine", "mist", "fire"),
    ),
    Card(
        "etch",
        later("Etch primer"),
        drawing="layers_etch",
        first=later("One thin coat on bare metal, half see-through, and coated over inside its window."),
        shows=later("Etch is thin, on bare metal only; surfacer on it, never filler."),
        need=(later("Etch primer and its activator; fine tip, 1.2 to 1.4 mm"),),
        how=(
            later("Not on old paint, filler or plastic."),
            later("One thin even coat; the metal may show through."),
            later("Surfacer on it inside the window."),
        ),
        good=(later("A thin even veil, dry to the touch soon."),),
        wrong=(
            later("Too thick: it stays soft and lets go. Wash it off, start again."),
            later("Window missed: sand it off, and lay it anew."),
        ),
        cautions=("acid", "mist", "fire"),
    ),
    Card(
        "promoter",
        later("Adhesion promoter"),
        drawing="promoter",
        first=later("Raw plastic only: one or two thin coats, then primer or paint inside its short window."),
        shows=later("A thin mist over raw plastic; the clock runs, the next coat goes on inside the window."),
        need=(later("Promoter for this plastic, plastic cleaner, grey pad (no coarse paper)"),),
        how=(
            later("Wash warm with soap and clean twice: release agent sits in it."),
            later("Dull it with the grey pad; leave a texture that should stay."),
            later("Promoter on raw plastic only, thin, not to a run."),
            later("Flash, then coat inside the window that the card shows."),
            later("Flex additive where the sheet of the next coat asks for it."),
        ),
        good=(later("A faint even sheen; water does not bead."),),
        wrong=(
            later("Window missed: scuff it, promoter again."),
            later("It peels: release agent was left, or a raw spot was missed."),
        ),
        cautions=("mist", "fire", "rags"),
    ),
    Card(
        "seam",
        later("Seam sealer"),
        drawing="seam",
        first=later("Seal each joint as it was before, on primed ground, before surfacer and paint."),
        shows=later("The bead fills the lap and is smoothed flat; no gap for water."),
        need=(later("Seam sealer that may be painted, gun or brush, tape"),),
        how=(
            later("Copy the joint of the other side."),
            later("On clean primer, not on bare metal, unless its sheet says so."),
            later("Tape both sides, lay the bead, smooth it, pull the tape at once."),
            later("Let a skin form before you coat it."),
        ),
        good=(later("No gap, no pore, the look of the factory joint."),),
        wrong=(later("Paint cracks on it: coated too early, or not a paintable one. Cut it out, again."),),
        cautions=("seam",),
    ),
]
