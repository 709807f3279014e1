"""Figures of a sheet beside its times: ratio, film, air, what a litre weighs: data, and the check by them.

Limits are common practice, no source.
"""

from ..base.translate import later
from ..base.units import DAY_MS
from .conform import check_fields
from .schema import (
    MISSING,
    NULL,
    Field,
    also,
    box,
    choice,
    date,
    each,
    labelled,
    line,
    many,
    measure,
    number,
    rule,
    text,
    yes_no,
)

BY = ("volume", "weight")
HARDENERS = ("none", "isocyanate", "amine", "peroxide")  # what hurts in it; "none": nothing is mixed in
SOLIDS_OF_WHAT = ("tin", "mixed", "ready")  # the paint alone; with its hardener, no reducer; ready to spray


def _share(key: str, what: str, least_pm: int, most_pm: int, label: str) -> Field:
    return labelled(measure(key, what, least_pm, most_pm, 10, "%", NULL), label)


def _paper(key: str, what: str, label: str) -> Field:
    return labelled(number(key, what, 12, 10_000, NULL), label)


def _of_each_part(key: str, what: str, least_g: int, most_g: int, label: str) -> Field:
    """Grams in a litre, one figure for each part of the ratio."""
    words = later("{what} is needed for each part of the ratio. Nothing was saved.")
    row = each(key, measure("", what, least_g, most_g, 1, "g"), ["ratio", "parts"], words, NULL)
    row["what"] = what
    return labelled(row, label)


HIGHEST_RH = _share("highest_rh_pm", later("The highest humidity"), 10, 1000, later("Highest humidity"))
SHEET_RH = _share(
    "sheet_rh_pm", later("The humidity of the sheet's times"), 0, 950, later("Humidity of the sheet's times")
)
SOLIDS = _share("solids_pm", later("The solids by volume"), 10, 1000, later("Solids by volume"))
SOLIDS_OF = labelled(
    choice("solids_of", later("What the solids are of"), SOLIDS_OF_WHAT, NULL), later("Solids of what")
)
HARDENER_SOLIDS = _share(
    "hardener_solids_pm", later("The hardener's solids by volume"), 0, 1000, later("Hardener's solids by volume")
)
FILM = labelled(
    measure("film_um", later("The dry film of a coat"), 1, 3000, 1, "µm", NULL), later("Dry film of a coat")
)
TIP = labelled(measure("tip_um", later("The tip [[of a gun]]"), 300, 4000, 1000, "mm", NULL), later("Spray tip"))
HARDENER = labelled(choice("hardener", later("What the hardener is"), HARDENERS, NULL), later("Hardener"))
COATS = labelled(number("coats", later("The number of coats"), 1, 9, NULL), later("Coats [[how many]]"))
BEFORE_P = _paper("before_p", later("The paper before it [[abrasive]]"), later("Paper before it [[sandpaper]]"))
AFTER_P = _paper("after_p", later("The paper after it [[abrasive]]"), later("Paper after it [[sandpaper]]"))
LEAD = labelled(
    measure("lead_ms", later("The warning before the window closes"), 60_000, DAY_MS, 60_000, "min", NULL),
    later("Warning before the window closes"),
)
OF_EACH_PART = [
    _of_each_part("densities_g_l", later("The weight of a litre"), 500, 5_000, later("Weight of a litre")),
    _of_each_part("vocs_g_l", later("The solvent in a litre"), 0, 2_000, later("Solvent in a litre")),
    _of_each_part("waters_g_l", later("The water in a litre"), 0, 1_000, later("Water in a litre")),
]

RATIO = [
    choice("by", later("How the ratio is measured"), BY),
    many(
        "parts",
        number("", later("A part of the ratio"), 1, 100_000),
        1,
        4,
        later("A ratio has 1 to {most} parts. Nothing was saved."),
    ),
    each(
        "names",
        text("", later("The name of a part"), 1, 60),
        ["parts"],
        later("Every part of the ratio needs a name, or none. Nothing was saved."),
        NULL,
    ),
]
RIBBON = [
    measure("mm", later("The length of the ribbon"), 1, 3000, 1, "mm"),
    measure("disc_mm", later("The disc of putty"), 10, 1000, 1, "mm"),
]
_HARDENER = measure("", later("The hardener"), 1, 1000, 10, "%")

FIGURES = [
    HIGHEST_RH,
    SHEET_RH,
    SOLIDS,
    SOLIDS_OF,
    HARDENER_SOLIDS,
    FILM,
    COATS,
    TIP,
    HARDENER,
    yes_no("in_can", later("A spray can or not: the sheet must say yes or no. Nothing was saved."), MISSING),
    BEFORE_P,
    AFTER_P,
    LEAD,
    text("notes", later("The notes"), 0, 2000, MISSING),
    date(
        "sheet_date",
        later("The date of the sheet"),
        later("The date of the sheet is written like 2026-01-31. Nothing was saved."),
        MISSING,
    ),
    box("ratio", RATIO, later("The ratio is missing. Nothing was saved."), NULL),
    *OF_EACH_PART,
    also(
        line(
            "hardener_span_pm", [_HARDENER, _HARDENER], later("The hardener is from and to. Nothing was saved."), NULL
        ),
        "least_first",
    ),
    box("ribbon", RIBBON, later("The ribbon is missing. Nothing was saved."), NULL),
    rule("hardener_of_a_putty"),
    rule("window_opens_first"),
]


def check_figures(doc: dict[str, object]) -> None:
    """What a sheet says beside its times; every figure may be missing.

    Rule     each inside what can be; one density, solvent and water for each part of the ratio; a putty's hardener
             between 0.5 and 6 % of it; the window shuts after the next coat may go on, at every line of both
    Unit     tenths of a degree C, per mille, um, g per litre
    Holds    refuses in words what is outside
    Source   own rule, figures are common practice, no source
    Vectors  tests/vectors/figures.json
    """
    check_fields(doc, FIGURES)
