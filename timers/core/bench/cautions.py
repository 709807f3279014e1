"""What can hurt where a product is mixed or laid, in words.  Twin: static/js/core/bench/cautions.js

Common practice, no source; the safety data sheets of such products say the same in their own words, and they rule.
"""

from typing import NotRequired, TypedDict

from ..base.translate import later, t

HARDENER_OF = {  # what the hardener of a class holds, where its sheet does not say it
    "putty": "peroxide",
    "sprayputty": "peroxide",
    "epoxy": "amine",
    "surfacer": "isocyanate",
    "sealer": "isocyanate",
    "clear": "isocyanate",
    "topcoat": "isocyanate",
}
NO_HARDENER = {"etch": "acid", "waterbase": "water", "seam": "seam", "putty": "seam"}  # else solvent is sprayed
CAUTIONS = {
    "isocyanate": later(
        "2K hardener holds isocyanates. Wear air-fed breathing protection as the safety data sheet says, keep others "
        "out, and let the air clear before you lift the visor. A cartridge mask is not enough to rely on. Your local "
        "rules and licensed practice come first. Keep the phone out of the spray area: it is not explosion rated."
    ),
    "amine": later(
        "Epoxy hardener is an amine and a sensitiser: gloves and goggles on, none of it on the skin. To spray, wear "
        "breathing protection as the safety data sheet says, keep others out, and let the air clear before you lift "
        "the visor. A hardener that holds isocyanate too asks for air-fed breathing protection. Your local rules and "
        "licensed practice come first. Keep the phone out of the spray area: it is not explosion rated."
    ),
    "peroxide": later(
        "Putty hardener is an organic peroxide and a sensitiser: gloves on, keep it from heat, never back into the "
        "tin. Left-over mix heats itself: spread it thin. The safety data sheet rules."
    ),
    "styrene": later(
        "Spray polyester mist holds styrene, its hardener is an organic peroxide: breathing protection as the safety "
        "data sheet says, gloves and goggles on, air through the room, no flame and no sparks. Left-over mix heats "
        "itself: spread it thin. Keep the phone out of the spray area: it is not explosion rated."
    ),
    "acid": later(
        "Etch primer holds acid, some hold chromate: gloves and goggles on, none of it on the skin. Solvent mist burns "
        "and harms: breathing protection as the safety data sheet says, air through the room, no flame and no sparks. "
        "Keep the phone out of the spray area: it is not explosion rated."
    ),
    "water": later(
        "Waterborne mist harms the lungs too: breathing protection as the safety data sheet says, air through the "
        "room. Some hardeners for it hold isocyanates: then air-fed protection."
    ),
    "solvent": later(
        "Solvent mist burns and harms: a fitted mask for vapour and mist as the safety data sheet says, air through "
        "the room with fans made for it, no flame, no sparks, no glowing heater. Keep the phone out of the spray area: "
        "it is not explosion rated."
    ),
    "seam": later("Gloves on, air through the room, no flame. The safety data sheet rules."),
}
CAN = later("A spray can is under pressure: away from heat and sun, never forced open, never burnt.")


class Holds(TypedDict):
    """As much of a product, as it is mixed, or of a step as a caution needs."""

    cls: str
    hardener: NotRequired[str | None]
    in_can: NotRequired[bool]


def caution(product: Holds) -> str:
    """What can hurt, in words.

    Rule     by the hardener that the sheet names, else by the one that the class as a rule has, "" for no class
    Unit     none
    Holds    any product as a variant of it is mixed (shelf.as_mixed), any step
    Source   common practice, no source
    Vectors  tests/vectors/cautions.json
    """
    words = t(CAUTIONS[_what_hurts(product)]) if product["cls"] else ""
    return f"{words} {t(CAN)}" if product.get("in_can") else words


def _what_hurts(product: Holds) -> str:
    cls = product["cls"]
    holds = product.get("hardener") or HARDENER_OF.get(cls, "none")
    if holds == "none":
        return NO_HARDENER.get(cls, "solvent")
    return "styrene" if (holds, cls) == ("peroxide", "sprayputty") else holds
