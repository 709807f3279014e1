"""Kinds of acts of people: a name, a trial told, a panel taken; and a shop's units: data, no code."""

import re

from ..base.translate import later
from ..base.units import DAY_MS
from ..fold.shop_state import UNITS
from .schema import MISSING, NULL, Field, Kind, box, choice, many, number, on, phone, text, yes_no

PHONE = re.compile(r"^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}\Z")
WAYS = ("sound", "shake", "voice", "notify", "track")  # that a trial can ring by
HEARD = ("yes", "late", "no")  # late: only when the phone was looked at
LATE_MS = DAY_MS  # what rang a day late did not ring


def _units() -> Field:
    """At least one unit, of nothing that is not measured here."""
    chosen = [choice(what, later("The unit"), UNITS[what], MISSING) for what in UNITS]
    row = box("units", chosen, later("No unit was chosen. Nothing was saved."))
    row["least"] = 1
    row["what"] = later("What is measured")
    row["choices"] = tuple(UNITS)
    return row


_THE_PHONE = phone("phone", later("The phone is missing. Nothing was saved."))
KINDS: dict[str, Kind] = {
    "panel_taken": on(["panel"], [phone("by", later("Who takes the panel is missing. Nothing was saved."))]),
    "panel_handed": on(
        ["panel"],
        [
            phone("to", later("Who gets the panel is missing. Nothing was saved.")),
            text("note", later("The note"), 0, 200, MISSING),
        ],
    ),
    "panel_let_go": on(["panel"], []),
    "units_chosen": on(["shop"], [_units()]),
    "shop_named": on(["shop"], [text("name", later("The shop's name"), 1, 60)]),
    "phone_named": on(
        ["shop"],
        [
            _THE_PHONE,
            text("name", later("The phone's name"), 0, 60, MISSING),
            text("person", later("The person's name"), 0, 60, MISSING),
        ],
    ),
    "trial_told": on(
        ["shop"],
        [
            _THE_PHONE,
            many(
                "ways",
                choice("", later("A way of the trial"), WAYS),
                0,
                len(WAYS),
                later("The ways of the trial are missing. Nothing was saved."),
            ),
            yes_no("locked", later("The trial does not say whether the phone was locked. Nothing was saved.")),
            choice("heard", later("What was heard of the trial"), HEARD),
            number("late_ms", later("How late the trial rang"), 0, LATE_MS, NULL),
        ],
    ),
}
