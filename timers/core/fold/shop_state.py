"""What a shop is called, its units, its phones: their names, the last trial of each.

Twin: static/js/core/fold/shop_state.js"""

from ..base.shapes import Act
from ..base.states import PhoneName, ShopState, Trial
from ..base.translate import t
from .order import standing

UNITS = {
    "temp": ("c", "f"),
    "volume": ("ml", "floz"),
    "weight": ("g", "oz"),
    "film": ("um", "mil"),
    "hours": ("24", "12"),  # how the clock on the wall counts
}


def fold(acts: list[Act]) -> ShopState:
    """{"name", "units": {"temp": "c" | "f", ...}, "phones": {phone: {"name", "person"}}, "trials": {phone: {"at",
    "ways", "locked", "heard", "late_ms"}}}; of each the last word rules, and the first unit of each where none was
    chosen.  The name is "" while no keeper has given one.

    Everything is kept in tenths of a degree C, ml, g and um whatever is shown.
    """
    name = ""
    phones: dict[str, PhoneName] = {}
    trials: dict[str, Trial] = {}
    units = {what: choices[0] for what, choices in UNITS.items()}
    for act in standing(acts):
        if act["kind"] == "units_chosen":
            units |= {what: act["units"][what] for what in UNITS if what in act["units"]}
        elif act["kind"] == "shop_named":
            name = act["name"]
        elif act["kind"] == "phone_named":
            phones[act["phone"]] = {"name": act.get("name", ""), "person": act.get("person", "")}
        elif act["kind"] == "trial_told":
            trials[act["phone"]] = {
                "at": act["at"],
                "ways": act["ways"],
                "locked": act["locked"],
                "heard": act["heard"],
                "late_ms": act.get("late_ms"),
            }
    return {"name": name, "units": units, "phones": phones, "trials": trials}


def called(phones: dict[str, PhoneName], phone: str, own: str = "") -> str:
    """What a phone's person is called in a sentence: "this phone", "Ana", "Door side", "Phone 3f2a".

    Rule     the phone that reads it first, then the person, then the phone's name, then the first four of its id
    Unit     none; phones as `fold` gives them, own the id of the phone that reads it
    Holds    any phone's id, named or not
    Source   our own rule
    Vectors  tests/vectors/house.json
    """
    if phone == own:
        return t("this phone [[who has it]]")
    known = phones.get(phone)
    name = (known.get("person") or known.get("name")) if known else ""
    return name or t("Phone {id}", id=phone[:4])
