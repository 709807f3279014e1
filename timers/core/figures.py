"""Figures of a sheet beside its times: ratio, film, air, what a litre weighs.  Twin: static/js/core/figures.js"""

import re

from .check import Refused, number, one_of, plain, text
from .cure import closing, opening, wait_ms
from .tongue import decimal, later, t

SPANS = {
    "highest_rh_pm": (later("The highest humidity"), 10, 1000, 10, "%"),
    "sheet_rh_pm": (later("The humidity of the sheet's times"), 0, 950, 10, "%"),
    "solids_pm": (later("The solids by volume"), 10, 1000, 10, "%"),
    "film_um": (later("The dry film of a coat"), 1, 3000, 1, "µm"),
    "coats": (later("The number of coats"), 1, 9, 1, ""),
    "before_p": (later("The paper before it [[abrasive]]"), 12, 10_000, 1, ""),
    "after_p": (later("The paper after it [[abrasive]]"), 12, 10_000, 1, ""),
    "lead_ms": (later("The warning before the window closes"), 60_000, 86_400_000, 60_000, "min"),
}
EACH = {
    "densities_g_l": (later("The weight of a litre"), 500, 5_000, "g"),
    "vocs_g_l": (later("The solvent in a litre"), 0, 2_000, "g"),
    "waters_g_l": (later("The water in a litre"), 0, 1_000, "g"),
}
PUTTY = ("putty", "sprayputty")
LEAST_PM = 5  # less hardener than half a percent hardens no polyester putty: common practice, no source
MOST_PM = 60  # more than 6 percent is a slip of the finger: common practice, no source
DATE = re.compile(r"^(\d{4}-\d{2}-\d{2})?\Z")


def check_figures(doc: dict) -> None:
    """What a sheet says beside its times; every figure may be missing.

    Rule     each inside what can be; one density, solvent and water for each part of the ratio; a putty's hardener
             between 0.5 and 6 % of it; the window shuts after the next coat may go on, at every line of both
    Unit     tenths of a degree C, per mille, um, g per litre
    Holds    refuses in words what is outside
    Source   own rule, figures are common practice, no source
    Vectors  tests/vectors/figures.json
    """
    for key, (what, *span) in SPANS.items():
        if doc.get(key) is not None:
            number(what, doc[key], *span)
    text(later("The notes"), doc.get("notes", ""), 0, 2000)
    text(later("The date of the sheet"), doc.get("sheet_date", ""), 0, 10)
    if not DATE.match(doc.get("sheet_date", "")):
        raise Refused(t("The date of the sheet is written like 2026-01-31. Nothing was saved."))
    parts = _check_ratio(doc) if doc.get("ratio") is not None else 1
    for key, (what, least, most, unit) in EACH.items():
        if doc.get(key) is not None:
            _check_each(what, doc[key], parts, (least, most, 1, unit))
    _check_hardener(doc)
    _check_window(doc.get("gates", {}))


def _check_ratio(doc: dict) -> int:
    """The number of parts."""
    ratio = doc["ratio"]
    if not isinstance(ratio, dict):
        raise Refused(t("The ratio is missing. Nothing was saved."))
    one_of(later("How the ratio is measured"), ratio.get("by"), ("volume", "weight"))
    parts = ratio.get("parts")
    if not isinstance(parts, list) or not 1 <= len(parts) <= 4:
        raise Refused(t("A ratio has 1 to {most} parts. Nothing was saved.", most=4))
    for part in parts:
        number(later("A part of the ratio"), part, 1, 100_000)
    if ratio.get("names") is not None:
        if not isinstance(ratio["names"], list) or len(ratio["names"]) != len(parts):
            raise Refused(t("Every part of the ratio needs a name, or none. Nothing was saved."))
        for name in ratio["names"]:
            text(later("The name of a part"), name, 1, 60)
    return len(parts)


def _check_each(what: str, values: object, parts: int, span: tuple) -> None:
    if not isinstance(values, list) or len(values) != parts:
        raise Refused(t("{what} is needed for each part of the ratio. Nothing was saved.", what=t(what)))
    for value in values:
        number(what, value, *span)


def _check_hardener(doc: dict) -> None:
    span = doc.get("hardener_span_pm")
    if span is not None:
        if not isinstance(span, list) or len(span) != 2:
            raise Refused(t("The hardener is from and to. Nothing was saved."))
        for share in span:
            number(later("The hardener"), share, 1, 1000, 10, "%")
        if span[0] > span[1]:
            raise Refused(t("The least hardener is more than the most. Nothing was saved."))
    if doc.get("ribbon") is not None:
        ribbon = doc["ribbon"]
        if not isinstance(ribbon, dict):
            raise Refused(t("The ribbon is missing. Nothing was saved."))
        number(later("The length of the ribbon"), ribbon.get("mm"), 1, 3000, 1, "mm")
        number(later("The disc of putty"), ribbon.get("disc_mm"), 10, 1000, 1, "mm")
    ratio = doc.get("ratio") or {}
    if doc["cls"] in PUTTY and ratio.get("by") == "weight" and len(ratio["parts"]) == 2:
        putty, hardener = ratio["parts"]
        least, most = span or [LEAST_PM, MOST_PM]
        if not least * putty <= 1000 * hardener <= most * putty:
            told = {"least": _pct(least), "most": _pct(most), "typed": _pct(1000 * hardener // putty)}
            raise Refused(
                t(
                    "Hardener must be from {least} to {most} % of the putty (you typed {typed}). Nothing was saved.",
                    **told,
                )
            )


def _pct(share_pm: int) -> str:
    return decimal(plain(share_pm, 10))


def _check_window(gates: dict) -> None:
    """The last moment to recoat comes after the next coat may go on, at every temperature that either line names."""
    if "flash" not in gates or "recoat_by" not in gates:
        return
    sheet = {"gates": gates}
    opens, closes = opening(sheet, "flash"), closing(sheet, "recoat_by")
    for temp in sorted({point[0] for gate in ("flash", "recoat_by") for point in gates[gate]}):
        if wait_ms(closes, temp) <= wait_ms(opens, temp):
            raise Refused(
                t(
                    "At {temp} °C the window closes before it opens: check the next coat and the last moment. "
                    "Nothing was saved.",
                    temp=decimal(plain(temp, 10)),
                )
            )
