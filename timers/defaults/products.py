"""The default products of a shop: what every shop has.  More of them are in more_products.py.

Every figure is common practice, no source: typical at 20 to 25 C, marked "typical, check your sheet" wherever it is
shown, and meant to be replaced from the shop's own data sheets.
"""

from ..core.base.translate import later, t
from ..core.fold.finishing import TYPICAL
from . import more_products
from .sheet import CLEARS, DAY, HOUR, baked, by_volume, hardener, product, typical, variant


def translated(doc: dict) -> dict:
    """A default product with its name, its notes and the names of its variants in the active language."""
    variants = [{**one, "name": t(one["name"])} for one in doc["variants"]]
    notes = {"notes": t(doc["notes"])} if "notes" in doc else {}
    return {**doc, "name": t(doc["name"]), **notes, "variants": variants}


CURES = {"cure": [list(line) for line in TYPICAL["cure"]]}
HARDENERS = [  # of all putties
    hardener("2", 20, later("hardener 2 %"), (15, 28)),
    hardener("3", 30, later("hardener 3 %, cold shop"), (0, 15), pot=typical(3, 4), sand=typical(12, 15)),
    hardener("15", 15, later("hardener 1.5 %, hot shop"), (28, 45), pot=typical(6, 9), sand=typical(20, 30)),
]
PUTTY_RATIO = {"by": "weight", "parts": [100, 2]}
PRODUCTS = [
    product(
        1,
        "putty",
        later("Body filler, polyester"),
        uses=["filler"],
        ratio=PUTTY_RATIO,
        lowest_dc=100,
        notes=later("At most 3 mm a pass and 6 mm in all. Not over acid etch primer."),
        gates={"pot": typical(3, 6), "sand": typical(15, 20)},
        variants=HARDENERS,
    ),
    product(
        2,
        "putty",
        later("Glazing putty, fine"),
        uses=["glaze"],
        ratio=PUTTY_RATIO,
        lowest_dc=100,
        gates={"pot": typical(3, 6), "sand": typical(15, 20)},
        variants=HARDENERS,
    ),
    product(
        3,
        "sprayputty",
        later("Spray polyester"),
        ratio={"by": "weight", "parts": [100, 3]},
        tip_um=2000,
        gates={
            "pot": typical(15, 30),
            "flash": typical(5, 10),
            "sand": typical(2 * HOUR, 4 * HOUR),
            "clear_air": typical(*CLEARS),
        },
    ),
    product(
        4,
        "epoxy",
        later("Epoxy primer, 2K"),
        uses=["spot"],
        ratio=by_volume(1, 1),
        gates={
            "induction": typical(1, 15),
            "pot": typical(4 * HOUR, 8 * HOUR),
            "flash": typical(10, 30),
            "sand": typical(12 * HOUR, 24 * HOUR),
            "recoat_by": typical(3 * DAY, 7 * DAY),
            "handle": typical(12 * HOUR, 24 * HOUR),
            "cure": typical(7 * DAY, 7 * DAY),
            "clear_air": typical(*CLEARS),
        },
    ),
    product(
        5,
        "etch",
        later("Etch primer"),
        uses=["spot"],
        ratio=by_volume(1, 1),
        notes=later("Not under epoxy primer and not under filler."),
        gates={
            "pot": typical(6 * HOUR, 8 * HOUR),
            "flash": typical(15, 30),
            "recoat_by": typical(4 * HOUR, 24 * HOUR),
            "handle": typical(HOUR, 2 * HOUR),
            "cure": typical(DAY, 2 * DAY),
            "clear_air": typical(*CLEARS),
        },
    ),
    product(
        6,
        "surfacer",
        later("Surfacer, 2K high build"),
        uses=["surfacer"],
        ratio=by_volume(4, 1, 1),
        cure_highest_dc=650,
        gates={
            "pot": typical(30, 60),
            "flash": typical(5, 10),
            "sand": baked(2 * HOUR, 4 * HOUR, 20, 30),
            "recoat_by": typical(4 * HOUR, 24 * HOUR),
            "handle": typical(2 * HOUR, 4 * HOUR),
            "cure": typical(5 * DAY, 7 * DAY),
            "clear_air": typical(*CLEARS),
        },
        variants=[
            variant("std", later("hardener standard"), (18, 25)),
            variant(
                "fast",
                later("hardener fast"),
                (0, 18),
                pot=typical(20, 40),
                sand=baked(90, 3 * HOUR, 15, 25),
                handle=typical(90, 3 * HOUR),
            ),
            variant(
                "slow",
                later("hardener slow"),
                (25, 45),
                pot=typical(45, 90),
                flash=typical(8, 15),
                sand=baked(3 * HOUR, 6 * HOUR, 30, 40),
                handle=typical(3 * HOUR, 6 * HOUR),
            ),
        ],
    ),
    product(
        7,
        "sealer",
        later("Sealer, 2K wet on wet"),
        uses=["sealer"],
        ratio=by_volume(3, 1, 1),
        gates={
            "pot": typical(HOUR, 2 * HOUR),
            "flash": typical(15, 30),
            "recoat_by": typical(4 * HOUR, 24 * HOUR),
            "handle": typical(4 * HOUR, 8 * HOUR),
            "cure": typical(5 * DAY, 7 * DAY),
            "clear_air": typical(*CLEARS),
        },
    ),
    product(
        8,
        "base",
        later("Base, solvent"),
        uses=["base", "effect"],
        ratio=by_volume(2, 1),
        gates={
            "flash": typical(5, 15),
            "recoat_by": typical(12 * HOUR, 24 * HOUR),
            "sand": typical(15, 30),
            "handle": typical(30, HOUR),
            "clear_air": typical(*CLEARS),
        },
        variants=[
            variant("plain", later("without activator")),
            variant(
                "act",
                later("with activator"),
                ratio=by_volume(20, 1, 10),
                hardener="isocyanate",
                pot=typical(4 * HOUR, 8 * HOUR),
            ),
        ],
    ),
    product(
        9,
        "waterbase",
        later("Base, waterborne"),
        uses=["base", "effect"],
        ratio=by_volume(100, 20),
        sheet_rh_pm=500,
        before_p=800,
        gates={
            "flash": typical(5, 20),
            "recoat_by": typical(24 * HOUR, 24 * HOUR),
            "sand": typical(15, 30),
            "handle": typical(30, HOUR),
            "clear_air": typical(*CLEARS),
        },
    ),
    product(
        10,
        "clear",
        later("Clear, 2K"),
        uses=["clear"],
        ratio=by_volume(2, 1),
        cure_highest_dc=650,
        gates={
            "pot": typical(30, 4 * HOUR),
            "flash": typical(5, 15),
            "recoat_by": typical(1 * HOUR, 24 * HOUR),
            "sand": baked(16 * HOUR, 24 * HOUR, 30, 40),
            "handle": baked(4 * HOUR, 8 * HOUR, 30, 45),
            **CURES,
            "clear_air": typical(*CLEARS),
        },
        variants=[
            variant("std", later("hardener standard"), (18, 25)),
            variant(
                "fast",
                later("hardener fast"),
                (0, 18),
                pot=typical(20, 2 * HOUR),
                sand=baked(10 * HOUR, 16 * HOUR, 20, 30),
                handle=baked(3 * HOUR, 5 * HOUR, 20, 30),
            ),
            variant(
                "slow",
                later("hardener slow"),
                (25, 45),
                pot=typical(45, 5 * HOUR),
                flash=typical(10, 20),
                sand=baked(20 * HOUR, 30 * HOUR, 40, 50),
                handle=baked(5 * HOUR, 10 * HOUR, 40, 60),
            ),
        ],
    ),
    *more_products.PRODUCTS,
]
