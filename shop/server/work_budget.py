"""A token bucket for each phone and each shop, in seconds of the server's CPU time.

Each request of a phone costs its CPU time, at least ANSWER_S.  A phone may spend a full bucket on a backlog; after that
it waits for the refill.  A shop that has used more than EASY_S recently is served one request at a time, so that its
phones cannot occupy all threads.  Kept in memory: each process counts for itself, and a restart resets it.
"""

import threading
import time
from collections import Counter, OrderedDict
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager

from django.conf import settings

from ..base.i18n import t
from ..models import Phone, Shop
from ..security.errors import RateLimited

ANSWER_S = 0.005
OF_A_SHOP = 4  # a shop's bucket in those of a phone
EASY_S = 3.0
PACKED_A_S = 100_000_000  # bytes of an answer compressed in a second, about; that happens after the view
MOST_KEYS = 20_000

_budgets: OrderedDict[str, tuple[float, float]] = OrderedDict()  # key -> seconds left, at this moment
_running: Counter[str] = Counter()  # requests of each shop
_lock = threading.Lock()


class WorkLimit(RateLimited):
    """What a phone or its shop may take is used up; there is some again after `wait_s` seconds."""

    def __init__(self, wait_s: int, phone: Phone | None):
        words = t("This phone asks too much at once. It goes on by itself.")
        super().__init__(words, phone, cause="too-fast", retry_after_s=wait_s)


def metered(phone: Phone) -> AbstractContextManager[Counter]:
    """Meter work for a phone; WorkLimit before any work where its bucket or its shop's is empty.  The caller sets
    `bytes`, the size of the answer."""
    return _metered(f"phone {phone.pk}", str(phone.shop_id), phone)


def metered_programs(shop: Shop) -> AbstractContextManager[Counter]:
    """The same for all programs that read a shop, which share one bucket as large as a phone's."""
    return _metered(f"programs of {shop.pk}", str(shop.pk), None)


@contextmanager
def _metered(key: str, shop: str, phone: Phone | None) -> Iterator[Counter]:
    answer: Counter = Counter(bytes=0)
    if not settings.SYNC_SECONDS:
        yield answer
        return
    keys = {key: 1, f"shop {shop}": OF_A_SHOP}
    if wait_s := _begin(keys, shop, time.monotonic()):
        raise WorkLimit(wait_s, phone)
    started_s = time.thread_time()
    try:
        yield answer
    finally:
        cost_s = time.thread_time() - started_s + answer["bytes"] / PACKED_A_S
        _end(keys, shop, max(ANSWER_S, cost_s), time.monotonic())


def reset() -> None:
    _budgets.clear()


def _begin(keys: dict[str, int], shop: str, now_s: float) -> int:
    """Seconds to wait; 0 where the work may start, which counts it as running."""
    with _lock:
        short = min(_left(key, times, now_s) / times for key, times in keys.items())
        if short <= 0:
            return 1 + int(-short / settings.SYNC_SHARE)
        easy = _left(f"shop {shop}", OF_A_SHOP, now_s) > settings.SYNC_SECONDS * OF_A_SHOP - EASY_S
        if _running[shop] and not easy:
            return 1
        _running[shop] += 1
        return 0


def _end(keys: dict[str, int], shop: str, cost_s: float, now_s: float) -> None:
    with _lock:
        _running[shop] -= 1
        if not _running[shop]:
            del _running[shop]
        for key, times in keys.items():
            _budgets[key] = (_left(key, times, now_s) - cost_s, now_s)
            _budgets.move_to_end(key)
        while len(_budgets) > MOST_KEYS:
            _budgets.popitem(last=False)


def _left(key: str, times: int, now_s: float) -> float:
    """Seconds left in a bucket; an unknown one is full."""
    whole = settings.SYNC_SECONDS * times
    left, at_s = _budgets.get(key, (whole, now_s))
    return min(whole, left + (now_s - at_s) * settings.SYNC_SHARE * times)
