"""What one more reading costs a shop whose thermometer has read every minute, by the length of that time.

A gauge that swings by 10 C a day and trembles by 0.1 C reads every minute by the rules of the door; then the median
of 60 readings that are kept is measured, in this process, on a database on the disk, and the fragment that each phone
then gets.  Bare is the same with one day behind it; of the fragments, their bytes with gzip.
"""

import gzip
import json
import math
import os
import statistics
import tempfile
import time
from pathlib import Path

from timers.log.epoch import Heard

from .rig import Row

DAY_MIN = 1440
SPANS = {"a day": 1, "two weeks": 14, "a quarter": 91, "a year": 365}
BEGAN_MS = 1_767_225_600_000


def measure() -> list[Row]:
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {"SANDTIME_DATA": folder, "DJANGO_SETTINGS_MODULE": "shop.settings"}
        Path(folder).mkdir(exist_ok=True)
        return _measured()


def _measured() -> list[Row]:
    import django

    django.setup()
    from django.core.management import call_command

    from shop.security import access
    from timers.log import reader

    call_command("migrate", verbosity=0)
    shop = access.new_shop("Bench", "UTC", BEGAN_MS)
    meter, _ = access.new_device(shop.thermometers, "Bench", BEGAN_MS)
    rows, minute, last, bare = [], 0, None, None
    for name, days in SPANS.items():
        last = _passed(shop, minute, days * DAY_MIN, last)
        minute = days * DAY_MIN + 61 * 5
        took = statistics.median(_timed(meter, days * DAY_MIN + nth * 5) for nth in range(1, 61))
        fragments = reader.changed(shop, Heard(), BEGAN_MS)["fragments"]
        air = next(one for one in fragments if one["on"] == "air")
        bare = bare or took
        rows.append(Row(f"one reading after {name}", 1000 * took, "ms", 1000 * bare))
        rows.append(Row(f"acts sent after {name}", len(air["acts"]), "acts"))
        said = json.dumps(air).encode()
        rows.append(Row(f"fragment after {name}", len(said) / 1024, "KiB", len(gzip.compress(said)) / 1024))
    return rows


def _passed(shop, begin: int, end: int, last: list | None) -> list | None:
    """Minutes that pass, each with a reading through the rules of the door; written 200 at once."""
    from timers.core.acts.envelope import new_id
    from timers.log import readings, writer

    acts = []
    for minute in range(begin, end):
        read = readings._parsed(_said(minute), BEGAN_MS + 60_000 * minute)
        if not readings._needless(read, last):
            acts.append({"id": new_id(read["at"], os.urandom(10)), "on": "air", "kind": "air_read", **read})
            last = [read["at"], read["temp_dc"], read["rh_pm"]]
        if len(acts) == 200 or (acts and minute == end - 1):
            writer.append(shop.pk, None, acts, BEGAN_MS + 60_000 * minute)
            acts = []
    return last


def _said(minute: int) -> dict:
    temp = 15 + 5 * math.sin(2 * math.pi * minute / DAY_MIN) + 0.1 * (minute % 3)
    return {"temp_c": temp, "humidity_percent": 50 + 10 * math.cos(2 * math.pi * minute / DAY_MIN)}


def _timed(meter, minute: int) -> float:
    """Seconds that a reading takes which is kept: far from the last one."""
    from timers.log import readings

    said = {**_said(minute), "humidity_percent": 30 + 40 * (minute // 5 % 2)}
    begun = time.perf_counter()
    assert readings.take(meter, said, BEGAN_MS + 60_000 * minute)["kept"]
    return time.perf_counter() - begun
