"""Rules that other programs may call.  They stand here under names that stay, wherever their modules move.

Whole numbers unless a line says otherwise; times are ms since 1970 UTC, temperatures tenths of a degree C (dc).
A sheet is one gate seen from one side: {"points": [[temp_dc, wait_ms], ...] by rising temperature, "lowest_dc",
"highest_dc", "double_dc"}, the last three may be None.  A trace is the temperature over time:
[[from_ms, lower_dc, higher_dc, damp_pm], ...], each step until the next one begins.
"""

from .core.base.check import Refused
from .core.bench import grit, mixing
from .core.clock import air, cure

__all__ = ["Refused", "closes_at", "dew_point_c", "grit_step", "opens_at", "split", "wait_ms"]


def dew_point_c(temp_c: float, rh_pct: float) -> float:
    """The temperature at which water begins to settle out of air: degrees C (-45 to 60) and percent in, degrees C out.

    Refused (a ValueError) outside that range.  Source: Magnus over water, WMO-No. 8, Annex 4.B.
    """
    return air.dew_point_c(temp_c, rh_pct)


def grit_step(from_p: int, to_p: int) -> dict:
    """How big a step between two grits is: {"ratio_pm": per mille of the grain, "ok": bool, "words": str}.

    P grades of the FEPA series, P36 to P2500, else Refused.  Source: ISO 6344 (grains); 1.8 is common practice.
    """
    return grit.step(from_p, to_p)


def split(total: int, parts: list[int]) -> list[int]:
    """How much of each part makes a total, adding up to it exactly: ml, g or tenths of either, as the total.

    A total of 1 to 10 000 000, 1 to 8 parts of 1 to 100 000, else Refused.  Source: largest remainder.
    """
    return mixing.split(total, parts)


def wait_ms(sheet: dict, temp_dc: int) -> int:
    """How long a gate takes at a steady temperature, in ms; TooCold (a ValueError) below the sheet's lowest.

    Log-linear in C between the points, doubling per step colder beyond them.  Source: UFGS 09971, 3.7.1.3.
    """
    return cure.wait_ms(sheet, temp_dc)


def opens_at(sheet: dict, start_ms: int, trace: list) -> int | None:
    """When an opening gate is reached, never early (by the lower side of each step); None: it stands still.

    Source: equivalent age, the definition in ASTM C1074.
    """
    return cure.opens_at(sheet, start_ms, trace)


def closes_at(sheet: dict, start_ms: int, trace: list) -> int | None:
    """When a closing gate is reached, never late (by the higher side of each step); None: it stands still.

    Source: equivalent age, the definition in ASTM C1074.
    """
    return cure.closes_at(sheet, start_ms, trace)
