"""A year of a garage: hourly weather of Greensboro NC, and films laid all through it.

The temperature is taken to run straight from one reading to the next, and the film's gain is integrated by SciPy as
finely as a double allows.  Against that, nothing may open early and nothing may close late; and how much later and how
much sooner the two sides are is held too, so that neither can hide behind being merely careful.

Weather: typical meteorological year, station 723170, US National Renewable Energy Laboratory, as shipped in the Python
package pvlib 0.16 (pvlib/data/723170TYA.CSV); only that file is read.
"""

import csv
import importlib.util
import random
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad, quad_vec
from scipy.optimize import brentq

from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.clock import air, cure

BEGINS_MS = 1_735_689_600_000  # the first hour of a year; the rules do not care which
STARTS = 120  # films of each sheet in Python; the JavaScript twin is asked for every third
GIVEN_AWAY = 0.05  # half of the films open late, and shut soon, by less than this share of their own time
SLACK_MS = 2  # the two sums are made in different ways

SHEETS = {
    "putty, 20 min at 20 C": {"points": [[200, 20 * MINUTE_MS]]},
    "flash, 10 min at 20 C, 4 min at 30 C": {"points": [[200, 10 * MINUTE_MS], [300, 4 * MINUTE_MS]]},
    "surfacer, 3 h at 20 C, not below 10 C": {"points": [[200, 3 * HOUR_MS]], "lowest_dc": 100, "highest_dc": 300},
    "epoxy, 24 h at 15 C, 12 h at 25 C, 8 h at 30 C": {
        "points": [[150, 24 * HOUR_MS], [250, 12 * HOUR_MS], [300, 8 * HOUR_MS]],
        "lowest_dc": 50,
    },
    "cure, 7 days at 20 C, doubling every 8 C": {"points": [[200, 7 * DAY_MS]], "double_dc": 80},
}
IN_PAGE = """async ([sheet, starts, readings]) => {
  const { opensAt, closesAt } = await import('/js/core/clock/cure.js');
  const { trace } = await import('/js/core/clock/air.js');
  const steps = trace({ readings });
  const { lowest_dc, highest_dc, ...free } = sheet;
  return starts.map((start) => [opensAt(sheet, start, steps), closesAt(free, start, steps)]);
}"""


@pytest.fixture(scope="module")
def readings():
    """[[ms, tenths of a degree C, None], ...], one an hour for a year."""
    folder = Path(importlib.util.find_spec("pvlib").origin).parent / "data"
    with (folder / "723170TYA.CSV").open(newline="") as lines:
        next(lines)
        temps = [round(10 * float(row["Dry-bulb (C)"])) for row in csv.DictReader(lines)]
    assert len(temps) == 8760
    return [[BEGINS_MS + at * HOUR_MS, temp, None] for at, temp in enumerate(temps)]


@pytest.fixture(params=["python", pytest.param("javascript", marks=pytest.mark.browser)])
def both_sides(request, readings):
    """When films laid at these moments open and close: [[opens, closes], ...]; and one in how many is asked for."""
    if request.param == "python":
        trace = air.trace({"readings": readings})
        return (lambda sheet, starts: [_in_python(sheet, start, trace) for start in starts]), 1
    page = request.getfixturevalue("core_page")
    return (lambda sheet, starts: page.evaluate(IN_PAGE, [sheet, starts, readings])), 3


@pytest.mark.parametrize("name", SHEETS)
def test_through_a_year_nothing_opens_early_and_nothing_closes_late(both_sides, readings, name):
    ask, every = both_sides
    sheet, starts = SHEETS[name], _starts(name)[::every]
    opening, closing = Year(readings, sheet), Year(readings, _without_limits(sheet))
    late, soon = [], []
    for start, (opens, closes) in zip(starts, ask(sheet, starts), strict=True):
        ready, shut = opening.reached(start), closing.reached(start)
        late.append([(np.inf if opens is None else opens) - ready, ready - start])
        soon.append([shut - closes, shut - start])
    for given in (late, soon):
        inside = np.array([row for row in given if np.isfinite(row).all()])
        assert len(inside) > 0.9 * len(starts), "most films are through before the year ends"
        assert inside[:, 0].min() >= -SLACK_MS
        assert np.median(inside[:, 0] / inside[:, 1]) <= GIVEN_AWAY
    assert min(row[0] for row in soon) >= -SLACK_MS, "one that never shuts in the year is shut by then"


def test_the_reference_itself_finds_the_hours_of_a_steady_year():
    steady = [[BEGINS_MS + at * HOUR_MS, 100, None] for at in range(1000)]
    year = Year(steady, {"points": [[200, 3 * HOUR_MS]]})
    assert year.reached(BEGINS_MS + MINUTE_MS) == pytest.approx(BEGINS_MS + MINUTE_MS + 6 * HOUR_MS, abs=0.01)


class Year:
    """What a film has gained by any moment of the year, by numerical integration of a straight-lined temperature."""

    def __init__(self, readings, sheet):
        self.sheet = sheet
        at, temps = np.array([[at, temp] for at, temp, _ in readings], dtype=float).T
        self.at, self.temps = self._cut(at - BEGINS_MS, temps)
        length, begin, end = np.diff(self.at), self.temps[:-1], self.temps[1:]
        middle = (begin + end) / 2
        gains, _ = quad_vec(
            lambda share: length * self._rate(begin + share * (end - begin), middle), 0, 1, epsrel=1e-13
        )
        self.gained = np.concatenate([[0.0], np.cumsum(gains)])

    def reached(self, start_ms):
        """When a film laid at a moment is through, or infinity when the year ends before."""
        start = start_ms - BEGINS_MS
        wanted = 1 + self._by(start)
        if wanted > self.gained[-1]:
            return np.inf
        piece = int(np.searchsorted(self.gained, wanted)) - 1
        begin = max(start, self.at[piece])
        return BEGINS_MS + brentq(lambda at: self._by(at, piece) - wanted, begin, self.at[piece + 1], xtol=1e-3)

    def _by(self, at, piece=None):
        piece = int(np.searchsorted(self.at, at, side="right")) - 1 if piece is None else piece
        middle = (self.temps[piece] + self.temps[piece + 1]) / 2
        rate = quad(lambda ms: self._rate(np.interp(ms, self.at, self.temps), middle), self.at[piece], at, epsrel=1e-12)
        return self.gained[piece] + rate[0]

    def _cut(self, at, temps):
        """The hours, cut where the temperature crosses a line or a limit of the sheet: smooth in between."""
        edges = [temp for temp, _ in self.sheet["points"]]
        edges += [self.sheet[key] for key in ("lowest_dc", "highest_dc") if key in self.sheet]
        cuts = [at]
        for edge in edges:
            crossed = (temps[:-1] - edge) * (temps[1:] - edge) < 0
            share = (edge - temps[:-1][crossed]) / np.diff(temps)[crossed]
            cuts.append(at[:-1][crossed] + share * np.diff(at)[crossed])
        every = np.unique(np.concatenate(cuts))
        return every, np.interp(every, at, temps)

    def _rate(self, temps, middle):
        """What is gained in a ms at a temperature; `middle` says on which side of the lowest the piece lies."""
        lowest = self.sheet.get("lowest_dc", -np.inf)
        return np.where(middle < lowest, 0, 1 / self._wait(np.minimum(temps, self.sheet.get("highest_dc", np.inf))))

    def _wait(self, temps):
        """The sheet's wait: straight lines in its logarithm, and its doubling step beyond them."""
        points, double = self.sheet["points"], self.sheet.get("double_dc", 100)
        first, last = points[0][0], points[-1][0]
        inside = np.interp(temps, [temp for temp, _ in points], np.log2([wait for _, wait in points]))
        return 2 ** (inside + np.maximum(first - temps, 0) / double - np.maximum(temps - last, 0) / double)


def _in_python(sheet, start, trace):
    return [cure.opens_at(sheet, start, trace), cure.closes_at(_without_limits(sheet), start, trace)]


def _without_limits(sheet):
    """A closing gate has no limits: see cure.closing."""
    return {key: value for key, value in sheet.items() if key not in ("lowest_dc", "highest_dc")}


def _starts(name):
    """Moments all through the year, from a seed; some on the hour, some a ms beside it."""
    rnd = random.Random(name)
    any_time = [rnd.randrange(8759 * HOUR_MS) for _ in range(STARTS - 30)]
    on_the_hour = [rnd.randrange(1, 8759) * HOUR_MS + rnd.choice([-1, 0, 1]) for _ in range(30)]
    return [BEGINS_MS + at for at in any_time + on_the_hour]
