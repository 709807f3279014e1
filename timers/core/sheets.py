"""The fields of a step, a product's sheet, its figures and a route, with their limits: data, no code.

A time is in ms, a temperature in tenths of a degree C, a share in per mille, a film in um.  Limits are common practice,
no source, but where one is named.
"""

from . import schema
from .schema import MISSING, MUST, NULL, Field
from .tongue import later
from .units import DAY_MS

DOES = ("sand", "fill", "clean", "coat", "check")
CLASSES = ("putty", "sprayputty", "epoxy", "etch", "surfacer", "sealer", "base", "waterbase", "clear")
GATES = ("pot", "flash", "sand", "recoat_by", "handle", "cure", "clear_air", "induction")
BY = ("volume", "weight")
COLDEST_DC = -400
HOTTEST_DC = 1500  # a bake


def _temp(key: str, what: str) -> Field:
    return schema.measure(key, what, COLDEST_DC, HOTTEST_DC, 10, "°C", NULL)


def _time() -> Field:
    row = schema.number("", later("A time on the sheet"), 1_000, 365 * DAY_MS, MUST)
    row["words"] = later("A time on the sheet must be from one second to 365 days. Nothing was saved.")
    return row


def _class_or_none(key: str, what: str) -> Field:
    row = schema.choice(key, what, CLASSES, MISSING)
    row["least"] = 0
    return row


STEP = [
    schema.an_id("id", later("The step"), MUST),
    schema.choice("do", later("What a step does"), DOES, MUST),
    schema.text("words", later("The step's words"), 1, 200, MUST),
    schema.text("area", later("The step's area"), 0, 200, MISSING),
    schema.number("coats", later("The number of coats"), 1, 20, MISSING),
    schema.number("grit", later("The grit"), 0, 10_000, MISSING),
    _class_or_none("cls", later("The step's class of product")),
]
A_STEP = schema.box("step", STEP, later("A step is missing. Nothing was saved."), MUST)
STEPS = schema.also(
    schema.many("steps", A_STEP, 0, 100, later("A panel may have 100 steps. Nothing was saved."), MUST), "different_ids"
)

LINE = schema.also(
    schema.line(
        "",
        [_temp("", later("A sheet's temperature")), _time(), _time()],
        later("A line of the sheet is a temperature, a shorter and a longer time. Nothing was saved."),
        MUST,
    ),
    "shorter_first",
)
LINES = schema.also(
    schema.many("", LINE, 1, 12, later("A time on the sheet needs 1 to 12 lines. Nothing was saved."), MUST),
    "warmer_is_faster",
)


def _gates(absent: schema.Absent) -> Field:
    words = later("The sheet has no times. Nothing was saved.")
    return schema.mapping("gates", later("A time on the sheet"), GATES, LINES, words, absent)


SHEET_RH = schema.measure("sheet_rh_pm", later("The humidity of the sheet's times"), 0, 950, 10, "%", NULL)
LEAD = schema.measure("lead_ms", later("The warning before the window closes"), 60_000, DAY_MS, 60_000, "min", NULL)

# What a film and a cup keep of their product.
SHEET = [
    schema.text("name", later("The product's name"), 1, 200, MUST),
    schema.text("variant", later("The variant"), 0, 200, MISSING),
    schema.choice("cls", later("The product's class"), CLASSES, MUST),
    schema.yes_no(
        "typical",
        later("Typical times or your own: the sheet must say yes or no. Nothing was saved."),
        MISSING,
    ),
    _temp("lowest_dc", later("The lowest temperature")),
    _temp("highest_dc", later("The highest temperature")),
    schema.measure("double_dc", later("The doubling step"), 30, 300, 10, "°C", NULL),
    SHEET_RH,
    LEAD,
    schema.rule("lowest_below_highest"),
    _gates(MUST),
]
A_SHEET = schema.box("sheet", SHEET, later("The product's sheet is missing. Nothing was saved."), MUST)

_BAND_TEMP = schema.measure("", later("A variant's temperature"), COLDEST_DC, HOTTEST_DC, 10, "°C", MUST)
VARIANT = [
    schema.an_id("id", later("The variant"), MUST),
    schema.text("name", later("The variant's name"), 1, 200, MUST),
    schema.line(
        "band_dc",
        [_BAND_TEMP, _BAND_TEMP],
        later("A variant's temperatures are two: from and to. Nothing was saved."),
        NULL,
    ),
    _gates(MISSING),
]
COAT_GATES = [schema.number("coat", later("The number of coats"), 2, 20, MUST), _gates(MUST)]

RATIO = [
    schema.choice("by", later("How the ratio is measured"), BY, MUST),
    schema.many(
        "parts",
        schema.number("", later("A part of the ratio"), 1, 100_000, MUST),
        1,
        4,
        later("A ratio has 1 to {most} parts. Nothing was saved."),
        MUST,
    ),
    schema.each(
        "names",
        schema.text("", later("The name of a part"), 1, 60, MUST),
        ["parts"],
        later("Every part of the ratio needs a name, or none. Nothing was saved."),
        NULL,
    ),
]
RIBBON = [
    schema.measure("mm", later("The length of the ribbon"), 1, 3000, 1, "mm", MUST),
    schema.measure("disc_mm", later("The disc of putty"), 10, 1000, 1, "mm", MUST),
]
_HARDENER = schema.measure("", later("The hardener"), 1, 1000, 10, "%", MUST)


def _of_each_part(key: str, what: str, least: int, most: int) -> Field:
    """Grams in a litre, one figure for each part of the ratio."""
    words = later("{what} is needed for each part of the ratio. Nothing was saved.")
    row = schema.each(key, schema.measure("", what, least, most, 1, "g", MUST), ["ratio", "parts"], words, NULL)
    row["what"] = what
    return row


# What a sheet says beside its times; every figure may be missing.
FIGURES = [
    schema.measure("highest_rh_pm", later("The highest humidity"), 10, 1000, 10, "%", NULL),
    SHEET_RH,
    schema.measure("solids_pm", later("The solids by volume"), 10, 1000, 10, "%", NULL),
    schema.measure("film_um", later("The dry film of a coat"), 1, 3000, 1, "µm", NULL),
    schema.number("coats", later("The number of coats"), 1, 9, NULL),
    schema.number("before_p", later("The paper before it [[abrasive]]"), 12, 10_000, NULL),
    schema.number("after_p", later("The paper after it [[abrasive]]"), 12, 10_000, NULL),
    LEAD,
    schema.text("notes", later("The notes"), 0, 2000, MISSING),
    schema.date(
        "sheet_date",
        later("The date of the sheet"),
        later("The date of the sheet is written like 2026-01-31. Nothing was saved."),
        MISSING,
    ),
    schema.box("ratio", RATIO, later("The ratio is missing. Nothing was saved."), NULL),
    _of_each_part("densities_g_l", later("The weight of a litre"), 500, 5_000),
    _of_each_part("vocs_g_l", later("The solvent in a litre"), 0, 2_000),
    _of_each_part("waters_g_l", later("The water in a litre"), 0, 1_000),
    schema.also(
        schema.line(
            "hardener_span_pm",
            [_HARDENER, _HARDENER],
            later("The hardener is from and to. Nothing was saved."),
            NULL,
        ),
        "least_first",
    ),
    schema.box("ribbon", RIBBON, later("The ribbon is missing. Nothing was saved."), NULL),
    schema.rule("hardener_of_a_putty"),
    schema.rule("window_opens_first"),
]

PRODUCT = [
    schema.text("name", later("The name"), 1, 200, MUST),
    *SHEET,
    schema.many(
        "variants",
        schema.box("", VARIANT, later("A variant is missing. Nothing was saved."), MUST),
        0,
        12,
        later("A product may have 12 variants. Nothing was saved."),
        MISSING,
    ),
    schema.many(
        "coat_gates",
        schema.box("", COAT_GATES, later("The times of a coat are missing. Nothing was saved."), MUST),
        0,
        8,
        later("A product may have times of their own for 8 numbers of coats. Nothing was saved."),
        MISSING,
    ),
    *FIGURES,
]
ROUTE = [schema.text("name", later("The name"), 1, 200, MUST), STEPS]
_NOTHING = later("Nothing was written. Nothing was saved.")
A_PRODUCT = schema.box("doc", PRODUCT, _NOTHING, MUST)
A_ROUTE = schema.box("doc", ROUTE, _NOTHING, MUST)
