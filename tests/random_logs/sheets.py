"""Random products with their sheets, names and ids, from a seed: from plain to odd, always such as can be kept."""

from timers.core.acts import envelope as rules
from timers.core.acts.figures import HARDENERS, check_figures
from timers.core.acts.product_schema import CLASSES, GATES, USES
from timers.core.base.check import Refused
from timers.core.base.units import DAY_MS, MINUTE_MS

NOW_MS = 1_762_000_000_000  # a Saturday in November 2025: clocks changed in many zones the week before

OF_PARTS = ("densities_g_l", "vocs_g_l", "waters_g_l")
NAMES = ["Bonnet", "Left front door", "Tailgate", "Rear bumper cover", "Sill, right", "Wing mirror cap", "Roof"]
HOSTILE = [
    "__proto__",
    "constructor",
    "toString",
    "<b>Door</b> & \"sill\" 'left'",
    "</script><script>alert(1)</script>",
    "{{ 7 * 7 }} {% now %} ${7} `x` \\n %s %(a)s",
    "باب أمامي",
    "\u202eroolf\u202c",
    "🚙 dent 🔨",
    "👩🏽‍🔧👨‍👩‍👧‍👦",
    "e\u0301 é Ω Ω",
    "\uffee\uffff end of the plane",
    "\U00010000 first beyond it",
    "\u2028 line \u2029 and \u0085 and \ufeff",
    "two\nlines\tand a tab",
    " x ",
    "0",
    "null",
    "𝔊" * 200,
]


def product(rnd) -> dict:
    """A product with its sheet, from plain to odd; always one that can be kept."""
    doc = {"id": new_id(rnd), "name": name(rnd), "cls": rnd.choice(CLASSES), "gates": gates(rnd)}
    lowest = rnd.choice([None, 100, 150, rnd.randint(-400, 250)])
    highest = rnd.choice([None, 350, rnd.randint((-400 if lowest is None else lowest) + 1, 1500)])
    limits = {"lowest_dc": lowest, "highest_dc": highest, "double_dc": rnd.choice([None, 30, 100, 300])}
    doc |= {key: value for key, value in limits.items() if value is not None or rnd.random() < 0.3}
    if rnd.random() < 0.5:
        doc["typical"] = rnd.random() < 0.5
    if rnd.random() < 0.5:
        doc["variants"] = [_variant(rnd, nth) for nth in range(rnd.randint(0, 4))]
    doc |= _figures(rnd)
    try:
        check_figures(doc)
    except Refused:  # a window that shuts before it opens, a putty with a cupful of hardener
        doc = {key: value for key, value in doc.items() if key not in ("ratio", *OF_PARTS)}
        doc["gates"] = {key: lines for key, lines in doc["gates"].items() if key not in ("recoat_by", "recoat_again")}
    return doc


def _figures(rnd) -> dict:
    """Some of what a sheet says beside its times."""
    parts = rnd.choice([[4, 1, 1], [2, 1], [100, 2], [1], [8, 2, 1, 1]])
    figures = {
        "ratio": {"by": rnd.choice(["volume", "weight"]), "parts": parts, rnd.choice(HOSTILE[:3]): None},
        "highest_rh_pm": rnd.choice([None, 800, 1000]),
        "sheet_rh_pm": rnd.choice([None, 0, 500, 950]),
        "solids_pm": rnd.choice([None, 450]),
        "solids_of": rnd.choice([None, "tin", "mixed", "ready"]),
        "hardener_solids_pm": rnd.choice([None, 0, 600]),
        "film_um": rnd.choice([1, 60]),
        "uses": rnd.sample(USES, rnd.randint(0, 3)),
        "hardener": rnd.choice([None, *HARDENERS]),
        "tip_um": rnd.choice([None, 1300]),
        "in_can": rnd.random() < 0.5,
        "cure_lowest_dc": rnd.choice([None, -400]),
        "cure_highest_dc": rnd.choice([None, 650]),
        "notes": rnd.choice(HOSTILE),
        "sheet_date": rnd.choice(["", "2026-01-31"]),
        "coat_gates": [{"coat": rnd.randint(2, 4), "gates": gates(rnd)} for _ in range(rnd.randint(0, 2))],
    }
    chosen = {key: value for key, value in figures.items() if rnd.random() < 0.3}
    if "ratio" in chosen and rnd.random() < 0.5:
        weights = [rnd.randint(500, 2000) for _ in parts]
        chosen |= {"densities_g_l": weights, "vocs_g_l": [rnd.randint(0, 900) for _ in parts]}
    return chosen


def gates(rnd) -> dict:
    """The times of a sheet: none, some or all, each of one to four lines that never slow down with warmth."""
    chosen = [gate for gate in GATES if rnd.random() < (0.7 if gate in ("flash", "sand", "recoat_by") else 0.2)]
    shared = points(rnd)  # now and then all times alike: what opens and what shuts at one moment
    alike = rnd.random() < 0.1
    return {gate: shared if alike else points(rnd) for gate in chosen}


def points(rnd) -> list:
    temp = rnd.choice([200, 200, 150, rnd.randint(-400, 600)])
    short = rnd.choice(
        [rnd.randint(1, 60) * MINUTE_MS, rnd.randint(1_000, 3 * DAY_MS), rnd.randint(1_000, 365 * DAY_MS)]
    )
    long = min(365 * DAY_MS, short + rnd.choice([0, 0, short, rnd.randint(0, DAY_MS)]))
    lines = [[temp, short, long]]
    for _ in range(rnd.choice([0, 0, 1, 1, 2, 3])):
        temp += rnd.choice([50, 100, rnd.randint(1, 300)])
        short = max(1_000, rnd.choice([short, short // 2, rnd.randint(1_000, short)]))
        long = max(short, rnd.choice([long, long // 2, rnd.randint(1_000, long)]))
        lines.append([temp, short, long])
    return lines


def name(rnd) -> str:
    return rnd.choice(HOSTILE) if rnd.random() < 0.3 else rnd.choice(NAMES)


def new_id(rnd, at_ms: int = NOW_MS) -> str:
    return rules.new_id(at_ms, rnd.randbytes(10))


def _variant(rnd, nth: int) -> dict:
    variant = {"id": str(nth), "name": name(rnd)}
    own = {
        "use": rnd.choice([*USES, ""]),
        "cure_highest_dc": rnd.choice([None, 1500]),
        "film_um": rnd.choice([None, 25]),
    }
    own |= {"vocs_g_l": [rnd.randint(0, 900) for _ in range(rnd.randint(1, 4))], "hardener": rnd.choice(HARDENERS)}
    variant |= {key: value for key, value in own.items() if rnd.random() < 0.2}
    if rnd.random() < 0.7:
        low = rnd.randint(-400, 400)
        variant["band_dc"] = rnd.choice([None, [low, low + rnd.randint(0, 200)], [180, 250]])
    if rnd.random() < 0.7:
        variant["gates"] = gates(rnd)
    return variant
