"""Every kind of act: the things it may be made on, and its fields with their limits: data, no code."""

from ..base.corrections import GROUPS
from ..base.translate import later
from ..base.units import DAY_MS
from . import people
from .figures import BY
from .product_schema import A_PRODUCT, A_ROUTE, A_SHEET, A_STEP, SHEET, STEPS
from .route_schema import CHOICES
from .schema import (
    MISSING,
    MUST,
    NULL,
    Absent,
    Field,
    Kind,
    also,
    an_id,
    box,
    choice,
    each,
    ids,
    many,
    measure,
    moment,
    number,
    on,
    rule,
    text,
    thing,
)

ASK_MS = 30 * DAY_MS  # a film is asked about again within a month
SNOOZE_MS = DAY_MS  # a ring is put off for a day at the most
CORRECT_MS = 30 * DAY_MS  # what is older than a month stays as it was said
EXPECT_MS = 7 * DAY_MS  # nobody knows the garage's air further ahead
MOST_POURED = 1_000_000  # a thousand litres in ml, a hundred kg in tenths of a gram
TRIED = ("flash", "sand", "handle", "cure")  # the gates that a finger can try


def _air(key: str, what: str, hottest_dc: int, absent: Absent = MUST) -> Field:
    return measure(key, what, -400, hottest_dc, 10, "°C", absent)


def _poured(by: str, scale: int, unit: str) -> Field:
    row = also(
        many(
            "amounts",
            measure("", later("A part of the mix"), 0, MOST_POURED, scale, unit),
            1,
            12,
            later("A cup holds 1 to 12 parts. Nothing was saved."),
        ),
        "something_poured",
    )
    row["when"] = ["by", by]
    return row


PANEL_NAME = text("name", later("The panel's name"), 1, 200)
JOB = text("job", later("The job"), 0, 200, MISSING)
AREA = text("area", later("The area"), 0, 200, MISSING)
BEFORE = an_id("before", later("The place of the step"), NULL)
STEP_ID = an_id("step", later("The step"))
FILMS = ids("films", later("The film"), 1)
GATE = choice("gate", later("The gate"), TRIED)
RING = text("ring", later("The ring [[alarm]]"), 1, 500)
RING_OF_IT = rule("ring_of_this")
UNDONE = an_id("act", later("The tap to undo"))
GUN = text("gun", later("The gun's name"), 1, 60)
COATS_ON = number("coats_on", later("The coats that are on"), 1, 99, NULL)
CUP = thing("cup", later("The cup"), "cup", NULL)
AIR_TEMP_OR_NONE = _air("temp_dc", later("The temperature"), 600, NULL)
AIR_DAMP = measure("rh_pm", later("The humidity"), 0, 1000, 10, "%", NULL)
OVER = ids("over", later("The sheet this was written over"), 0, NULL)

KINDS: dict[str, Kind] = {
    **people.KINDS,
    "panel_added": on(["panel"], [PANEL_NAME, JOB, text("route", later("The route"), 0, 200, MISSING), STEPS, CHOICES]),
    "panel_named": on(["panel"], [PANEL_NAME, JOB, CHOICES]),
    "panel_put_away": on(["panel"], []),
    "panel_brought_back": on(["panel"], []),
    "step_added": on(["panel"], [A_STEP, BEFORE]),
    "step_dropped": on(["panel"], [STEP_ID]),
    "step_moved": on(["panel"], [STEP_ID, BEFORE]),
    "step_done": on(["panel"], [STEP_ID]),
    "sent_back": on(["panel"], [STEPS, AREA, text("why", later("The reason"), 0, 200, MISSING), BEFORE]),
    "film_laid": on(
        ["panel"],
        [
            an_id("film", later("The film")),
            an_id("step", later("The step"), NULL),
            an_id("product", later("The product")),
            number("coat", later("The coat"), 1, 99),
            COATS_ON,
            AREA,
            A_SHEET,
            CUP,
        ],
    ),
    "found_ready": on(["panel"], [FILMS, GATE]),
    "found_not_ready": on(
        ["panel"],
        [
            FILMS,
            GATE,
            moment(
                "ask_at",
                later("The time to ask again"),
                0,
                ASK_MS,
                later("The time to ask again must be within a month. Nothing was saved."),
            ),
        ],
    ),
    "air_read": on(
        ["air"],
        [
            _air("temp_dc", later("The temperature"), 600),
            AIR_DAMP,
        ],
    ),
    "air_expected": on(
        ["air"],
        [
            _air("temp_dc", later("The temperature"), 600),
            moment(
                "for_ms",
                later("The time it is expected for"),
                1,
                EXPECT_MS,
                later("A temperature can be expected for the next seven days. Nothing was saved."),
            ),
        ],
    ),
    "both_laid": on(["panel"], [ids("films", later("The coat"), 1)]),
    "surface_read": on(
        ["panel"],
        [
            _air("temp_dc", later("The panel's temperature"), 1500),
            moment(
                "until_ms",
                later("The end of the lamp"),
                1,
                EXPECT_MS,
                later("A lamp or a bake ends within seven days. Nothing was saved."),
                NULL,
            ),
            measure("warm_ms", later("The time to warm up"), 0, DAY_MS, 60_000, "min", NULL),
            measure("cool_ms", later("The time to cool down"), 0, DAY_MS, 60_000, "min", NULL),
        ],
    ),
    "surface_ended": on(["panel"], []),
    "cup_mixed": on(
        ["cup"],
        [
            an_id("product", later("The product")),
            A_SHEET,
            choice("by", later("The way of measuring"), BY),
            _poured("volume", 1, "ml"),
            _poured("weight", 10, "g"),
            each(
                "names",
                text("", later("The part's name"), 1, 60),
                ["amounts"],
                later("Each part of the mix needs a name. Nothing was saved."),
            ),
            many(
                "for",
                thing("", later("A panel the cup is meant for"), "panel"),
                0,
                50,
                later("A cup may be meant for 50 panels. Nothing was saved."),
                MISSING,
            ),
        ],
    ),
    "cup_used": on(["cup"], [thing("panel", later("The panel"), "panel"), an_id("film", later("The film"), NULL)]),
    "cup_emptied": on(["cup"], [number("left", later("What is left in the cup"), 0, MOST_POURED)]),
    "ring_silenced": on(["panel", "cup"], [RING, RING_OF_IT]),
    "ring_snoozed": on(
        ["panel", "cup"],
        [
            RING,
            RING_OF_IT,
            moment(
                "until_ms",
                later("The time to ring again"),
                1,
                SNOOZE_MS,
                later("A ring may be put off for a day at the most. Nothing was saved."),
            ),
        ],
    ),
    "gun_set": on(
        ["product"],
        [
            GUN,
            measure("pressure_kpa", later("The pressure at the gun"), 10, 1000, 1, "kPa", NULL),
            measure("tip_um", later("The tip [[of a gun]]"), 300, 4000, 1000, "mm", NULL),
            measure(
                "turns_tenths", later("The turns of the fluid knob"), 0, 100, 10, later("turns [[of a knob]]"), NULL
            ),
            measure("distance_mm", later("The distance to the panel"), 30, 600, 1, "mm", NULL),
            text("fan", later("The fan [[of a gun]]"), 0, 60, NULL),
        ],
    ),
    "gun_dropped": on(["product"], [GUN]),
    "sheet_written": on(["product"], [A_PRODUCT, OVER]),
    "sheet_put_away": on(["product"], []),
    "sheet_brought_back": on(["product"], []),
    "route_written": on(["route"], [A_ROUTE, OVER]),
    "route_put_away": on(["route"], []),
    "route_brought_back": on(["route"], []),
    "act_corrected": on(
        ["panel", "cup", "air"],
        [
            an_id("act", later("The tap to correct")),
            choice("of", later("The kind of the tap to correct"), tuple(GROUPS)),
            moment(
                "at_ms",
                later("The time it was"),
                -CORRECT_MS,
                0,
                later("It was within the last 30 days, and not later than now. Nothing was saved."),
                NULL,
            ),
            an_id("product", later("The product"), NULL),
            box("sheet", SHEET, later("The product's sheet is missing. Nothing was saved."), NULL),
            number("coat", later("The coat"), 1, 99, NULL),
            COATS_ON,
            CUP,
            number("left", later("What is left in the cup"), 0, MOST_POURED, NULL),
            AIR_TEMP_OR_NONE,
            AIR_DAMP,
            rule("corrects_something"),
        ],
    ),
    "undone": on([], [UNDONE]),
    "restored": on([], [UNDONE]),
}
