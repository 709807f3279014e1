"""Measures that a person types, and the units of two worlds.  Twin: static/js/core/base/measures.js

Conversions are exact and give a float; it becomes a whole number once, where it is shown, by `tenths`, `hundredths` or
by `whole`, `up` and `down` of units.
"""

from .check import EXACT, beyond, no_number, number, plain
from .translate import later
from .units import whole

ML_PER_FL_OZ = 29.5735295625  # exact: a US gallon is 231 cubic inches and 128 fl oz, an inch 25.4 mm
G_PER_OZ = 28.349523125  # exact: a pound is 453.59237 g and 16 oz (agreement of 1959, from memory)
UM_PER_MIL = 25.4  # exact: a mil is a thousandth of an inch


def within(what: str, value: object, least: float, most: float, unit: str = "") -> None:
    """A measure, whole or not, from `least` to `most`; said to a tenth."""
    if not isinstance(value, int | float) or isinstance(value, bool) or not abs(value) <= EXACT:
        raise no_number(what)
    if not least <= value <= most:
        raise beyond(what, plain(tenths(least), 10), plain(tenths(most), 10), plain(tenths(value), 10), unit)


def tenths(value: float) -> int:
    """The nearest number of tenths; ties go up."""
    return whole(value * 10)


def hundredths(value: float) -> int:
    """The nearest number of hundredths; ties go up."""
    return whole(value * 100)


def fl_oz_to_ml(fl_oz: float) -> float:
    """US fluid ounces to ml."""
    within(later("The volume"), fl_oz, 0, 1_000_000, "fl oz")
    return fl_oz * ML_PER_FL_OZ


def ml_to_fl_oz(ml: float) -> float:
    within(later("The volume"), ml, 0, 30_000_000, "ml")
    return ml / ML_PER_FL_OZ


def oz_to_g(oz: float) -> float:
    within(later("The weight"), oz, 0, 1_000_000, "oz")
    return oz * G_PER_OZ


def g_to_oz(g: float) -> float:
    within(later("The weight"), g, 0, 30_000_000, "g")
    return g / G_PER_OZ


def mil_to_um(mil: float) -> float:
    """Thousandths of an inch to thousandths of a millimetre."""
    within(later("The film"), mil, 0, 1_000, "mil")
    return mil * UM_PER_MIL


def um_to_mil(um: float) -> float:
    within(later("The film"), um, 0, 30_000, "um")
    return um / UM_PER_MIL


def f_to_dc(temp_f: float) -> int:
    """Degrees F to the nearest tenth of a degree C; ties go up."""
    within(later("The temperature"), temp_f, -100, 500, "°F")
    return tenths((temp_f - 32) * 5 / 9)


def dc_to_f(temp_dc: int) -> float:
    number(later("The temperature"), temp_dc, -800, 3000, 10, "°C")
    return temp_dc * 9 / 50 + 32
