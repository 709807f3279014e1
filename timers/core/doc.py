"""What a step, a sheet, a product and a route must hold.  Twin: static/js/core/doc.js"""

from itertools import pairwise

from .check import Refused, ids, number, one_of, text, whole_number
from .figures import SPANS, check_figures
from .tongue import later, t
from .units import DAY_MS

DOES = ("sand", "fill", "clean", "coat", "check")
CLASSES = ("putty", "sprayputty", "epoxy", "etch", "surfacer", "sealer", "base", "waterbase", "clear")
GATES = ("pot", "flash", "sand", "recoat_by", "handle", "cure", "clear_air", "induction")


def check_steps(steps: object) -> None:
    """1 to 100 steps with ids of their own; an empty route is 0 steps."""
    if not isinstance(steps, list) or len(steps) > 100:
        raise Refused(t("A panel may have 100 steps. Nothing was saved."))
    for step in steps:
        _check_step(step)
    if len({step["id"] for step in steps}) < len(steps):
        raise Refused(t("Two steps carry the same number. Nothing was saved."))


def check_sheet(sheet: object) -> None:
    """What a film keeps of its product."""
    if not isinstance(sheet, dict):
        raise Refused(t("The product's sheet is missing. Nothing was saved."))
    text(later("The product's name"), sheet.get("name"), 1, 200)
    text(later("The variant"), sheet.get("variant", ""), 0, 200)
    one_of(later("The product's class"), sheet.get("cls"), CLASSES)
    if not isinstance(sheet.get("typical", False), bool):
        raise Refused(t("Typical times or your own: the sheet must say yes or no. Nothing was saved."))
    _check_limits(sheet)
    _check_gates(sheet.get("gates"))


def check_doc(kind: str, doc: object) -> None:
    """A product or a route, whole."""
    if not isinstance(doc, dict):
        raise Refused(t("Nothing was written. Nothing was saved."))
    text(later("The name"), doc.get("name"), 1, 200)
    if kind == "route_written":
        check_steps(doc.get("steps"))
        return
    check_sheet(doc)
    variants = doc.get("variants", [])
    if not isinstance(variants, list) or len(variants) > 12:
        raise Refused(t("A product may have 12 variants. Nothing was saved."))
    for variant in variants:
        _check_variant(variant)
    coats = doc.get("coat_gates", [])
    if not isinstance(coats, list) or len(coats) > 8:
        raise Refused(t("A product may have times of their own for 8 numbers of coats. Nothing was saved."))
    for one in coats:
        _check_coat_gates(one)
    check_figures(doc)


def _check_coat_gates(one: object) -> None:
    if not isinstance(one, dict):
        raise Refused(t("The times of a coat are missing. Nothing was saved."))
    number(later("The number of coats"), one.get("coat"), 2, 20)
    _check_gates(one.get("gates"))


def _check_step(step: object) -> None:
    if not isinstance(step, dict):
        raise Refused(t("A step is missing. Nothing was saved."))
    ids(later("The step"), [step.get("id")])
    one_of(later("What a step does"), step.get("do"), DOES)
    text(later("The step's words"), step.get("words"), 1, 200)
    text(later("The step's area"), step.get("area", ""), 0, 200)
    number(later("The number of coats"), step.get("coats", 1), 1, 20)
    number(later("The grit"), step.get("grit", 0), 0, 10_000)
    if step.get("cls", "") != "":
        one_of(later("The step's class of product"), step.get("cls"), CLASSES)


def _check_variant(variant: object) -> None:
    if not isinstance(variant, dict):
        raise Refused(t("A variant is missing. Nothing was saved."))
    ids(later("The variant"), [variant.get("id")])
    text(later("The variant's name"), variant.get("name"), 1, 200)
    band = variant.get("band_dc")
    if band is not None:
        if not isinstance(band, list) or len(band) != 2:
            raise Refused(t("A variant's temperatures are two: from and to. Nothing was saved."))
        for temp in band:
            number(later("A variant's temperature"), temp, -400, 1500, 10, "°C")
    if "gates" in variant:
        _check_gates(variant["gates"])


def _check_limits(sheet: dict) -> None:
    for key, what in (("lowest_dc", later("The lowest temperature")), ("highest_dc", later("The highest temperature"))):
        if sheet.get(key) is not None:
            number(what, sheet[key], -400, 1500, 10, "°C")
    if sheet.get("double_dc") is not None:
        number(later("The doubling step"), sheet["double_dc"], 30, 300, 10, "°C")
    if sheet.get("sheet_rh_pm") is not None:
        number(later("The humidity of the sheet's times"), sheet["sheet_rh_pm"], 0, 950, 10, "%")
    if sheet.get("lead_ms") is not None:
        what, *span = SPANS["lead_ms"]
        number(what, sheet["lead_ms"], *span)
    lowest, highest = sheet.get("lowest_dc"), sheet.get("highest_dc")
    if lowest is not None and highest is not None and lowest >= highest:
        raise Refused(t("The lowest temperature must be below the highest. Nothing was saved."))


def _check_gates(gates: object) -> None:
    if not isinstance(gates, dict):
        raise Refused(t("The sheet has no times. Nothing was saved."))
    for name in gates:
        one_of(later("A time on the sheet"), name, GATES)
    for points in gates.values():
        if not isinstance(points, list) or not 1 <= len(points) <= 12:
            raise Refused(t("A time on the sheet needs 1 to 12 lines. Nothing was saved."))
        _check_points(points)


def _check_time(time: object) -> None:
    """A time on a sheet: ms, a second to a year."""
    whole_number(later("A time on the sheet"), time)
    if not 1_000 <= time <= 365 * DAY_MS:
        raise Refused(t("A time on the sheet must be from one second to 365 days. Nothing was saved."))


def _check_points(points: list) -> None:
    for point in points:
        if not isinstance(point, list) or len(point) != 3:
            raise Refused(t("A line of the sheet is a temperature, a shorter and a longer time. Nothing was saved."))
        number(later("A sheet's temperature"), point[0], -400, 1500, 10, "°C")
        for time in point[1:]:
            _check_time(time)
        if point[1] > point[2]:
            raise Refused(t("The shorter time is longer than the longer one. Nothing was saved."))
    for (colder, short, long), (warmer, shorter, less) in pairwise(points):
        if warmer <= colder:
            raise Refused(t("The sheet's lines must rise in temperature. Nothing was saved."))
        if shorter > short or less > long:
            raise Refused(t("On this sheet warmer is slower. Check the lines. Nothing was saved."))
