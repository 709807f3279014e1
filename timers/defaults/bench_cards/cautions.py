"""What can hurt, in words that every card shares, each beside where it is published; none: common practice, no source.

Seen in stored public copies in 2026; the pages themselves were not fetched.
"""

from ...core.base.translate import later
from .card import Caution

CAUTIONS = {
    "dust": Caution(
        later("Dust: extraction at the sander, a fitted dust mask (P2, P3, N95 or better), no dry sweeping."),
        ("niosh", "hse_dust"),
    ),
    "lead": Caution(
        later(
            "Old paint may hold lead or chromium: test it, sand wet or with extraction, keep children away, wash "
            "before you eat."
        ),
        ("lead_au", "niosh"),
    ),
    "fresh2k": Caution(
        later("Dust of fresh 2K can still hold isocyanate: let it cure as its sheet says, extraction and mask on."),
        ("hse_coshh",),
    ),
    "fresh": Caution(
        later("Fresh 2K gives off vapour for hours: air through the room, gloves on."),
    ),
    "iso": Caution(
        later(
            "2K hardener holds isocyanates: they can give you asthma for life. Air-fed breathing gear, gloves, "
            "suit, nobody else in the room."
        ),
        ("hse_rpe", "hse_clear"),
    ),
    "iso_air": Caution(
        later(
            "A filter mask is not enough. Visor down until the air is clear: in a plain spray room that can take "
            "half an hour."
        ),
        ("hse_rpe", "hse_clear"),
    ),
    "amine": Caution(
        later(
            "Epoxy and its amine hardener sensitise the skin: gloves, goggles, long sleeves; wash it off at "
            "once. If the hardener holds isocyanate, breathe supplied air."
        ),
        ("hse_epoxy",),
    ),
    "peroxide": Caution(
        later(
            "Hardener paste is an organic peroxide: gloves and goggles, away from heat, never back into the tin, "
            "mixed with nothing but its filler."
        ),
        ("ghs_peroxide",),
    ),
    "heatmix": Caution(
        later("Left-over mix heats itself: spread it thin on a metal tray, outdoors."),
    ),
    "rags": Caution(
        later("Solvent rags at once into a metal can with a lid; empty it every day."),
        ("wac_rags",),
    ),
    "fire": Caution(
        later("No flame, spark, glowing heater or phone near solvent and mist; only fans made for it."),
        ("osha_fire",),
    ),
    "solvent": Caution(
        later("Solvent: gloves that stand it, air through the room, a fitted vapour mask where its sheet asks for it."),
    ),
    "mist": Caution(
        later(
            "Mist without hardener: a fitted mask for vapour and particles at least, air moving through. With "
            "any hardener that holds isocyanate: supplied air."
        ),
    ),
    "acid": Caution(
        later(
            "Etch holds acid, some hold chromate: gloves, goggles, breathing gear as its sheet says; none of it "
            "on the skin."
        ),
    ),
    "air": Caution(
        later("Compressed air: goggles on, below 2 bar (30 psi), never at skin, ears, or clothes you wear."),
        ("osha_air",),
    ),
    "metal": Caution(
        later(
            "Goggles, gloves, ears covered. Airbags, fuel lines and wires behind the panel come out first, by "
            "who may do it."
        ),
    ),
    "wet": Caution(
        later("Water and mains tools do not go together: hand, air or battery only."),
    ),
    "buffer": Caution(
        later("Goggles, no loose sleeves; run the pad off an edge, never onto it."),
    ),
    "seam": Caution(
        later("Some sealers hold isocyanate: gloves, air through the room, read the label."),
    ),
    "can2k": Caution(
        later(
            "A 2K can sprays isocyanate as a gun does: air-fed breathing gear. An open garage door is no protection."
        ),
        ("hse_rpe",),
    ),
    "canfire": Caution(
        later(
            "Cans burst in heat and their mist burns: never near a flame, warm them by hand only, not above 50 "
            "°C (122 °F)."
        ),
    ),
    "lampc": Caution(
        later("Lamp: no can, rag or masking near it, never left alone, hot long after. Solvent must have flashed off."),
    ),
}
