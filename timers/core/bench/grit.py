"""Grits: how coarse, how big a step, and whether a panel's sanding is a ladder.  Twin: static/js/core/bench/grit.js

Grades are the FEPA P series.  Another grade is not guessed at: it is refused with its neighbours named.
"""

from itertools import pairwise
from typing import TypedDict

from ..base.check import Refused, number
from ..base.translate import decimal, later, t

# Median grain in tenths of a um, P series of FEPA, as in ISO 6344: whole um seen in public tables, tenths from memory.
P_UM10 = {
    36: 5380,
    40: 4250,
    50: 3360,
    60: 2690,
    80: 2010,
    100: 1620,
    120: 1250,
    150: 1000,
    180: 820,
    220: 680,
    240: 585,
    280: 522,
    320: 462,
    360: 405,
    400: 350,
    500: 302,
    600: 258,
    800: 218,
    1000: 183,
    1200: 153,
    1500: 126,
    2000: 103,
    2500: 84,
}
CAMI_IS_ABOUT_P = {320: 400, 400: 800, 600: 1200}  # papers without a P: the same number is a finer paper
BIG_PM = 1800  # common practice, no source: 180, 320, 600 is a normal ladder (1.77, 1.79), 80 to 180 (2.45) is not


class Step(TypedDict):
    """How big a step between two grits is: the ratio of the grains, whether the step is a good one, and why."""

    ratio_pm: int
    ok: bool
    words: str


class Rung(TypedDict):
    """A step of a panel's ladder; without a ratio and a verdict where a grit is not of the series."""

    from_p: int
    to_p: int
    ratio_pm: int | None
    ok: bool | None
    words: str


def step(from_p: int, to_p: int) -> Step:
    """How big a step between two grits is.

    Rule     ratio of the grains; above 1.8 the old scratches stay, and the grits to put between are named;
             below 1 the paper puts back scratches deeper than those before it
    Unit     P grades in, per mille out, to the nearest
    Holds    P36 to P2500; refuses a grade that is not of the series
    Source   FEPA P series, ISO 6344 (grains); common practice, no source (1.8)
    Vectors  tests/vectors/grit.json
    """
    coarse, fine = _um10(from_p), _um10(to_p)
    ratio_pm = (2000 * coarse + fine) // (2 * fine)
    if from_p == to_p:
        return {"ratio_pm": ratio_pm, "ok": True, "words": t("P{grit} again.", grit=to_p)}
    if coarse < fine:
        words = t("P{fine} is coarser than P{coarse}: it puts back deeper scratches.", fine=to_p, coarse=from_p)
        return {"ratio_pm": ratio_pm, "ok": False, "words": words}
    figures = {"from": from_p, "to": to_p, "times": decimal(_ratio(coarse, fine))}
    if coarse * 1000 <= fine * BIG_PM:
        words = t("P{from} to P{to}: a good step, {times} times finer.", **figures)
        return {"ratio_pm": ratio_pm, "ok": True, "words": words}
    words = t(
        "P{from} to P{to} is a big step, {times} times finer: P{from} scratches may show through. "
        "Put {between} between.",
        **figures,
        between=_listed(between(from_p, to_p)),
    )
    return {"ratio_pm": ratio_pm, "ok": False, "words": words}


def between(from_p: int, to_p: int) -> list[int]:
    """The fewest grits that turn a big step into steps of at most 1.8, each the finest that can follow."""
    rungs: list[int] = []
    last = _um10(from_p)
    while last * 1000 > _um10(to_p) * BIG_PM:
        rungs.append(max(grade for grade, um10 in P_UM10.items() if last * 1000 <= um10 * BIG_PM))
        last = P_UM10[rungs[-1]]
    return rungs


def ladder(grits: list[int]) -> list[Rung]:
    """The steps between a panel's grits in the order they are sanded.

    Rule     each grit against the one before it; 0 is a film laid between, after which a new ladder begins
    Unit     P grades
    Holds    up to 100 grits; of a grade that is not of the series "ok" is None and the words say so
    Source   as step
    Vectors  tests/vectors/grit.json
    """
    if not isinstance(grits, list) or len(grits) > 100:
        raise Refused(t("A panel may have 100 steps. Nothing was saved."))
    for grit in grits:
        number(later("The grit"), grit, 0, 10_000)
    return [_rung(one, other) for one, other in pairwise(grits) if one and other]


def about_p(cami: int) -> int:
    """The P grade nearest to a paper without a P, of the grades where the two part: 320, 400, 600."""
    if isinstance(cami, bool) or not isinstance(cami, int) or cami not in CAMI_IS_ABOUT_P:
        known = ", ".join(str(one) for one in CAMI_IS_ABOUT_P)
        raise Refused(t("Of papers without a P only {known} are known here. Nothing was saved.", known=known))
    return CAMI_IS_ABOUT_P[cami]


def _rung(from_p: int, to_p: int) -> Rung:
    odd = next((grade for grade in (from_p, to_p) if grade not in P_UM10), None)
    if odd is None:
        return {"from_p": from_p, "to_p": to_p, **step(from_p, to_p)}
    words = t("P{grit} is not a grade of the P series; the nearest known here: {near}.", grit=odd, near=_near(odd))
    return {"from_p": from_p, "to_p": to_p, "ratio_pm": None, "ok": None, "words": words}


def _um10(grade: int) -> int:
    number(later("The grit"), grade, 1, 10_000)
    if grade not in P_UM10:
        raise Refused(
            t(
                "P{grit} is not a grade of the P series; the nearest known here: {near}. Nothing was saved.",
                grit=grade,
                near=_near(grade),
            )
        )
    return P_UM10[grade]


def _near(grade: int) -> str:
    """The grades next to one that is not of the series, in words."""
    coarser = max((one for one in P_UM10 if one < grade), default=None)
    finer = min((one for one in P_UM10 if one > grade), default=None)
    return _listed([one for one in (coarser, finer) if one is not None])


def _listed(grades: list[int]) -> str:
    """Grades in words: "P120", "P120 and P180", "P50, P80 and P120"."""
    names = [f"P{grade}" for grade in grades]
    more, last = names[:-1], names[-1]
    return t("{more} and {last} [[grits]]", more=", ".join(more), last=last) if more else last


def _ratio(coarse: int, fine: int) -> str:
    """A ratio to two places: 1.77."""
    hundredths = (200 * coarse + fine) // (2 * fine)
    return f"{hundredths // 100}.{hundredths % 100:02d}"
