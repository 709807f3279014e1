"""The default products of a shop.

Every figure is common practice, no source: typical at 20 to 25 C, marked "typical, check your sheet" wherever it is
shown, and meant to be replaced from the shop's own data sheets.  Times are (shorter, longer) minutes.
"""

from ..core.base.translate import later, t
from ..core.base.units import MINUTE_MS
from ..core.fold.finishing import TYPICAL

HOUR = 60
DAY = 24 * HOUR


def translated(product: dict) -> dict:
    """A default product with its name and those of its variants in the active language."""
    variants = [{**one, "name": t(one["name"])} for one in product["variants"]]
    return {**product, "name": t(product["name"]), "variants": variants}


def _at(*lines: tuple) -> list:
    """Gate points from lines of (degrees C, shorter minutes, longer minutes)."""
    return [[temp * 10, short * MINUTE_MS, long * MINUTE_MS] for temp, short, long in lines]


def _typical(short: int, long: int) -> list:
    """One time for the whole range the figures are given for, 20 to 25 C."""
    return _at((20, short, long), (25, short, long))


def _variant(key: str, name: str, band: tuple, **gates: list) -> dict:
    return {"id": key, "name": name, "band_dc": [band[0] * 10, band[1] * 10], "gates": gates}


def _hardener(key: str, pm: int, name: str, band: tuple, **gates: list) -> dict:
    """A variant of a putty: a share of hardener by weight, and the clock that goes with it."""
    parts = [1000, pm] if pm % 10 else [100, pm // 10]
    return {**_variant(key, name, band, **gates), "ratio": {"by": "weight", "parts": parts}}


def _product(number: int, cls: str, name: str, **sheet) -> dict:
    limits = {"lowest_dc": 150, "highest_dc": 350, "double_dc": 100}
    common = {"id": f"5a4d7100-0000-4000-8000-{number:012d}", "cls": cls, "name": name, "typical": True}
    return {**common, **limits, "variants": [], **sheet}


HARDENERS = [  # of both putties
    _hardener("2", 20, later("hardener 2 %"), (15, 28)),
    _hardener("3", 30, later("hardener 3 %, cold shop"), (0, 15), pot=_typical(3, 4), sand=_typical(12, 15)),
    _hardener("15", 15, later("hardener 1.5 %, hot shop"), (28, 45), pot=_typical(6, 9), sand=_typical(20, 30)),
]
PRODUCTS = [
    _product(
        1,
        "putty",
        later("Body filler, polyester"),
        uses=["filler"],
        ratio={"by": "weight", "parts": [100, 2]},
        lowest_dc=100,
        gates={"pot": _typical(3, 6), "sand": _typical(15, 20)},
        variants=HARDENERS,
    ),
    _product(
        2,
        "putty",
        later("Glazing putty, fine"),
        uses=["glaze"],
        ratio={"by": "weight", "parts": [100, 2]},
        lowest_dc=100,
        gates={"pot": _typical(3, 6), "sand": _typical(15, 20)},
        variants=HARDENERS,
    ),
    _product(
        3,
        "sprayputty",
        later("Spray polyester"),
        ratio={"by": "weight", "parts": [100, 3]},
        gates={"pot": _typical(15, 30), "flash": _typical(5, 10), "sand": _typical(2 * HOUR, 4 * HOUR)},
    ),
    _product(
        4,
        "epoxy",
        later("Epoxy primer, 2K"),
        uses=["spot"],
        ratio={"by": "volume", "parts": [1, 1]},
        gates={
            "induction": _typical(1, 30),
            "pot": _typical(4 * HOUR, 8 * HOUR),
            "flash": _typical(10, 30),
            "sand": _typical(12 * HOUR, 24 * HOUR),
            "recoat_by": _typical(DAY, 7 * DAY),
        },
    ),
    _product(
        5,
        "etch",
        later("Etch primer"),
        uses=["spot"],
        ratio={"by": "volume", "parts": [1, 1]},
        gates={
            "pot": _typical(6 * HOUR, 8 * HOUR),
            "flash": _typical(15, 30),
            "recoat_by": _typical(4 * HOUR, 24 * HOUR),
        },
    ),
    _product(
        6,
        "surfacer",
        later("Surfacer, 2K high build"),
        uses=["surfacer"],
        ratio={"by": "volume", "parts": [4, 1, 1]},
        gates={
            "pot": _typical(30, 60),
            "flash": _typical(5, 10),
            "sand": _typical(2 * HOUR, 4 * HOUR),
            "recoat_by": _typical(2 * HOUR, 4 * HOUR),
        },
        variants=[
            _variant("std", later("hardener standard"), (18, 25)),
            _variant("fast", later("hardener fast"), (0, 18), pot=_typical(20, 40), sand=_typical(90, 3 * HOUR)),
            _variant("slow", later("hardener slow"), (25, 45), pot=_typical(45, 90), flash=_typical(8, 15)),
        ],
    ),
    _product(
        7,
        "sealer",
        later("Sealer, 2K wet on wet"),
        uses=["sealer"],
        ratio={"by": "volume", "parts": [3, 1, 1]},
        gates={
            "pot": _typical(HOUR, 2 * HOUR),
            "flash": _typical(15, 30),
            "recoat_by": _typical(4 * HOUR, 24 * HOUR),
        },
    ),
    _product(
        8,
        "base",
        later("Base, solvent"),
        uses=["base", "effect"],
        ratio={"by": "volume", "parts": [2, 1]},
        gates={"flash": _typical(5, 15), "recoat_by": _typical(12 * HOUR, 24 * HOUR), "sand": _typical(15, 30)},
    ),
    _product(
        9,
        "waterbase",
        later("Base, waterborne"),
        uses=["base", "effect"],
        ratio={"by": "volume", "parts": [100, 20]},
        gates={"flash": _typical(5, 20), "recoat_by": _typical(24 * HOUR, 24 * HOUR), "sand": _typical(15, 30)},
    ),
    _product(
        10,
        "clear",
        later("Clear, 2K"),
        uses=["clear"],
        ratio={"by": "volume", "parts": [2, 1]},
        gates={
            "pot": _typical(30, 4 * HOUR),
            "flash": _typical(5, 15),
            "recoat_by": _typical(1 * HOUR, 24 * HOUR),
            "sand": _typical(16 * HOUR, 24 * HOUR),
            **{gate: [list(line) for line in lines] for gate, lines in TYPICAL.items()},
        },
        variants=[
            _variant("std", later("hardener standard"), (18, 25)),
            _variant("fast", later("hardener fast"), (0, 18), pot=_typical(20, 2 * HOUR)),
            _variant("slow", later("hardener slow"), (25, 45), flash=_typical(10, 20)),
        ],
    ),
    _product(
        11,
        "promoter",
        later("Adhesion promoter, plastic"),
        uses=["promoter"],
        gates={"flash": _typical(5, 15), "recoat_by": _typical(30, HOUR)},
    ),
    _product(
        12,
        "topcoat",
        later("Single-stage topcoat, 2K"),
        uses=["topcoat"],
        ratio={"by": "volume", "parts": [2, 1]},
        gates={
            "pot": _typical(2 * HOUR, 4 * HOUR),
            "flash": _typical(10, 15),
            "recoat_by": _typical(HOUR, 24 * HOUR),
            "sand": _typical(16 * HOUR, 24 * HOUR),
            **{gate: [list(line) for line in lines] for gate, lines in TYPICAL.items()},
        },
    ),
    _product(
        13,
        "seam",
        later("Seam sealer"),
        uses=["seam"],
        gates={"flash": _typical(30, 60), "recoat_by": _typical(2 * DAY, 3 * DAY)},
    ),
]
