"""The steps that the default routes are put together from.  Common practice, no source.

`use` says which of a class of product a step wants; `when` for which jobs a step is meant (core/fold/route).
"""

from ..core.base.translate import later
from ..core.fold.finishing import POLISH, REFIT, UNMASK, WASH, WAX, WHY

STRAIGHT, ENOUGH = ["straight"], ["enough"]
LIGHT_METAL = ["aluminium", "galvanised"]
NOT_LIGHT_METAL = ["steel", "plastic", "factory", "paint", "unknown"]
TWO_STAGE = ["plain", "effect"]  # base and clear


def step(do: str, words: str, cls: str = "", coats: int = 1, grit: int = 0, **more) -> dict:
    return {"do": do, "words": words, "cls": cls, "coats": coats, "grit": grit, **more}


def sand(words: str, grit: int, **more) -> dict:
    return step("sand", words, grit=grit, **more)


def only(when: list[str], *steps: dict) -> list[dict]:
    """Steps for those jobs alone, beside what they already ask for."""
    return [{**one, "when": [*one.get("when", []), *when]} for one in steps]


def on(area: str, *steps: dict) -> list[dict]:
    """Steps on an area of the panel."""
    return [{**one, "area": area} for one in steps]


def _finish(words: str, needs: str) -> dict:
    """A step behind the last coat.  Polishing too is none that sands: sanding ends the clocks of the films it works on,
    and this one goes on curing."""
    return step("clean", words, needs=needs, why=WHY[words])


DEGREASE = step("clean", later("Wash and degrease"))
LOOK = step(
    "check",
    later("Look over: rust, old filler, dents"),
    why=later("A magnet or a paint gauge finds old filler. Rust and loose paint come off before anything goes on."),
)
CLEAN = step("clean", later("Blow off, clean, mask"))
REMASK = step(
    "clean",
    later("Mask afresh"),
    why=later("The dust of all that sanding sits in the old paper and blows into the wet coat."),
)
TACK = step("clean", later("Clean and tack"))
FACTORY_COAT = step("check", later("Rub the factory coat with solvent: does it hold?"))

FILL = step(
    "fill",
    later("Body filler"),
    "putty",
    use="filler",
    why=later("At most about 3 mm in one go and 6 mm in all: more of it sinks and cracks."),
)
GLAZE = step("fill", later("Glazing putty"), "putty", use="glaze")
EPOXY = step("coat", later("Epoxy primer"), "epoxy")
SPOT = step(
    "coat",
    later("Spot prime where metal shows"),
    "epoxy",
    use="spot",
    why=later("Bare metal under surfacer rusts and lets go. Where none shows it is not needed."),
)
PROMOTER = step(
    "coat",
    later("Adhesion promoter"),
    "promoter",
    use="promoter",
    why=later("Paint does not hold on raw plastic by itself. Thin, and the next coat inside its short window."),
)
PROMOTER_WHERE_RAW = {**PROMOTER, "words": later("Adhesion promoter where raw plastic shows")}
SEAM = step(
    "coat",
    later("Seam sealer, as the old part had it"),
    "seam",
    use="seam",
    why=later("On primed metal, not on bare. A part without seams does not need it."),
)
SURFACER = step("coat", later("Surfacer"), "surfacer", 2, use="surfacer")
SEALER = step("coat", later("Sealer"), "sealer", use="sealer")
GUIDE = step("clean", later("Guide coat"), needs="sand")  # powder clogs in a film that is still wet
FEEL = step("check", later("Guide coat gone? Feel for low spots"))
SCUFF = sand(later("Scuff P180 [[make it rough]]"), 180)
FLATTEN = sand(later("Block P180 [[sand it flat]]"), 180)

SHAPE = [  # fresh filler: cut, then finer, never P180 straight away: it clogs and leaves waves
    sand(
        later("Shape P80 [[filler]]"),
        80,
        why=later(
            "Cut it while it is young, and stop while it still stands a little high. P180 would clog and ride on it."
        ),
    ),
    *only(STRAIGHT, GUIDE, sand(later("Block P120 [[sand it flat]]"), 120), GUIDE, FLATTEN, FEEL),
    *only(
        ENOUGH,
        sand(later("Sand P120, orbital with a soft pad"), 120),
        sand(later("Sand P180, orbital with a soft pad"), 180),
    ),
]
FILLED = [FILL, *SHAPE, GLAZE, FLATTEN, CLEAN, SPOT]
FINAL = sand(later("Final sand P600"), 600)


def blocked(grit_words: str, grit: int, soft_words: str) -> list[dict]:
    """Surfacer made flat: in a loop of guide coat and long block, or once over with an orbital."""
    return [*only(STRAIGHT, GUIDE, sand(grit_words, grit), FEEL), *only(ENOUGH, sand(soft_words, grit)), FINAL]


BLOCK = blocked(later("Block P320 [[sand it flat]]"), 320, later("Sand P320, orbital with a soft pad"))
BLOCK_PLASTIC = blocked(later("Block P400 [[sand it flat]]"), 400, later("Sand P400, orbital with a soft pad"))
BASE = step(
    "coat",
    later("Base [[a coat]]"),
    "base",
    2,
    use="base",
    why=later("Coats until it hides, not a number: one more where the ground still shows through."),
)
DROP = step(
    "coat",
    later("Drop coat"),
    "base",
    use="effect",
    why=later("A mist from further off with less pressure evens out the flakes. Not wet, or they swim."),
)
CLEAR = step("coat", later("Clear [[the last coat]]"), "clear", 2, use="clear")
TOPCOAT = step("coat", later("Single-stage topcoat"), "topcoat", 2, use="topcoat")
COLOUR = [*only(TWO_STAGE, BASE), *only(["effect"], DROP), *only(TWO_STAGE, CLEAR), *only(["single"], TOPCOAT)]
AFTER = [
    step("check", later("Look over for dust and runs")),
    _finish(UNMASK, "flash"),
    _finish(REFIT, "handle"),
    _finish(POLISH, "sand"),
    _finish(WASH, "cure"),
    _finish(WAX, "cure"),
]
PAINT = [REMASK, TACK, SEALER, *COLOUR, *AFTER]
