"""Programs of their own on the database that DATABASE_URL names: writers of one shop, and ringers.

python -m tests.support.at_postgres write SHOP SECONDS SEED      acts on a few things; prints what was acknowledged
python -m tests.support.at_postgres ring NOW_MS                  rings until nothing is due; prints what it told
"""

import collections
import contextlib
import json
import os
import random
import subprocess
import sys
import tempfile
import time

from tests.conftest import ROOT

THINGS = 30
AT_LEAST = 20


def started(address: str, *words: str) -> subprocess.Popen:
    """One of these programs on a database."""
    env = {**os.environ, "DATABASE_URL": address}
    command = [sys.executable, "-m", "tests.support.at_postgres", *words]
    output = tempfile.TemporaryFile("w+")  # noqa: SIM115 (closed by `ended`)
    program = subprocess.Popen(command, cwd=ROOT, env=env, stdout=output)
    program.output = output  # a file, not a pipe: a program that says much need not wait until someone reads
    return program


def ended(one: subprocess.Popen, within_s: float):
    """What a program printed."""
    assert one.wait(timeout=within_s) == 0
    one.output.seek(0)
    with one.output:
        return json.load(one.output)


def write(shop: str, seconds: str, seed: str) -> dict:
    """Acts in small batches as fast as they go, on things that all writers share; id -> number."""
    from django.db import OperationalError

    from timers.core.acts.envelope import new_id
    from timers.log import writer
    from timers.web.pages import now_ms

    rnd, seqs = random.Random(int(seed)), {}
    end = time.monotonic() + float(seconds)
    while time.monotonic() < end or len(seqs) < AT_LEAST:
        acts = []
        for _ in range(rnd.randint(1, 3)):
            on = f"panel:0199d7a0-0000-7000-8000-{rnd.randrange(THINGS):012d}"
            act = {"id": new_id(now_ms(), rnd.randbytes(10)), "at": now_ms(), "on": on}
            acts.append({**act, "kind": "panel_named", "name": f"Door {seed}", "job": ""})
        with contextlib.suppress(OperationalError):  # a restore took the tables away: a phone would send it again
            seqs |= {one["id"]: one["seq"] for one in writer.append(shop, None, acts, now_ms())}
    return seqs


def ring(now_ms: str) -> dict:
    """Rings as a ringer does, with the sending left out: how often each ring was told to each phone."""
    from shop.push import webpush
    from timers.alarm import ringer, scan
    from timers.models import Delivery

    counts: collections.Counter = collections.Counter()

    def taken(to, payload, *more):
        counts[f"{to.endpoint} {payload['tag']}"] += 1
        return webpush.Answer(webpush.SENT)

    webpush.send, moment = taken, int(now_ms)
    mine = ringer.Ringer(lambda: moment)
    while scan.due(moment).exists() or Delivery.objects.exists():
        mine.turn()
        mine.settle()
    return counts


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    import django

    django.setup()
    print(json.dumps({"write": write, "ring": ring}[sys.argv[1]](*sys.argv[2:])))
