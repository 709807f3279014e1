"""A hundred times the server is killed while four phones post: no acknowledged tap is lost, no number is given twice.

    python -m pytest tests/soak/test_kills_soak.py -q

SANDTIME_SOAK_KILLS    how many times, 100 unless told
SANDTIME_SOAK_LONGEST  seconds that they post at the most before a kill, 0.9 unless told
"""

import os

from tests.timers.log.test_durability import begin, check_file, heard, killed_while_posting, one_shop

KILLS = int(os.environ.get("SANDTIME_SOAK_KILLS") or 100)
LONGEST_S = float(os.environ.get("SANDTIME_SOAK_LONGEST") or 0.9)
POSTERS = 4
shop = one_shop


def test_no_acknowledged_tap_is_lost_in_a_hundred_kills(shop):
    tokens = [begin(shop.address) for _ in range(POSTERS)]
    told = {}
    for seed in range(KILLS):
        fresh = killed_while_posting(shop, tokens, seed, LONGEST_S)
        assert fresh
        told |= fresh
        shop.start()
        check_file(shop.folder / "sandtime.sqlite3", told)
    assert told.keys() <= set(heard(shop.address, tokens[0]))
    print(f"{KILLS} kills, {len(told)} acknowledged taps, all there")
