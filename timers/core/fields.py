"""What each kind of act must hold beyond its id, its moment and what it is about.  Twin: static/js/core/fields.js"""

import re

from . import people
from .check import Refused, ids, missing, number, one_of, text, whole_number
from .doc import check_doc, check_sheet, check_steps
from .tongue import later, t

ASK_MS = 30 * 86_400_000  # a film is asked about again within a month
SNOOZE_MS = 86_400_000  # a ring is put off for a day at the most
EXPECT_MS = 7 * 86_400_000  # nobody knows the garage's air further ahead
MOST_POURED = 1_000_000  # a thousand litres in ml, a hundred kg in tenths of a gram
PANEL = re.compile(r"^panel:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}\Z")
CUP = re.compile(r"^cup:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}\Z")
GUN_SPANS = {
    "pressure_kpa": (later("The pressure at the gun"), 10, 1000, 1, "kPa"),
    "tip_um": (later("The tip [[of a gun]]"), 300, 4000, 1000, "mm"),
    "turns_tenths": (later("The turns of the fluid knob"), 0, 100, 10, later("turns [[of a knob]]")),
    "distance_mm": (later("The distance to the panel"), 30, 600, 1, "mm"),
}


def expected(kind: str) -> tuple | None:
    """Where an act of a kind may be made and what checks its fields: (things, check); None for a kind not known.

    No things means any.
    """
    return _FIELDS.get(kind)


def _panel_added(act: dict) -> None:
    _panel_named(act)
    text(later("The route"), act.get("route", ""), 0, 200)
    check_steps(act.get("steps"))


def _panel_named(act: dict) -> None:
    text(later("The panel's name"), act.get("name"), 1, 200)
    text(later("The job"), act.get("job", ""), 0, 200)


def _step_added(act: dict) -> None:
    check_steps([act.get("step")])
    _before(act)


def _step_named(act: dict) -> None:
    ids(later("The step"), [act.get("step")])


def _step_moved(act: dict) -> None:
    _step_named(act)
    _before(act)


def _sent_back(act: dict) -> None:
    check_steps(act.get("steps"))
    text(later("The area"), act.get("area", ""), 0, 200)
    text(later("The reason"), act.get("why", ""), 0, 200)
    _before(act)


def _before(act: dict) -> None:
    if act.get("before") is not None:
        ids(later("The place of the step"), [act["before"]])


def _film_laid(act: dict) -> None:
    ids(later("The film"), [act.get("film")])
    if act.get("step") is not None:
        ids(later("The step"), [act["step"]])
    ids(later("The product"), [act.get("product")])
    number(later("The coat"), act.get("coat"), 1, 99)
    text(later("The area"), act.get("area", ""), 0, 200)
    check_sheet(act.get("sheet"))
    if act.get("cup") is not None:
        _thing(later("The cup"), act["cup"], CUP)


def _thing(what: str, value: object, shape: re.Pattern) -> None:
    if not isinstance(value, str) or not shape.match(value):
        raise missing(what)


def _cup_mixed(act: dict) -> None:
    ids(later("The product"), [act.get("product")])
    check_sheet(act.get("sheet"))
    one_of(later("The way of measuring"), act.get("by"), ("volume", "weight"))
    amounts, names, panels = act.get("amounts"), act.get("names"), act.get("for", [])
    if not isinstance(amounts, list) or not 1 <= len(amounts) <= 12:
        raise Refused(t("A cup holds 1 to 12 parts. Nothing was saved."))
    for much in amounts:
        _poured(later("A part of the mix"), much, act["by"])
    if sum(amounts) == 0:
        raise Refused(t("Nothing was poured into the cup. Nothing was saved."))
    if not isinstance(names, list) or len(names) != len(amounts):
        raise Refused(t("Each part of the mix needs a name. Nothing was saved."))
    for name in names:
        text(later("The part's name"), name, 1, 60)
    if not isinstance(panels, list) or len(panels) > 50:
        raise Refused(t("A cup may be meant for 50 panels. Nothing was saved."))
    for panel in panels:
        _thing(later("A panel the cup is meant for"), panel, PANEL)


def _poured(what: str, much: object, by: str) -> None:
    number(what, much, 0, MOST_POURED, *((10, "g") if by == "weight" else (1, "ml")))


def _cup_used(act: dict) -> None:
    _thing(later("The panel"), act.get("panel"), PANEL)
    if act.get("film") is not None:
        ids(later("The film"), [act["film"]])


def _cup_emptied(act: dict) -> None:
    number(later("What is left in the cup"), act.get("left"), 0, MOST_POURED)


def _found(act: dict) -> None:
    ids(later("The film"), act.get("films"))
    one_of(later("The gate"), act.get("gate"), ("flash", "sand", "handle", "cure"))
    if act["kind"] == "found_not_ready":
        whole_number(later("The time to ask again"), act.get("ask_at"))
        if not act["at"] <= act["ask_at"] <= act["at"] + ASK_MS:
            raise Refused(t("The time to ask again must be within a month. Nothing was saved."))


def _both(act: dict) -> None:
    ids(later("The coat"), act.get("films"))


def _target(act: dict) -> None:
    ids(later("The tap to undo"), [act.get("act")])


def _air_read(act: dict) -> None:
    number(later("The temperature"), act.get("temp_dc"), -400, 600, 10, "°C")
    if act.get("rh_pm") is not None:
        number(later("The humidity"), act["rh_pm"], 0, 1000, 10, "%")


def _air_expected(act: dict) -> None:
    number(later("The temperature"), act.get("temp_dc"), -400, 600, 10, "°C")
    whole_number(later("The time it is expected for"), act.get("for_ms"))
    if not act["at"] < act["for_ms"] <= act["at"] + EXPECT_MS:
        raise Refused(t("A temperature can be expected for the next seven days. Nothing was saved."))


def _surface_read(act: dict) -> None:
    number(later("The panel's temperature"), act.get("temp_dc"), -400, 1500, 10, "°C")
    if act.get("until_ms") is not None:
        whole_number(later("The end of the lamp"), act["until_ms"])
        if not act["at"] < act["until_ms"] <= act["at"] + EXPECT_MS:
            raise Refused(t("A lamp or a bake ends within seven days. Nothing was saved."))


def _ring_silenced(act: dict) -> None:
    text(later("The ring [[alarm]]"), act.get("ring"), 1, 500)
    if not act["ring"].startswith(f"{act['on']} "):
        raise Refused(t("This ring is of something else. Nothing was saved."))


def _ring_snoozed(act: dict) -> None:
    _ring_silenced(act)
    whole_number(later("The time to ring again"), act.get("until_ms"))
    if not act["at"] < act["until_ms"] <= act["at"] + SNOOZE_MS:
        raise Refused(t("A ring may be put off for a day at the most. Nothing was saved."))


def _doc(act: dict) -> None:
    check_doc(act["kind"], act.get("doc"))
    if act.get("over") is not None and act["over"] != []:
        ids(later("The sheet this was written over"), act["over"])


def _gun_set(act: dict) -> None:
    _gun_named(act)
    for key, (what, *span) in GUN_SPANS.items():
        if act.get(key) is not None:
            number(what, act[key], *span)
    if act.get("fan") is not None:
        text(later("The fan [[of a gun]]"), act["fan"], 0, 60)


def _gun_named(act: dict) -> None:
    text(later("The gun's name"), act.get("gun"), 1, 60)


def _nothing(act: dict) -> None:
    """Nothing beyond what every act holds."""


_FIELDS = {
    "panel_added": (("panel",), _panel_added),
    "panel_named": (("panel",), _panel_named),
    "panel_put_away": (("panel",), _nothing),
    "panel_brought_back": (("panel",), _nothing),
    "step_added": (("panel",), _step_added),
    "step_dropped": (("panel",), _step_named),
    "step_moved": (("panel",), _step_moved),
    "step_done": (("panel",), _step_named),
    "sent_back": (("panel",), _sent_back),
    "film_laid": (("panel",), _film_laid),
    "found_ready": (("panel",), _found),
    "found_not_ready": (("panel",), _found),
    "air_read": (("air",), _air_read),
    "air_expected": (("air",), _air_expected),
    "both_laid": (("panel",), _both),
    "surface_read": (("panel",), _surface_read),
    "surface_ended": (("panel",), _nothing),
    "cup_mixed": (("cup",), _cup_mixed),
    "cup_used": (("cup",), _cup_used),
    "cup_emptied": (("cup",), _cup_emptied),
    "ring_silenced": (("panel", "cup"), _ring_silenced),
    "ring_snoozed": (("panel", "cup"), _ring_snoozed),
    "panel_taken": (("panel",), people.panel_taken),
    "panel_handed": (("panel",), people.panel_handed),
    "panel_let_go": (("panel",), _nothing),
    "units_chosen": (("shop",), people.units_chosen),
    "shop_named": (("shop",), people.shop_named),
    "phone_named": (("shop",), people.phone_named),
    "trial_told": (("shop",), people.trial_told),
    "gun_set": (("product",), _gun_set),
    "gun_dropped": (("product",), _gun_named),
    "sheet_written": (("product",), _doc),
    "sheet_put_away": (("product",), _nothing),
    "sheet_brought_back": (("product",), _nothing),
    "route_written": (("route",), _doc),
    "route_put_away": (("route",), _nothing),
    "route_brought_back": (("route",), _nothing),
    "undone": ((), _target),
    "restored": ((), _target),
}
