"""How the default products are written: times as (shorter, longer) minutes at 20 to 25 C, temperatures in degrees C."""

from ..core.base.units import MINUTE_MS

HOUR = 60
DAY = 24 * HOUR
CLEARS = (30, 30)  # a spray room can take half an hour to clear: HSE, see the cautions
OVEN = 60  # what a bake brings the metal to; no hotter than 65 C, for seals, wax and electronics


def typical(short: int, long: int) -> list:
    """One time for the whole range the figures are given for."""
    return _at((20, short, long), (25, short, long))


def baked(short: int, long: int, baked_short: int, baked_long: int) -> list:
    """The same, and a line for metal at 60 C."""
    return _at((20, short, long), (25, short, long), (OVEN, baked_short, baked_long))


def _at(*lines: tuple) -> list:
    return [[temp * 10, short * MINUTE_MS, long * MINUTE_MS] for temp, short, long in lines]


def variant(key: str, name: str, band: tuple | None = None, **own: object) -> dict:
    """What is in `own` under the name of a gate is a time, all else a figure."""
    figures = {name: figure for name, figure in own.items() if name in FIGURES}
    gates = {name: lines for name, lines in own.items() if name not in FIGURES}
    limits = {"band_dc": [band[0] * 10, band[1] * 10]} if band else {}
    return {"id": key, "name": name, **limits, "gates": gates, **figures}


FIGURES = ("ratio", "use", "film_um", "solids_pm", "solids_of", "tip_um", "hardener", "coats")


def hardener(key: str, pm: int, name: str, band: tuple, **gates: list) -> dict:
    """A variant of a putty: a share of hardener by weight, and the clock that goes with it."""
    parts = [1000, pm] if pm % 10 else [100, pm // 10]
    return variant(key, name, band, ratio={"by": "weight", "parts": parts}, **gates)


def product(number: int, cls: str, name: str, **sheet) -> dict:
    limits = {"lowest_dc": 150, "highest_dc": 350, "double_dc": 100}
    common = {"id": f"5a4d7100-0000-4000-8000-{number:012d}", "cls": cls, "name": name, "typical": True}
    return {**common, **limits, "variants": [], **sheet}


def by_volume(*parts: int) -> dict:
    return {"by": "volume", "parts": list(parts)}
