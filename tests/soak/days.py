"""A hundred thousand bad days of the phone's own scripts, with no browser: in the node that Playwright brings.

    python -m tests.soak.days                     100,000 from seed 1,000,000, in as many processes as there are cores
    python -m tests.soak.days 2000000 5000 1      from which seed, how many, in how many processes

The schedules are those of test_client_soak.py: a seed is the same day in both.  A line for each slice, and at the end
the seeds that failed, with what was wrong; the exit code is 1 where there are any.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import django
import playwright

NODE = Path(playwright.__file__).parent / "driver/node"
SLICE = 250


def main(first: int = 1_000_000, count: int = 100_000, processes: int = os.cpu_count() or 1) -> int:
    with tempfile.TemporaryDirectory() as folder:
        products = written(Path(folder))
        reading, writing = os.pipe()
        given = [NODE, "--max-semi-space-size=64", "slices.js", first, count, SLICE]
        for nth in range(processes):
            subprocess.Popen([*map(str, given), str(nth), str(processes), products], cwd=folder, stdout=writing)
        os.close(writing)
        return told(reading, count)


def written(folder: Path) -> str:
    """The scripts, put into a folder; what the shop of a schedule has on its shelf."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    django.setup()
    from tests.simulated import linked, schedules

    shutil.copytree(linked.FOLDER, folder, dirs_exist_ok=True)
    (folder / "package.json").write_text('{"type": "module"}', encoding="utf-8")
    (folder / "client.js").write_text(linked.text(), encoding="utf-8")
    return json.dumps(schedules.PRODUCTS_USED)


def told(reading: int, count: int) -> int:
    """The lines of all processes until the last one ends; 0 where every schedule was played and none failed."""
    began, done, taps, failed = time.monotonic(), 0, 0, []
    with open(reading, encoding="utf-8") as lines:
        for line in map(json.loads, lines):
            done, taps, failed = done + line["n"], taps + line["taps"], failed + line["failed"]
            rate = done / (time.monotonic() - began)
            print(f"{done} of {count}, {taps} taps, {len(failed)} failed, {rate:.1f} a second", flush=True)
            for one in line["failed"]:
                print(one["seed"], one["why"], flush=True)
    print(f"{done} schedules, failed: {[one['seed'] for one in failed]}")
    return 0 if done == count and not failed else 1


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
