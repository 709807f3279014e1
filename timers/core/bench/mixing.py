"""What goes into the cup: parts, marks, grams, hardener.  Twin: static/js/core/bench/mixing.js

Parts are whole numbers in the order they are poured: [4, 1, 1], [100, 2], [1000, 20].
"""

from itertools import accumulate

from ..base.check import Refused, number, plain
from ..base.measures import within
from ..base.translate import decimal, later, t
from ..base.units import whole

MOST = 10_000_000  # ten cubic metres in ml, a ton in tenths of a gram: far beyond a cup
MOST_PARTS = 8


def split(total: int, parts: list[int]) -> list[int]:
    """How much of each part makes a total, adding up to it exactly.

    Rule     shares by the ratio, rounded down; the rest one by one to the largest remainders, earlier parts first
    Unit     ml, g or tenths of either, as the total
    Holds    a total of 1 to 10 000 000, 1 to 8 parts of 1 to 100 000; refuses where a part would come to nothing
    Source   arithmetic: largest remainder
    Vectors  tests/vectors/mixing.json
    """
    number(later("The amount to mix"), total, 1, MOST)
    check_parts(parts)
    return _enough(shares(total, parts), total, parts)


def shares(total: int, parts: list[int]) -> list[int]:
    """The same for any number of parts, unchecked; a share may be 0."""
    all_parts = sum(parts)
    amounts = [total * part // all_parts for part in parts]
    left = total - sum(amounts)
    by_remainder = sorted(range(len(parts)), key=lambda at: -(total * parts[at] % all_parts))
    for at in by_remainder[:left]:
        amounts[at] += 1
    return amounts


def marks(amounts: list[int]) -> list[int]:
    """Where the level stands in one cup after each part is poured: "to 400, to 500, to 600"."""
    _check_amounts(amounts)
    return list(accumulate(amounts))


def grams(amounts_ml: list[int], densities_g_per_l: list[int]) -> list[int]:
    """What the scale shows after each part, to the gram, never set back to zero in between.

    Rule     ml x density, added up exactly and rounded at each reading, so that roundings do not pile up
    Unit     ml, g per litre, g
    Holds    1 to 8 amounts of 1 ml and up; 500 to 5 000 g per litre; as many densities as amounts
    Source   arithmetic; densities from the products' own sheets
    Vectors  tests/vectors/mixing.json
    """
    return [_nearest(thousandths, 1000) for thousandths in _weighed(amounts_ml, densities_g_per_l)]


def tenth_grams(amounts_ml: list[int], densities_g_per_l: list[int]) -> list[int]:
    """The same in tenths of a gram, for small cups."""
    return [_nearest(thousandths, 100) for thousandths in _weighed(amounts_ml, densities_g_per_l)]


def from_part(amount: int, index: int, parts: list[int]) -> list[int]:
    """How much of every part goes with what there is of one.

    Rule     amount x part / that part, each rounded to the nearest, ties up; the given amount stays as it is
    Unit     as the amount
    Holds    as split; the index counts from 0
    Source   arithmetic
    Vectors  tests/vectors/mixing.json
    """
    number(later("The amount there is"), amount, 1, MOST)
    check_parts(parts)
    number(later("The part"), index, 0, len(parts) - 1)
    return _enough([_nearest(amount * part, parts[index]) for part in parts], amount, parts)


def ratio_drift_pm(amounts: list[int], parts: list[int]) -> list[int]:
    """How far poured amounts are from the ratio: of each part, too much (+) or too little (-) against the first part.

    Rule     (amount / part) / (first amount / first part) - 1, to the nearest, ties up
    Unit     per mille
    Holds    as split; as many amounts as parts
    Source   arithmetic
    Vectors  tests/vectors/mixing.json
    """
    _check_amounts(amounts)
    check_parts(parts)
    _check_same(amounts, parts)
    first, first_part = amounts[0], parts[0]
    return [
        whole(1000 * (poured * first_part - first * part) / (first * part))
        for poured, part in zip(amounts, parts, strict=True)
    ]


def percent_hardener_g(putty_g: float, hardener_pm: int) -> float:
    """How much hardener goes into the putty: 2 % of 250 g is 5 g.

    Rule     by weight of the putty, not of the total: 2 % is 50 : 1, which is 1.96 % of the total
    Unit     g, per mille of the putty
    Holds    0.1 to 100 000 g, 0.1 to 100 %
    Source   arithmetic
    Vectors  tests/vectors/mixing.json
    """
    _check_hardener(hardener_pm)
    within(later("The putty"), putty_g, 0.1, 100_000, "g")
    return putty_g * hardener_pm / 1000


def putty_for_g(hardener_g: float, hardener_pm: int) -> float:
    """The other way: how much putty this hardener is for."""
    _check_hardener(hardener_pm)
    within(later("The hardener"), hardener_g, 0.1, 100_000, "g")
    return hardener_g * 1000 / hardener_pm


def hardener_pm_of(putty_g: float, hardener_g: float) -> int:
    """What was mixed, in per mille of the putty, to the nearest."""
    within(later("The putty"), putty_g, 0.1, 100_000, "g")
    within(later("The hardener"), hardener_g, 0.1, 100_000, "g")
    return whole(1000 * hardener_g / putty_g)


def hardener_of_total_pct(hardener_pm: int) -> float:
    """Per mille of the putty as percent of the whole mix: 20 is 1.96 %."""
    _check_hardener(hardener_pm)
    return 100 * hardener_pm / (1000 + hardener_pm)


def hardener_warning(hardener_pm: int, least_pm: int, most_pm: int) -> str:
    """What too little or too much hardener does; "" inside the sheet's range.  Common practice, no source."""
    _check_hardener(hardener_pm)
    number(later("The sheet's most hardener"), most_pm, 1, 1000, 10, "%")
    number(later("The sheet's least hardener"), least_pm, 1, most_pm, 10, "%")
    figures = {
        "share": decimal(plain(hardener_pm, 10)),
        "least": decimal(plain(least_pm, 10)),
        "most": decimal(plain(most_pm, 10)),
    }
    if hardener_pm < least_pm:
        return t(
            "{share} % hardener; the sheet says {least} to {most} %. "
            "Too little: it may never harden through, and clogs the paper.",
            **figures,
        )
    if hardener_pm > most_pm:
        return t(
            "{share} % hardener; the sheet says {least} to {most} %. "
            "Too much: it hardens no better, and can stain the paint above it.",
            **figures,
        )
    return ""


def ribbon_mm(hardener_g: float, mm_per_g: float) -> int:
    """How long a ribbon from the tube is, to the mm.

    Rule     grams x the length of a gram: squeeze 100 mm onto the scale once, and the length of a gram is known
    Unit     g, mm per g, mm
    Holds    0.1 to 1 000 g, 1 to 1 000 mm per g
    Source   arithmetic; the tube decides the length of a gram, no figure is given here
    Vectors  tests/vectors/mixing.json
    """
    within(later("The hardener"), hardener_g, 0.1, 1_000, "g")
    within(later("The length of a gram"), mm_per_g, 1, 1_000, "mm")
    return whole(hardener_g * mm_per_g)


def disc_ribbon_mm(disc_mm: float, sheet_disc_mm: float, sheet_ribbon_mm: float) -> int:
    """The ribbon for a disc of putty of another width than the sheet's, equally thick.

    Rule     by the area: twice as wide a disc takes four times the ribbon
    Unit     mm
    Holds    discs of 10 to 1 000 mm, the sheet's ribbon 1 to 3 000 mm
    Source   geometry; the sheet's own disc and ribbon
    Vectors  tests/vectors/mixing.json
    """
    within(later("The disc of putty"), disc_mm, 10, 1_000, "mm")
    within(later("The sheet's disc"), sheet_disc_mm, 10, 1_000, "mm")
    within(later("The sheet's ribbon"), sheet_ribbon_mm, 1, 3_000, "mm")
    return whole(sheet_ribbon_mm * (disc_mm * disc_mm) / (sheet_disc_mm * sheet_disc_mm))


def check_parts(parts: object) -> None:
    """A ratio: 1 to 8 whole numbers, none of them 0."""
    if not isinstance(parts, list) or not 1 <= len(parts) <= MOST_PARTS:
        raise Refused(t("A ratio has 1 to {most} parts. Nothing was saved.", most=MOST_PARTS))
    for part in parts:
        number(later("A part of the ratio"), part, 1, 100_000)


def _check_hardener(hardener_pm: int) -> None:
    number(later("The hardener"), hardener_pm, 1, 1000, 10, "%")


def _check_amounts(amounts: object) -> None:
    if not isinstance(amounts, list) or not 1 <= len(amounts) <= MOST_PARTS:
        raise Refused(t("A mix has 1 to {most} amounts. Nothing was saved.", most=MOST_PARTS))
    for amount in amounts:
        number(later("An amount"), amount, 1, MOST)


def _check_same(amounts: list[int], others: list[int]) -> None:
    if len(amounts) != len(others):
        raise Refused(t("There are more amounts than parts, or fewer. Nothing was saved."))


def _enough(amounts: list[int], given: int, parts: list[int]) -> list[int]:
    if 0 not in amounts:
        return amounts
    ratio, nth = " : ".join(str(part) for part in parts), amounts.index(0) + 1
    words = t(
        "{given} is too little for {ratio}: part {nth} comes to nothing. Nothing was saved.",
        given=given,
        ratio=ratio,
        nth=nth,
    )
    raise Refused(words)


def _weighed(amounts_ml: list[int], densities_g_per_l: list[int]) -> list[int]:
    """Thousandths of a gram after each part."""
    _check_amounts(amounts_ml)
    if not isinstance(densities_g_per_l, list):
        raise Refused(t("The densities are missing. Nothing was saved."))
    _check_same(amounts_ml, densities_g_per_l)
    for density in densities_g_per_l:
        number(later("A density"), density, 500, 5_000, 1, later("g per litre"))
    return list(accumulate(ml * density for ml, density in zip(amounts_ml, densities_g_per_l, strict=True)))


def _nearest(share: int, of: int) -> int:
    """A quotient of whole numbers to the nearest, ties up, without a float."""
    return (2 * share + of) // (2 * of)
