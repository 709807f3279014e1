"""A gun set-up in words, and the caution where its pressure is high.  Twin: static/js/core/bench/gun.js"""

from ..base.translate import decimal, t
from ..base.units import whole

KPA_OF_PSI = 6.894757  # NIST SP 811
MM_OF_INCH = 25.4
HIGH_KPA = 300  # more than guns for refinish paints are meant for; common practice, no source

SetUp = dict[str, int | str]


def gun_words(gun: str, set_up: SetUp, unit: str) -> str:
    """A set-up that worked, as it is read at the gun: pressure first, and where it is measured.

    Rule     what was written down, in one order; the pressure is that at the gun inlet with the air flowing
    Unit     set_up: kPa, um, tenths of a turn, mm; said in bar and cm ("bar"), or psi and inches ("psi")
    Holds    any checked set-up, also one with nothing in it
    Source   NIST SP 811 (psi, inch); own rule
    Vectors  tests/vectors/gun.json
    """
    parts = [_pressure(set_up, unit), _tip(set_up), _turns(set_up), _fan(set_up), _distance(set_up, unit)]
    told = ", ".join(part for part in parts if part)
    return t("{gun}: {figures}", gun=gun, figures=told) if told else gun


def gun_caution(set_up: SetUp, unit: str) -> str:
    """What is said of a pressure above 3 bar at the gun inlet; "" for less, and where none was written down.

    Rule     more than 300 kPa
    Unit     kPa
    Holds    any checked set-up
    Source   common practice, no source
    Vectors  tests/vectors/gun.json
    """
    if int(set_up.get("pressure_kpa", 0)) <= HIGH_KPA:
        return ""
    return t(
        "{pressure} is above {most} at the gun inlet: more mist in the air and less on the panel. Check the gun's own "
        "sheet: an HVLP gun wants about 2 bar (30 psi).",
        pressure=_figure(int(set_up["pressure_kpa"]), unit),
        most=_figure(HIGH_KPA, unit),
    )


def _pressure(set_up: SetUp, unit: str) -> str:
    if "pressure_kpa" not in set_up:
        return ""
    return t("{pressure} at the gun inlet, trigger pulled", pressure=_figure(int(set_up["pressure_kpa"]), unit))


def _figure(kpa: int, unit: str) -> str:
    return f"{whole(kpa / KPA_OF_PSI)} psi" if unit == "psi" else f"{_plain(kpa, 100)} bar"


def _tip(set_up: SetUp) -> str:
    return t("{mm} mm tip [[of a spray gun]]", mm=_plain(int(set_up["tip_um"]), 1000)) if "tip_um" in set_up else ""


def _turns(set_up: SetUp) -> str:
    if "turns_tenths" not in set_up:
        return ""
    return t("{turns} turns [[of the fluid knob]]", turns=_plain(int(set_up["turns_tenths"]), 10))


def _fan(set_up: SetUp) -> str:
    return t("fan {fan} [[of a spray gun: how wide]]", fan=set_up["fan"]) if set_up.get("fan") else ""


def _distance(set_up: SetUp, unit: str) -> str:
    if "distance_mm" not in set_up:
        return ""
    mm = int(set_up["distance_mm"])
    if unit == "psi":
        return t("{inches} in away [[from the panel]]", inches=whole(mm / MM_OF_INCH))
    return t("{cm} cm away [[from the panel]]", cm=_plain(mm, 10))


def _plain(value: int, by: int) -> str:
    """A share of a whole number, to two places at most, with the reader's decimal sign."""
    hundredths = whole(value * 100 / by)
    text = f"{hundredths // 100}.{hundredths % 100:02d}".rstrip("0").rstrip(".")
    return decimal(text)
