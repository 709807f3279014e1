"""How much of the server one phone, and one shop, may take: seconds of its work, as a token bucket.

Each request of a phone takes what it cost, ANSWER_S at the least.  A phone may take a whole backlog at once; after that
it waits for its share to come back.  Kept in memory: each process counts for itself, and a restart forgives.
"""

import threading
import time
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager

from django.conf import settings

ANSWER_S = 0.005
OF_A_SHOP = 4  # phones that a shop counts for
MOST_KEYS = 20_000

_held: OrderedDict[str, tuple[float, float]] = OrderedDict()  # key -> seconds left, at this moment
_lock = threading.Lock()


class TooFast(Exception):
    """What a phone or its shop may take is used up; `wait_s` until there is some again."""

    def __init__(self, wait_s: int):
        super().__init__(wait_s)
        self.wait_s = wait_s


@contextmanager
def spent(phone: str, shop: str) -> Iterator[None]:
    """Work for a phone; TooFast, and nothing done, where it or its shop has none left."""
    keys = {f"phone {phone}": 1, f"shop {shop}": OF_A_SHOP}
    if settings.SYNC_SECONDS:
        _ask(keys, time.monotonic())
    began = time.thread_time()
    try:
        yield
    finally:
        if settings.SYNC_SECONDS:
            _take(keys, max(ANSWER_S, time.thread_time() - began), time.monotonic())


def forget() -> None:
    _held.clear()


def _ask(keys: dict[str, int], now_s: float) -> None:
    with _lock:
        short = min(_left(key, times, now_s) / times for key, times in keys.items())
    if short <= 0:
        raise TooFast(1 + int(-short / settings.SYNC_SHARE))


def _take(keys: dict[str, int], cost_s: float, now_s: float) -> None:
    with _lock:
        for key, times in keys.items():
            _held[key] = (_left(key, times, now_s) - cost_s, now_s)
            _held.move_to_end(key)
        while len(_held) > MOST_KEYS:
            _held.popitem(last=False)


def _left(key: str, times: int, now_s: float) -> float:
    """Seconds that are left under a key; what is not known is whole."""
    whole = settings.SYNC_SECONDS * times
    left, at_s = _held.get(key, (whole, now_s))
    return min(whole, left + (now_s - at_s) * settings.SYNC_SHARE * times)
