"""Every kind of act: the things it may be made on, and its fields with their limits: data, no code."""

from . import people, schema
from .schema import MISSING, MUST, NULL, Field, Kind
from .sheets import A_PRODUCT, A_ROUTE, A_SHEET, A_STEP, BY, STEPS
from .tongue import later
from .units import DAY_MS

ASK_MS = 30 * DAY_MS  # a film is asked about again within a month
SNOOZE_MS = DAY_MS  # a ring is put off for a day at the most
EXPECT_MS = 7 * DAY_MS  # nobody knows the garage's air further ahead
MOST_POURED = 1_000_000  # a thousand litres in ml, a hundred kg in tenths of a gram
TRIED = ("flash", "sand", "handle", "cure")  # the gates that a finger can try


def _air(key: str, what: str, hottest_dc: int) -> Field:
    return schema.measure(key, what, -400, hottest_dc, 10, "°C", MUST)


def _poured(by: str, scale: int, unit: str) -> Field:
    row = schema.also(
        schema.many(
            "amounts",
            schema.measure("", later("A part of the mix"), 0, MOST_POURED, scale, unit, MUST),
            1,
            12,
            later("A cup holds 1 to 12 parts. Nothing was saved."),
            MUST,
        ),
        "something_poured",
    )
    row["when"] = ["by", by]
    return row


PANEL_NAME = schema.text("name", later("The panel's name"), 1, 200, MUST)
JOB = schema.text("job", later("The job"), 0, 200, MISSING)
AREA = schema.text("area", later("The area"), 0, 200, MISSING)
BEFORE = schema.an_id("before", later("The place of the step"), NULL)
STEP_ID = schema.an_id("step", later("The step"), MUST)
FILMS = schema.ids("films", later("The film"), 1, MUST)
GATE = schema.choice("gate", later("The gate"), TRIED, MUST)
RING = schema.text("ring", later("The ring [[alarm]]"), 1, 500, MUST)
RING_OF_IT = schema.rule("ring_of_this")
UNDONE = schema.an_id("act", later("The tap to undo"), MUST)
GUN = schema.text("gun", later("The gun's name"), 1, 60, MUST)
OVER = schema.ids("over", later("The sheet this was written over"), 0, NULL)

KINDS: dict[str, Kind] = {
    **people.KINDS,
    "panel_added": {
        "on": ["panel"],
        "fields": [PANEL_NAME, JOB, schema.text("route", later("The route"), 0, 200, MISSING), STEPS],
    },
    "panel_named": {"on": ["panel"], "fields": [PANEL_NAME, JOB]},
    "panel_put_away": {"on": ["panel"], "fields": []},
    "panel_brought_back": {"on": ["panel"], "fields": []},
    "step_added": {"on": ["panel"], "fields": [A_STEP, BEFORE]},
    "step_dropped": {"on": ["panel"], "fields": [STEP_ID]},
    "step_moved": {"on": ["panel"], "fields": [STEP_ID, BEFORE]},
    "step_done": {"on": ["panel"], "fields": [STEP_ID]},
    "sent_back": {
        "on": ["panel"],
        "fields": [STEPS, AREA, schema.text("why", later("The reason"), 0, 200, MISSING), BEFORE],
    },
    "film_laid": {
        "on": ["panel"],
        "fields": [
            schema.an_id("film", later("The film"), MUST),
            schema.an_id("step", later("The step"), NULL),
            schema.an_id("product", later("The product"), MUST),
            schema.number("coat", later("The coat"), 1, 99, MUST),
            AREA,
            A_SHEET,
            schema.thing("cup", later("The cup"), "cup", NULL),
        ],
    },
    "found_ready": {"on": ["panel"], "fields": [FILMS, GATE]},
    "found_not_ready": {
        "on": ["panel"],
        "fields": [
            FILMS,
            GATE,
            schema.moment(
                "ask_at",
                later("The time to ask again"),
                0,
                ASK_MS,
                later("The time to ask again must be within a month. Nothing was saved."),
                MUST,
            ),
        ],
    },
    "air_read": {
        "on": ["air"],
        "fields": [
            _air("temp_dc", later("The temperature"), 600),
            schema.measure("rh_pm", later("The humidity"), 0, 1000, 10, "%", NULL),
        ],
    },
    "air_expected": {
        "on": ["air"],
        "fields": [
            _air("temp_dc", later("The temperature"), 600),
            schema.moment(
                "for_ms",
                later("The time it is expected for"),
                1,
                EXPECT_MS,
                later("A temperature can be expected for the next seven days. Nothing was saved."),
                MUST,
            ),
        ],
    },
    "both_laid": {"on": ["panel"], "fields": [schema.ids("films", later("The coat"), 1, MUST)]},
    "surface_read": {
        "on": ["panel"],
        "fields": [
            _air("temp_dc", later("The panel's temperature"), 1500),
            schema.moment(
                "until_ms",
                later("The end of the lamp"),
                1,
                EXPECT_MS,
                later("A lamp or a bake ends within seven days. Nothing was saved."),
                NULL,
            ),
        ],
    },
    "surface_ended": {"on": ["panel"], "fields": []},
    "cup_mixed": {
        "on": ["cup"],
        "fields": [
            schema.an_id("product", later("The product"), MUST),
            A_SHEET,
            schema.choice("by", later("The way of measuring"), BY, MUST),
            _poured("volume", 1, "ml"),
            _poured("weight", 10, "g"),
            schema.each(
                "names",
                schema.text("", later("The part's name"), 1, 60, MUST),
                ["amounts"],
                later("Each part of the mix needs a name. Nothing was saved."),
                MUST,
            ),
            schema.many(
                "for",
                schema.thing("", later("A panel the cup is meant for"), "panel", MUST),
                0,
                50,
                later("A cup may be meant for 50 panels. Nothing was saved."),
                MISSING,
            ),
        ],
    },
    "cup_used": {
        "on": ["cup"],
        "fields": [
            schema.thing("panel", later("The panel"), "panel", MUST),
            schema.an_id("film", later("The film"), NULL),
        ],
    },
    "cup_emptied": {
        "on": ["cup"],
        "fields": [schema.number("left", later("What is left in the cup"), 0, MOST_POURED, MUST)],
    },
    "ring_silenced": {"on": ["panel", "cup"], "fields": [RING, RING_OF_IT]},
    "ring_snoozed": {
        "on": ["panel", "cup"],
        "fields": [
            RING,
            RING_OF_IT,
            schema.moment(
                "until_ms",
                later("The time to ring again"),
                1,
                SNOOZE_MS,
                later("A ring may be put off for a day at the most. Nothing was saved."),
                MUST,
            ),
        ],
    },
    "gun_set": {
        "on": ["product"],
        "fields": [
            GUN,
            schema.measure("pressure_kpa", later("The pressure at the gun"), 10, 1000, 1, "kPa", NULL),
            schema.measure("tip_um", later("The tip [[of a gun]]"), 300, 4000, 1000, "mm", NULL),
            schema.measure(
                "turns_tenths", later("The turns of the fluid knob"), 0, 100, 10, later("turns [[of a knob]]"), NULL
            ),
            schema.measure("distance_mm", later("The distance to the panel"), 30, 600, 1, "mm", NULL),
            schema.text("fan", later("The fan [[of a gun]]"), 0, 60, NULL),
        ],
    },
    "gun_dropped": {"on": ["product"], "fields": [GUN]},
    "sheet_written": {"on": ["product"], "fields": [A_PRODUCT, OVER]},
    "sheet_put_away": {"on": ["product"], "fields": []},
    "sheet_brought_back": {"on": ["product"], "fields": []},
    "route_written": {"on": ["route"], "fields": [A_ROUTE, OVER]},
    "route_put_away": {"on": ["route"], "fields": []},
    "route_brought_back": {"on": ["route"], "fields": []},
    "undone": {"on": [], "fields": [UNDONE]},
    "restored": {"on": [], "fields": [UNDONE]},
}
