"""How much of the server one phone, and one shop, may take: seconds of its work, as a token bucket.

Each request of a phone takes what it cost, ANSWER_S at the least.  A phone may take a whole backlog at once; after that
it waits for its share to come back.  A shop that has taken more than EASY_S of late has one request worked on at a
time, or its phones would be most of those that work at once.  Kept in memory: each process counts for itself, and a
restart forgives.
"""

import threading
import time
from collections import Counter, OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager

from django.conf import settings

from .errors import RateLimited
from .models import Phone
from .tongues import t

ANSWER_S = 0.005
OF_A_SHOP = 4  # phones that a shop counts for
EASY_S = 3.0
PACKED_A_S = 100_000_000  # bytes of an answer that are packed in a second, about; that is done later
MOST_KEYS = 20_000

_held: OrderedDict[str, tuple[float, float]] = OrderedDict()  # key -> seconds left, at this moment
_working: Counter[str] = Counter()  # requests of each shop
_lock = threading.Lock()


class WorkLimit(RateLimited):
    """What a phone or its shop may take is used up; there is some again after `wait_s` seconds."""

    def __init__(self, wait_s: int, phone: Phone):
        words = t("This phone asks too much at once. It goes on by itself.")
        super().__init__(words, phone, cause="too-fast", retry_after_s=wait_s)


@contextmanager
def spent(phone: Phone) -> Iterator[Counter]:
    """Work for a phone; WorkLimit, and nothing done, where it or its shop has none left.  `bytes` counts those of the
    answer."""
    answer: Counter = Counter(bytes=0)
    if not settings.SYNC_SECONDS:
        yield answer
        return
    shop = str(phone.shop_id)
    keys = {f"phone {phone.pk}": 1, f"shop {shop}": OF_A_SHOP}
    if wait_s := _begin(keys, shop, time.monotonic()):
        raise WorkLimit(wait_s, phone)
    began = time.thread_time()
    try:
        yield answer
    finally:
        cost_s = time.thread_time() - began + answer["bytes"] / PACKED_A_S
        _end(keys, shop, max(ANSWER_S, cost_s), time.monotonic())


def forget() -> None:
    _held.clear()


def _begin(keys: dict[str, int], shop: str, now_s: float) -> int:
    """Seconds to wait; 0 where the work may begin, which is counted then."""
    with _lock:
        short = min(_left(key, times, now_s) / times for key, times in keys.items())
        if short <= 0:
            return 1 + int(-short / settings.SYNC_SHARE)
        easy = _left(f"shop {shop}", OF_A_SHOP, now_s) > settings.SYNC_SECONDS * OF_A_SHOP - EASY_S
        if _working[shop] and not easy:
            return 1
        _working[shop] += 1
        return 0


def _end(keys: dict[str, int], shop: str, cost_s: float, now_s: float) -> None:
    with _lock:
        _working[shop] -= 1
        if not _working[shop]:
            del _working[shop]
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
