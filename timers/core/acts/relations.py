"""What fields must be to each other: the rules that the rows of schema.py name.  Twin: static/js/core/acts/relations.js

Each takes what it is about when every field of it was checked by itself, and raises `Refused` in words.
"""

from collections.abc import Callable
from itertools import pairwise
from typing import NotRequired, TypedDict, cast

from ..base.check import Refused, plain
from ..base.corrections import GROUPS
from ..base.shapes import Act, Gates, GateSide, Point, Ratio, Sheet, Variant
from ..base.step_shapes import GivenStep
from ..base.translate import decimal, t
from ..clock.clock_step import ALWAYS_SANDED
from ..clock.cure import closing, opening, wait_ms

PUTTY = ("putty", "sprayputty")
LEAST_PM = 5  # less hardener than half a percent hardens no polyester putty: common practice, no source
MOST_PM = 60  # more than 6 percent is a slip of the finger: common practice, no source


class Figures(TypedDict):
    """What two of the rules look at in a product; a form asks about some of it alone."""

    cls: str
    gates: NotRequired[Gates]
    ratio: NotRequired[Ratio | None]
    variants: NotRequired[list[Variant]]
    hardener_span_pm: NotRequired[list[int] | None]


def _shorter_first(value: object) -> None:
    """Of a line [temperature, shorter, longer]."""
    line = cast(Point, value)
    if line[1] > line[2]:
        raise Refused(t("The shorter time is longer than the longer one. Nothing was saved."))


def _warmer_is_faster(value: object) -> None:
    """Of the lines of one time."""
    for (colder, short, long), (warmer, shorter, less) in pairwise(cast(list[Point], value)):
        if warmer <= colder:
            raise Refused(t("The sheet's lines must rise in temperature. Nothing was saved."))
        if shorter > short or less > long:
            raise Refused(t("On this sheet warmer is slower. Check the lines. Nothing was saved."))


def _lowest_below_highest(value: object) -> None:
    """Of a sheet or a variant: to apply at, and to cure at."""
    sheet = cast(Sheet, value)
    to_apply, to_cure = (
        (sheet.get("lowest_dc"), sheet.get("highest_dc")),
        (sheet.get("cure_lowest_dc"), sheet.get("cure_highest_dc")),
    )
    for lowest, highest in (to_apply, to_cure):
        if lowest is not None and highest is not None and lowest >= highest:
            raise Refused(t("The lowest temperature must be below the highest. Nothing was saved."))


def _least_first(value: object) -> None:
    """Of the hardener's span."""
    span = cast(list[int], value)
    if span[0] > span[1]:
        raise Refused(t("The least hardener is more than the most. Nothing was saved."))


def _different_ids(value: object) -> None:
    """Of the steps of a route."""
    steps = cast(list[GivenStep], value)
    if len({step["id"] for step in steps}) < len(steps):
        raise Refused(t("Two steps carry the same number. Nothing was saved."))


def _something_poured(value: object) -> None:
    """Of the amounts in a cup."""
    if sum(cast(list[int], value)) == 0:
        raise Refused(t("Nothing was poured into the cup. Nothing was saved."))


def _ring_of_this(value: object) -> None:
    """Of an act: the ring it names is one of the thing it is made on."""
    act = cast(Act, value)
    if not act["ring"].startswith(f"{act['on']} "):
        raise Refused(t("This ring is of something else. Nothing was saved."))


def _corrects_something(value: object) -> None:
    """Of a correction: it says when it was, or all of a group of fields of the act that it corrects."""
    act = cast(dict[str, object], value)
    said = [group for group in GROUPS[cast(str, act["of"])] if act.get(group[0]) is not None]
    if not said and act.get("at_ms") is None:
        raise Refused(t("This correction changes nothing. Nothing was saved."))
    asked = ["product", "coat"] if act["of"] == "film_laid" else ["product"]
    if act.get("sheet") is not None and any(act.get(key) is None for key in asked):
        raise Refused(t("A correction with a sheet says its product too, and which coat it is. Nothing was saved."))


def _hardener_of_a_putty(value: object) -> None:
    """Of a product and each of its variants: a putty's hardener by weight is inside the sheet's span, or what can
    harden at all."""
    doc = cast(Figures, value)
    least, most = doc.get("hardener_span_pm") or [LEAST_PM, MOST_PM]
    for ratio in [doc.get("ratio"), *(one.get("ratio") for one in doc.get("variants") or [])]:
        if ratio is not None and doc["cls"] in PUTTY and ratio["by"] == "weight" and len(ratio["parts"]) == 2:
            _hardener_inside(ratio, least, most)


def _hardener_inside(ratio: Ratio, least: int, most: int) -> None:
    putty, hardener = ratio["parts"]
    if not least * putty <= 1000 * hardener <= most * putty:
        values = {"least": _percent(least), "most": _percent(most), "typed": _percent(1000 * hardener // putty)}
        raise Refused(
            t(
                "Hardener must be from {least} to {most} % of the putty (you typed {typed}). Nothing was saved.",
                **values,
            )
        )


def _percent(share_pm: int) -> str:
    return decimal(plain(share_pm, 10))


def _window_opens_first(value: object) -> None:
    """Of a product: the last moment to recoat comes after the next coat may go on, at every temperature that either
    line names."""
    doc = cast(Figures, value)
    gates = doc.get("gates", {})
    if "recoat_again" in gates and "recoat_by" not in gates:
        raise Refused(t("The window opens again but never closes: give the last moment too. Nothing was saved."))
    if doc["cls"] in ALWAYS_SANDED or "flash" not in gates or "recoat_by" not in gates:
        return
    sheet: Sheet = {"name": "", "cls": "", "gates": gates}
    opens, closes = opening(sheet, "flash"), closing(sheet, "recoat_by")
    for temp_dc in sorted({point[0] for point in [*gates["flash"], *gates["recoat_by"]]}):
        if wait_ms(closes, temp_dc) <= wait_ms(opens, temp_dc):
            raise Refused(
                t(
                    "At {temp} °C the window closes before it opens: check the next coat and the last moment. "
                    "Nothing was saved.",
                    temp=decimal(plain(temp_dc, 10)),
                )
            )
    _opens_again_last(sheet, closes)


def _opens_again_last(sheet: Sheet, closes: GateSide) -> None:
    """A window that opens again does so after it has shut."""
    if "recoat_again" not in sheet["gates"]:
        return
    again = opening(sheet, "recoat_again")
    temps = {temp_dc for temp_dc, _ in [*again["points"], *closes["points"]]}
    if any(wait_ms(again, temp_dc) <= wait_ms(closes, temp_dc) for temp_dc in temps):
        raise Refused(t("The window opens again before it has closed: check both moments. Nothing was saved."))


RULES: dict[str, Callable[[object], None]] = {
    "shorter_first": _shorter_first,
    "warmer_is_faster": _warmer_is_faster,
    "lowest_below_highest": _lowest_below_highest,
    "least_first": _least_first,
    "different_ids": _different_ids,
    "something_poured": _something_poured,
    "ring_of_this": _ring_of_this,
    "corrects_something": _corrects_something,
    "hardener_of_a_putty": _hardener_of_a_putty,
    "window_opens_first": _window_opens_first,
}
