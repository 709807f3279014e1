"""A plugin that writes what each test cost in CPU seconds, with the browser and the servers that it made work.

`CPU_LOG=file .venv/bin/python -m pytest -p tests.support.cpu ...`: one JSON line a test, seconds by kind of process.
"""

import collections
import json
import os
from pathlib import Path

import pytest

TICKS = os.sysconf("SC_CLK_TCK")
KINDS = ("tests", "driver", "browser", "page", "server", "other")


def now() -> collections.Counter:
    """CPU seconds so far by kind of process: of this one and of all below it, those that ended included."""
    parents, seconds = {}, {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text().rpartition(") ")[2].split()
        except OSError:
            continue  # it has ended meanwhile
        pid = int(stat.parent.name)
        parents[pid] = int(fields[1])
        seconds[pid] = sum(map(int, fields[11:15])) / TICKS
    spent = collections.Counter(dict.fromkeys(KINDS, 0.0))
    for pid in seconds:
        if _below(pid, parents):
            spent[_kind(pid)] += seconds[pid]
    return spent


def _below(pid: int, parents: dict[int, int]) -> bool:
    while pid and pid != os.getpid():
        pid = parents.get(pid, 0)
    return bool(pid)


def _kind(pid: int) -> str:
    if pid == os.getpid():
        return "tests"
    try:
        command = Path(f"/proc/{pid}/cmdline").read_bytes().decode(errors="replace").replace("\0", " ")
    except OSError:
        return "other"
    if "chromium" in command or not command:  # without a command: a page that has just ended
        return "page" if not command or "--type=renderer" in command or "--type=zygote" in command else "browser"
    if "manage.py" in command:
        return "server"
    return "driver" if "playwright" in command else "other"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item, nextitem):
    before = now()
    result = yield
    after = now()
    spent = {
        kind: max(0.0, after[kind] - before[kind]) for kind in KINDS
    }  # a browser that ends counts as the tests' own
    with Path(os.environ["CPU_LOG"]).open("a") as log:
        print(json.dumps({"test": item.nodeid, **spent}), file=log)
    return result
