"""What damp air does to a coat: whether it may go on, and how much longer water takes to leave it.

Twin: static/js/core/clock/damp.js
"""

from ..base.check import number, plain
from ..base.shapes import Product
from ..base.translate import decimal, later, t
from ..base.units import up
from ..base.words import degrees, warmer
from .air import dew_point_c, vpd_pa
from .cure import LEAST_PM, MOST_PM

MARGIN_DC = 30  # FHWA-RD-98-084: steel at least 3 C above the dew point
LIFT_C = 0.05  # the most that the Magnus formula lies below two reference libraries, so that no margin is too hopeful
OUR_AIR = (later("The temperature"), later("The humidity"))
SHEETS_AIR = (later("The sheet's temperature"), later("The sheet's humidity"))
TOO_COLD = {
    "air": later("The air is at {temp}: this product needs {least} or more."),
    "panel": later("The panel is at {temp}: this product needs {least} or more."),
}
TOO_HOT = {
    "air": later("The air is at {temp}: this product takes at most {most}."),
    "panel": later("The panel is at {temp}: this product takes at most {most}."),
}
EDGE = 1e-9  # twenty times itself still counts, whatever the last bits of two exponentials


def dew_point_dc(temp_dc: int, rh_pm: int) -> int:
    """The dew point in tenths of a degree C, lifted and rounded up, never above the air: rather too high."""
    _check_air(OUR_AIR, temp_dc, rh_pm, 1000)
    return min(up(10 * (dew_point_c(temp_dc / 10, rh_pm / 10) + LIFT_C)), temp_dc)


def margin_dc(surface_dc: int, temp_dc: int, rh_pm: int) -> int:
    """How far a surface is above the dew point of the air around it; below 0, water settles on it.

    Rule     surface less dew point, the dew point rounded up: never more than it is
    Unit     tenths of a degree C, per mille
    Holds    surface -40 to 150 C, air -40 to 60 C, 0 to 100 %; else refuses
    Source   WMO-No. 8, Annex 4.B
    Vectors  tests/vectors/damp.json
    """
    number(later("The panel's temperature"), surface_dc, -400, 1500, 10, "°C")
    return surface_dc - dew_point_dc(temp_dc, rh_pm)


def coat_warnings(
    sheet: Product, temp_dc: int, rh_pm: int | None, surface_dc: int | None, unit: str = "c"
) -> list[str]:
    """Why a coat must not go on now, in words; an empty list when nothing known speaks against it.

    Rule     panel and air within the product's temperatures, humidity within its own, panel 3 C above the dew point
    Unit     tenths of a degree C, per mille
    Holds    no surface reading: the panel counts as warm as the air; no humidity: dew point and humidity go unchecked
    Source   FHWA-RD-98-084 (the 3 C); the product's own sheet (the rest)
    Vectors  tests/vectors/damp.json
    """
    _check_readings(temp_dc, rh_pm, surface_dc)
    places: list[tuple[str, int]] = [("air", temp_dc)]
    if surface_dc is not None:
        places = [("panel", surface_dc), ("air", temp_dc)]
    warnings = [words for place, temp in places for words in _too_cold_or_hot(sheet, place, temp, unit)]
    if rh_pm is None:
        return warnings
    highest = sheet.get("highest_rh_pm")
    if highest is not None and rh_pm > highest:
        now, most = decimal(plain(rh_pm, 10)), decimal(plain(highest, 10))
        warnings.append(t("The humidity is {now} %: this product takes at most {most} %.", now=now, most=most))
    return warnings + _near_dew(temp_dc, rh_pm, surface_dc, unit)


def damp_factor(sheet_temp_dc: int, sheet_rh_pm: int, temp_dc: int, rh_pm: int) -> float | None:
    """How many times longer water takes to leave a film than in the air its sheet speaks of; None: it stands still.

    Rule     vapour-pressure deficit of the sheet's air over that of this air: temperature and humidity in one figure,
             so it is never used on top of a wait that already follows the temperature; see cure.humidity_factor_pm
    Unit     tenths of a degree C and per mille in, a factor out
    Holds    from a quarter to twenty times; damper than that the film stands still; the sheet's air up to 95 %
    Source   own rule: evaporation goes with the deficit, Dalton 1802 (from memory); holds while water lies at the
             surface, so for flash only: later the skin of the film rules and humidity counts less
    Vectors  tests/vectors/damp.json
    """
    _check_air(SHEETS_AIR, sheet_temp_dc, sheet_rh_pm, 950)
    _check_air(OUR_AIR, temp_dc, rh_pm, 1000)
    sheet_pa, now_pa = vpd_pa(sheet_temp_dc / 10, sheet_rh_pm / 10), vpd_pa(temp_dc / 10, rh_pm / 10)
    if sheet_pa * 1000 > now_pa * MOST_PM * (1 + EDGE):
        return None
    return max(sheet_pa / now_pa, LEAST_PM / 1000)


def damp_factor_pm(sheet_temp_dc: int, sheet_rh_pm: int, temp_dc: int, rh_pm: int) -> int | None:
    """The same in per mille, rounded up, for clocks: never early."""
    factor = damp_factor(sheet_temp_dc, sheet_rh_pm, temp_dc, rh_pm)
    return None if factor is None else up(1000 * factor)


def _check_readings(temp_dc: int, rh_pm: int | None, surface_dc: int | None) -> None:
    _check_air(OUR_AIR, temp_dc, 0 if rh_pm is None else rh_pm, 1000)
    if surface_dc is not None:
        number(later("The panel's temperature"), surface_dc, -400, 1500, 10, "°C")


def _check_air(names: tuple[str, str], temp_dc: int, rh_pm: int, dampest_pm: int) -> None:
    number(names[0], temp_dc, -400, 600, 10, "°C")
    number(names[1], rh_pm, 0, dampest_pm, 10, "%")


def _too_cold_or_hot(sheet: Product, place: str, temp_dc: int, unit: str) -> list[str]:
    lowest, highest = sheet.get("lowest_dc"), sheet.get("highest_dc")
    if lowest is not None and temp_dc < lowest:
        return [t(TOO_COLD[place], temp=degrees(temp_dc, unit), least=degrees(lowest, unit))]
    if highest is not None and temp_dc > highest:
        return [t(TOO_HOT[place], temp=degrees(temp_dc, unit), most=degrees(highest, unit))]
    return []


def _near_dew(temp_dc: int, rh_pm: int, surface_dc: int | None, unit: str) -> list[str]:
    surface = temp_dc if surface_dc is None else surface_dc
    margin = margin_dc(surface, temp_dc, rh_pm)
    if margin >= MARGIN_DC:
        return []
    dry, much = degrees(surface - margin + MARGIN_DC, unit), warmer(MARGIN_DC, unit)
    needs = t("Wait until it is at {temp}, {much} above the dew point.", temp=dry, much=much)
    wet = _wet(degrees(surface, unit), warmer(margin, unit), surface_dc is not None, margin <= 0)
    return [f"{wet} {needs}"]


def _wet(temp: str, little: str, known: bool, settles: bool) -> str:
    if settles and known:
        return t("The panel is at {temp}: water settles on it.", temp=temp)
    if settles:
        return t("The panel, if as warm as the air, is at {temp}: water settles on it.", temp=temp)
    if known:
        return t("The panel is at {temp}, only {little} above the dew point.", temp=temp, little=little)
    return t(
        "The panel, if as warm as the air, is at {temp}, only {little} above the dew point.", temp=temp, little=little
    )
