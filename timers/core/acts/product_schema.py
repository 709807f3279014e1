"""What a step, a sheet, a product and a route must hold: their fields and limits as data, and the checks by them.

Figures beside the times are in figures.py.  A time is in ms, a temperature in tenths of a degree C, a share in per
mille, a film in um.  Limits are common practice, no source.
"""

from ..base.translate import later
from ..base.units import DAY_MS
from .conform import check_value
from .figures import (
    AFTER_P,
    BEFORE_P,
    COATS,
    FIGURES,
    FILM,
    HARDENER,
    HARDENER_SOLIDS,
    HIGHEST_RH,
    LEAD,
    OF_EACH_PART,
    RATIO,
    SHEET_RH,
    SOLIDS,
    SOLIDS_OF,
    TIP,
)
from .route_schema import OF_A_ROUTE, chosen_from
from .schema import (
    MISSING,
    MUST,
    NULL,
    Absent,
    Field,
    also,
    an_id,
    box,
    choice,
    labelled,
    line,
    many,
    mapping,
    measure,
    number,
    rule,
    text,
    yes_no,
)

DOES = ("sand", "fill", "clean", "coat", "check")
NEEDS = ("nothing", "flash", "sand", "handle", "cure")
CLASSES = (
    "putty", "sprayputty", "epoxy", "etch", "surfacer", "sealer", "base", "waterbase", "clear",
    "promoter", "topcoat", "seam",
)  # fmt: skip
# What a step wants and a product serves, beside its class: body filler is no glaze.
USES = (
    "filler", "glaze", "fibre", "spot", "surfacer", "sealer", "base", "effect", "clear", "topcoat", "promoter", "seam",
)  # fmt: skip
GATES = ("pot", "flash", "sand", "recoat_by", "recoat_again", "handle", "cure", "clear_air", "induction")
COLDEST_DC = -400
HOTTEST_DC = 1500  # a bake


def _temp(key: str, what: str) -> Field:
    return measure(key, what, COLDEST_DC, HOTTEST_DC, 10, "°C", NULL)


def _time() -> Field:
    row = number("", later("A time on the sheet"), 1_000, 365 * DAY_MS)
    row["words"] = later("A time on the sheet must be from one second to 365 days. Nothing was saved.")
    return row


def _class_or_none(key: str, what: str) -> Field:
    row = choice(key, what, CLASSES, MISSING)
    row["least"] = 0
    return row


def _use_or_none(what: str) -> Field:
    row = choice("use", what, USES, MISSING)
    row["least"] = 0
    return row


STEP = [
    an_id("id", later("The step")),
    choice("do", later("What a step does"), DOES),
    text("words", later("The step's words"), 1, 200),
    text("area", later("The step's area"), 0, 200, MISSING),
    number("coats", later("The number of coats"), 1, 20, MISSING),
    number("grit", later("The grit"), 0, 10_000, MISSING),
    _class_or_none("cls", later("The step's class of product")),
    _use_or_none(later("The step's use of a product")),
    choice("needs", later("What a step needs"), NEEDS, MISSING),
    text("card", later("The step's bench card"), 0, 40, MISSING),
    text("why", later("The reason"), 0, 300, MISSING),
]
A_STEP = box("step", STEP, later("A step is missing. Nothing was saved."))
STEPS = also(many("steps", A_STEP, 0, 100, later("A panel may have 100 steps. Nothing was saved.")), "different_ids")

LINE = also(
    line(
        "",
        [_temp("", later("A sheet's temperature")), _time(), _time()],
        later("A line of the sheet is a temperature, a shorter and a longer time. Nothing was saved."),
    ),
    "shorter_first",
)
LINES = also(
    many("", LINE, 1, 12, later("A time on the sheet needs 1 to 12 lines. Nothing was saved.")), "warmer_is_faster"
)


def _gates(absent: Absent) -> Field:
    words = later("The sheet has no times. Nothing was saved.")
    return mapping("gates", later("A time on the sheet"), GATES, LINES, words, absent)


LOWEST = labelled(_temp("lowest_dc", later("The lowest temperature")), later("Lowest temperature"))
HIGHEST = labelled(_temp("highest_dc", later("The highest temperature")), later("Highest temperature"))
CURE_LOWEST = labelled(
    _temp("cure_lowest_dc", later("The lowest temperature to cure at")), later("Lowest temperature to cure at")
)
CURE_HIGHEST = labelled(
    _temp("cure_highest_dc", later("The highest temperature to cure at")), later("Highest temperature to cure at")
)

# What a film and a cup keep of their product.
SHEET = [
    text("name", later("The product's name"), 1, 200),
    text("variant", later("The variant"), 0, 200, MISSING),
    choice("cls", later("The product's class"), CLASSES),
    yes_no("typical", later("Typical times or your own: the sheet must say yes or no. Nothing was saved."), MISSING),
    LOWEST,
    HIGHEST,
    CURE_LOWEST,
    CURE_HIGHEST,
    measure("double_dc", later("The doubling step"), 30, 300, 10, "°C", NULL),
    SHEET_RH,
    LEAD,
    rule("lowest_below_highest"),
    _gates(MUST),
]
A_SHEET = box("sheet", SHEET, later("The product's sheet is missing. Nothing was saved."))


def _own_parts(row: Field) -> Field:
    """A variant's figures of each part: they count where there are as many as the parts it is mixed of."""
    words = later("{what} is needed for each part of the ratio. Nothing was saved.")
    own = many(row["key"], row["of"][0], 1, 4, words, NULL)
    own["what"] = row["what"]
    return own


_BAND_TEMP = measure("", later("A variant's temperature"), COLDEST_DC, HOTTEST_DC, 10, "°C")
VARIANT = [
    an_id("id", later("The variant")),
    text("name", later("The variant's name"), 1, 200),
    line(
        "band_dc",
        [_BAND_TEMP, _BAND_TEMP],
        later("A variant's temperatures are two: from and to. Nothing was saved."),
        NULL,
    ),
    _gates(MISSING),
    box("ratio", RATIO, later("The ratio is missing. Nothing was saved."), NULL),
    _use_or_none(later("The variant's use")),
    LOWEST,
    HIGHEST,
    CURE_LOWEST,
    CURE_HIGHEST,
    rule("lowest_below_highest"),
    HIGHEST_RH,
    SOLIDS,
    SOLIDS_OF,
    HARDENER_SOLIDS,
    FILM,
    COATS,
    TIP,
    HARDENER,
    *(_own_parts(row) for row in OF_EACH_PART),
]
COAT_GATES = [number("coat", later("The number of coats"), 2, 20), _gates(MUST)]

PRODUCT = [
    text("name", later("The name"), 1, 200),
    *SHEET,
    many(
        "uses",
        choice("", later("What a product is for"), USES),
        0,
        len(USES),
        later("What a product is for must be chosen from the list. Nothing was saved."),
        MISSING,
    ),
    many(
        "variants",
        box("", VARIANT, later("A variant is missing. Nothing was saved.")),
        0,
        12,
        later("A product may have 12 variants. Nothing was saved."),
        MISSING,
    ),
    many(
        "coat_gates",
        box("", COAT_GATES, later("The times of a coat are missing. Nothing was saved.")),
        0,
        8,
        later("A product may have times of their own for 8 numbers of coats. Nothing was saved."),
        MISSING,
    ),
    *FIGURES,
]
ROUTE = [text("name", later("The name"), 1, 200), chosen_from(STEPS), *OF_A_ROUTE]
_NOTHING = later("Nothing was written. Nothing was saved.")
A_PRODUCT = box("doc", PRODUCT, _NOTHING)
A_ROUTE = box("doc", ROUTE, _NOTHING)

# Figures that stand in one field each, in the order of the form.
FORM = [
    LOWEST,
    HIGHEST,
    CURE_LOWEST,
    CURE_HIGHEST,
    HIGHEST_RH,
    SHEET_RH,
    SOLIDS,
    HARDENER_SOLIDS,
    FILM,
    COATS,
    TIP,
    *OF_EACH_PART,
    BEFORE_P,
    AFTER_P,
    LEAD,
]


def check_sheet(sheet: object) -> None:
    """What a film keeps of its product."""
    check_value(sheet, A_SHEET, {})


def check_doc(kind: str, doc: object) -> None:
    """A product or a route, whole, by the kind of act that writes it."""
    check_value(doc, A_ROUTE if kind == "route_written" else A_PRODUCT, {})
