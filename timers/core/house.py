"""What a shop prefers: the units it reads and types in.  Twin: static/js/core/house.js"""

from .order import standing

UNITS = {"temp": ("c", "f"), "volume": ("ml", "floz"), "weight": ("g", "oz"), "film": ("um", "mil")}


def fold(acts: list[dict]) -> dict:
    """The units in force: {"units": {"temp": "c" | "f", "volume": ..., "weight": ..., "film": ...}}; the first of each
    unless the shop chose another.  Everything is kept in tenths of a degree C, ml, g and um whatever is shown."""
    units = {what: choices[0] for what, choices in UNITS.items()}
    for act in standing(acts):
        if act["kind"] == "units_chosen":
            units |= {what: act["units"][what] for what in UNITS if what in act["units"]}
    return {"units": units}
