"""Units, and the few places where a float becomes a whole number.

Whole numbers everywhere in acts and state: ms since 1970 UTC, tenths of a degree C (dc), per mille (pm), ml, g.
Python and JavaScript round differently and differ in the last bit of `pow`, so every rounding has a name and leans
a thousandth of a millisecond away from the tie (a double holds a moment of today to a quarter of that).
Twin: static/js/core/base/units.js
"""

import math

SECOND_MS = 1_000
MINUTE_MS = 60_000
HOUR_MS = 3_600_000
DAY_MS = 86_400_000
FAR_MS = 3_650 * DAY_MS  # ten years: longer than any film waits, still exact in a double

LEAN = 1e-3


def whole(value: float) -> int:
    """Nearest whole number; ties go up."""
    return math.floor(value + 0.5 + LEAN)


def up(value: float) -> int:
    """The first whole number not before `value`: for what opens."""
    return math.ceil(value - LEAN)


def down(value: float) -> int:
    """The last whole number not after `value`: for what closes."""
    return math.floor(value + LEAN)


def clamp(value: int, least: int, most: int) -> int:
    return max(least, min(most, value))
