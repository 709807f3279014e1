"""Ten times the database is put back by a copied file while phones tap: what was acknowledged comes back from them.

    python -m pytest tests/soak/test_put_back_soak.py -q -s

SANDTIME_SOAK_RESTORES  how many times, 10 unless told
"""

import os
import random

from tests.browser.conftest import Server
from tests.support.by_file import Wired, copied, put_back
from tests.timers.log.test_durability import check_file

RESTORES = int(os.environ.get("SANDTIME_SOAK_RESTORES") or 10)
PHONES = 4


def test_no_acknowledged_tap_is_lost_in_ten_restores_by_file(tmp_path):
    server = Server(tmp_path / "data", "--one-shop").start()
    try:
        phones = [Wired(server.address) for _ in range(PHONES)]
        for turn in range(RESTORES):
            rnd = random.Random(turn)
            copied(server, tmp_path / "kept")
            taps_of(rnd, phones, 12)
            put_back(server, tmp_path / "kept")
            taps_of(rnd, phones, rnd.choice([0, 6, 20]))  # some come back at once, some past the old cursors
            meet(phones)
            told = set().union(*(phone.acknowledged for phone in phones))
            for phone in phones:
                assert told <= phone.knows()
                assert (phone.unsent(), phone.refused()) == ([], [])
            check_file(server.folder / "sandtime.sqlite3", {})
        print(f"{RESTORES} restores by file, {len(told)} acknowledged taps, all there")
    finally:
        server.stop()


def taps_of(rnd: random.Random, phones: list[Wired], count: int) -> None:
    for _ in range(count):
        rnd.choice(phones).taps(rnd.randint(1, 3))


def meet(phones: list[Wired]) -> None:
    """Each asks twice: the second time it hears what the others told again."""
    for phone in phones * 2:
        phone.asks()
