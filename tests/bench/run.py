"""Benchmarks of Sandtime, each beside a bare ceiling measured in the same run.

    python tests/bench/run.py              all of them, within ten minutes where nothing else runs; one table at the end
    python tests/bench/run.py cold_start   only that one

Each starts servers and browsers of its own on temporary folders.  Nothing here fails for being slow: the table is to
be read.  Figures of one machine mean little; ratios carry over.
"""

import importlib
import os
import platform
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))
sys.path = [path for path in sys.path if Path(path or ".").resolve() != Path(__file__).resolve().parent]

NAMES = [
    "cold_start",
    "tap_to_paint",
    "first_visit",
    "sync_rate",
    "strips_cpu",
    "readings",
    "live",
    "shops",
    "bridge",
    "lighthouse",
]


def main(wanted: list[str]) -> None:
    unknown = [name for name in wanted if name not in NAMES]
    if unknown:
        sys.exit(f"No benchmark {', '.join(unknown)}. There are: {', '.join(NAMES)}")
    print(f"Python {platform.python_version()}, {os.cpu_count()} cores", flush=True)
    began, lines = time.monotonic(), [("", "Sandtime", "bare", "ratio", "aim", "")]
    for name in wanted or NAMES:
        lines += _measured(importlib.import_module(f"tests.bench.{name}"), name)
    _table(lines)
    print(f"In all {time.monotonic() - began:.0f} s")


def _measured(bench, name: str) -> list[tuple]:
    """The lines of one benchmark, with its name and what it took above them; one that fails says so in its place."""
    began, load = time.monotonic(), os.getloadavg()[0]
    try:
        lines = [_line(row) for row in bench.measure()]
    except Exception as why:  # the others are still to be read
        lines = [(f"  failed: {why}"[:80], "", "", "", "", "")]
    took = f"{time.monotonic() - began:.0f} s, load before {load:.1f}"
    print(f"{name}: {took}", flush=True)
    return [(f"{name} ({took}): {bench.__doc__.strip().splitlines()[0]}"[:100], "", "", "", "", ""), *lines]


def _line(row) -> tuple:
    met = "" if row.met is None else "met" if row.met else "missed"
    bare, ratio = (f"{row.bare:.4g}" if row.bare else "", f"{row.ratio:.2f}" if row.ratio else "")
    return (f"  {row.what}", f"{row.ours:.4g} {row.unit}", bare, ratio, row.aim, met)


def _table(lines: list[tuple]) -> None:
    wide = [max(len(line[at]) for line in lines if at or line[1]) for at in range(6)]
    for line in lines:
        cells = [
            line[0].ljust(wide[0]),
            *(line[at].rjust(wide[at]) for at in (1, 2, 3)),
            line[4].ljust(wide[4]),
            line[5],
        ]
        print("  ".join(cells).rstrip(), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
