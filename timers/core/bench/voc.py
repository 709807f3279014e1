"""Solvent in the air: what a mix gives off, as the rules count it.  Twin: static/js/core/bench/voc.js

A part's figures are per litre of that part as it is in the tin, with its water and exempt solvent; what is not given is
0.  A sheet's figure "less water and exempt" is not one of these unless the part has neither.
"""

from typing import NotRequired, TypedDict

from ..base.check import Refused
from ..base.measures import within
from ..base.translate import later, t
from .mixing import MOST

WATER_G_PER_L = 998.2  # at 20 C; the public examples reckon with 8.33 lb per US gallon, which is 998.2


class Part(TypedDict):
    """A part of a mix: its volume, and what a litre of it holds."""

    ml: float
    voc_g_per_l: NotRequired[float]
    water_g_per_l: NotRequired[float]
    exempt_g_per_l: NotRequired[float]
    exempt_density_g_per_l: NotRequired[float]


def voc_g_per_l(parts: list[Part]) -> float:
    """Solvent per litre of the mix as it is sprayed, the litre counted without its water and exempt solvent.

    Rule     (all volatiles - water - exempt) / (volume - volume of water - volume of exempt)
    Unit     ml, g per litre
    Holds    1 to 8 parts; refuses a mix of which nothing is left without its water and exempt solvent
    Source   40 CFR 59.104(a)(1)
    Vectors  tests/vectors/voc.json
    """
    voc, volume, counted = _summed(parts)
    if counted <= volume * 1e-6:
        raise Refused(t("Without its water and exempt solvent nothing is left of this mix. Nothing was saved."))
    return voc / counted


def voc_of_all_g_per_l(parts: list[Part]) -> float:
    """Solvent per litre of the mix, the whole litre counted: what goes into the air is this times what is sprayed."""
    voc, volume, _ = _summed(parts)
    return voc / volume


def _summed(parts: list[Part]) -> tuple[float, float, float]:
    """Of a mix: solvent in thousandths of a gram, volume in ml, and the volume without water and exempt solvent."""
    if not isinstance(parts, list) or not 1 <= len(parts) <= 8:
        raise Refused(t("A mix has 1 to 8 parts. Nothing was saved."))
    voc = volume = counted = 0.0
    for part in parts:
        ml, solvent, kept = _of_part(part)
        voc += ml * solvent
        volume += ml
        counted += ml * kept
    return voc, volume, counted


def _of_part(part: Part) -> tuple[float, float, float]:
    """Of one part: ml, solvent in g per litre, and the share of it that is neither water nor exempt solvent."""
    if not isinstance(part, dict):
        raise Refused(t("A part of the mix is missing. Nothing was saved."))
    ml, voc, water = part.get("ml"), part.get("voc_g_per_l", 0), part.get("water_g_per_l", 0)
    exempt, density = part.get("exempt_g_per_l", 0), part.get("exempt_density_g_per_l", 0)
    within(later("The amount of a part"), ml, 0.1, MOST, "ml")
    within(later("The solvent of a part"), voc, 0, 2_000, later("g per litre"))
    within(later("The water of a part"), water, 0, 1_000, later("g per litre"))
    within(later("The exempt solvent of a part"), exempt, 0, 2_500, later("g per litre"))
    if exempt > 0:
        within(later("The density of the exempt solvent"), density, 500, 2_500, later("g per litre"))
    kept = 1 - water / WATER_G_PER_L - (exempt / density if exempt > 0 else 0)
    if kept < -0.005:
        raise Refused(t("A part holds more water and exempt solvent than it has room for. Nothing was saved."))
    return ml, voc, max(0.0, kept)
