"""How far paint goes, how wet a film must be, how much to mix and in how many cups.

Twin: static/js/core/bench/cover.js"""

from typing import TypedDict

from ..base.check import Refused, number
from ..base.measures import within
from ..base.translate import later, t
from ..base.units import DAY_MS, MINUTE_MS, up
from .mixing import MOST, shares

FT2_MIL_PER_GAL = 1604  # 231 cubic inches are 1604.17 square feet a mil thick; the trade reckons with 1604
MOST_CUPS = 24


class CupShare(TypedDict):
    """One of several cups: how much is in it, for how many coats, and how long it must last."""

    ml: int
    coats: int
    takes_ms: int


class Cups(TypedDict):
    """All cups of a job: whether one is enough, how long the whole takes, how many cups a coat takes, and each cup."""

    one: bool
    takes_ms: int
    share: int
    cups: list[CupShare]


def m2_per_l(vs_pct: float, dft_um: float, te_pct: float = 100) -> float:
    """How many square metres a litre covers.

    Rule     10 x volume solids / dry film, times the share that lands on the panel
    Unit     percent by volume, um; square metres per litre
    Holds    solids 1 to 100 %, film 1 to 5 000 um, transfer 1 to 100 %; else refuses
    Source   theoretical coverage as data sheets state it (tests/published/mixing.json)
    Vectors  tests/vectors/cover.json
    """
    _check_film(vs_pct, dft_um, te_pct)
    return 10 * vs_pct / dft_um * (te_pct / 100)


def ft2_per_gal(vs_pct: float, dft_mil: float, te_pct: float = 100) -> float:
    """How many square feet a US gallon covers: 1604 x volume solids / dry film, times the share that lands.

    Film 0.1 to 200 mil, else as m2_per_l.
    """
    _check_shares(vs_pct, te_pct)
    within(later("The dry film"), dft_mil, 0.1, 200, "mil")
    return FT2_MIL_PER_GAL * (vs_pct / 100) / dft_mil * (te_pct / 100)


def wet_film_um(dft_um: float, vs_pct: float, thinner_pct: float = 0) -> float:
    """How thick the film must be on the wet comb to dry to what is wanted.

    Rule     dry film x (1 + thinner) / volume solids of the unthinned paint
    Unit     um, percent by volume; thinner in percent of the paint it goes into
    Holds    as m2_per_l; thinner 0 to 300 %
    Source   as painting manuals state it (tests/published/mixing.json)
    Vectors  tests/vectors/cover.json
    """
    _check_film(vs_pct, dft_um, 100)
    within(later("The thinner"), thinner_pct, 0, 300, "%")
    return dft_um * (1 + thinner_pct / 100) / (vs_pct / 100)


def litres_for(area_m2: float, dft_um: float, vs_pct: float, te_pct: float) -> float:
    """How many litres one coat of an area takes.

    Rule     area x dry film / volume solids / the share that lands on the panel
    Unit     square metres, um, percent; litres of a paint with these solids
    Holds    0.01 to 1 000 square metres; else as m2_per_l
    Source   arithmetic; transfer of an HVLP gun 50 to 65 %, small parts 20 to 50 % (tests/published/mixing.json)
    Vectors  tests/vectors/cover.json
    """
    within(later("The area"), area_m2, 0.01, 1_000, "m²")
    return area_m2 / m2_per_l(vs_pct, dft_um, te_pct)


def ready_to_spray_ml(area_m2: float, coats: int, dft_um: float, vs_pct: float, te_pct: float, loss_pct: float) -> int:
    """How much to mix for all coats, rounded up to the ml.

    Rule     litres for one coat x coats, and what stays in cup, hose and strainer on top
    Unit     square metres, um a coat, percent; solids of the mix as sprayed; loss in percent of what is sprayed
    Holds    1 to 20 coats, loss 0 to 100 %; else as litres_for
    Source   arithmetic
    Vectors  tests/vectors/cover.json
    """
    number(later("The number of coats"), coats, 1, 20)
    within(later("The loss"), loss_pct, 0, 100, "%")
    return up(1000 * coats * litres_for(area_m2, dft_um, vs_pct, te_pct) * (1 + loss_pct / 100))


def thinned_vs_pct(vs_pct: float, thinner_pct: float) -> float:
    """Volume solids of a paint once thinner is in it, the thinner in percent of the paint."""
    _check_shares(vs_pct, 100)
    within(later("The thinner"), thinner_pct, 0, 300, "%")
    return vs_pct / (1 + thinner_pct / 100)


def cups(total_ml: int, coats: int, spray_ms: int, flash_ms: int, pot_ms: int, induction_ms: int = 0) -> Cups:
    """Whether one cup lasts for all coats, and if not how many cups, how much in each, and for which coats.

    Rule     a cup lasts for m coats when its induction, m sprays and the m - 1 flashes between them fit into its pot
             life; as few cups as that allows, the coats spread evenly, the larger cups first; a coat too long for one
             cup takes several
    Unit     ml, ms from the mixing on; the pot life at today's temperature; `share` is the cups that one coat takes
    Holds    1 to 20 coats, sprays and pot life of 1 min to a day, flashes and induction of 0 to a day; refuses more
             than 24 cups, and a pot life that is over before the mix may be used
    Source   arithmetic; each cup is mixed so that it has stood when its first coat begins
    Vectors  tests/vectors/cover.json
    """
    _check_work(total_ml, coats, spray_ms, flash_ms, pot_ms)
    number(later("The time to stand before use"), induction_ms, 0, DAY_MS, MINUTE_MS, "min")
    good_ms = pot_ms - induction_ms
    if good_ms <= 0:
        raise Refused(t("The pot life is over before the mix has stood long enough. Nothing was saved."))
    fit = (good_ms + flash_ms) // (spray_ms + flash_ms) if good_ms >= spray_ms else 0
    share = 1 if fit else -(-spray_ms // good_ms)
    count = -(-coats // fit) if fit else coats * share
    if count > MOST_CUPS:
        raise Refused(
            t("The pot life is too short for this: it would take {count} cups. Nothing was saved.", count=count)
        )
    each, larger = coats // count, coats % count
    coats_of = [each + 1 if nth < larger else each for nth in range(count)] if fit else [1] * count
    takes = [of * spray_ms + (of - 1) * flash_ms if fit else up(spray_ms / share) for of in coats_of]
    sizes = shares(total_ml, coats_of)
    if 0 in sizes:
        raise Refused(t("{ml} ml is too little for {count} cups. Nothing was saved.", ml=total_ml, count=count))
    each_cup = zip(sizes, coats_of, takes, strict=True)
    return {
        "one": count == 1,
        "takes_ms": induction_ms + coats * spray_ms + (coats - 1) * flash_ms,
        "share": share,
        "cups": [{"ml": ml, "coats": of, "takes_ms": induction_ms + ms} for ml, of, ms in each_cup],
    }


def _check_work(total_ml: int, coats: int, spray_ms: int, flash_ms: int, pot_ms: int) -> None:
    number(later("The amount to mix"), total_ml, 1, MOST, 1, "ml")
    number(later("The number of coats"), coats, 1, 20)
    number(later("The time to spray a coat"), spray_ms, MINUTE_MS, DAY_MS, MINUTE_MS, "min")
    number(later("The flash"), flash_ms, 0, DAY_MS, MINUTE_MS, "min")
    number(later("The pot life"), pot_ms, MINUTE_MS, DAY_MS, MINUTE_MS, "min")


def _check_film(vs_pct: float, dft_um: float, te_pct: float) -> None:
    _check_shares(vs_pct, te_pct)
    within(later("The dry film"), dft_um, 1, 5_000, "um")


def _check_shares(vs_pct: float, te_pct: float) -> None:
    within(later("The volume solids"), vs_pct, 1, 100, "%")
    within(later("The share that lands on the panel"), te_pct, 1, 100, "%")
