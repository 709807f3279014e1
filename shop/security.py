"""What a host watches over: who came in, whose role changed, what was refused and where it came from.

Lines of the logger `sandtime.security`; a word for what happened, then from=ADDRESS shop=ID phone=ID and the like.  No
line holds a token, a code, a phrase, a name or a push address: ids and counts only.
"""

import logging
import threading
import time

from .models import Phone

NAME = "sandtime.security"
QUIET_S = 60  # one cause from one address is said once in this time, then how often it came meanwhile
MOST_HELD = 10_000  # addresses and causes; beyond that, by cause alone

logger = logging.getLogger(NAME)
_lock = threading.Lock()
_held: dict[tuple[str, str], list] = {}  # (cause, address) -> [since when, how often since], the oldest first


def told(what: str, address: str = "", phone: Phone | None = None, **more: object) -> None:
    """Something was done: a phone came in, a role was changed, a phrase was made."""
    _say(logging.INFO, what, address, phone, more)


def refused(cause: str, address: str, phone: Phone | None = None, **more: object) -> None:
    """Something was refused, and why, in one word with hyphens."""
    with _lock:
        over, first = _counted(cause, address, time.monotonic())
    for (what, where), times in over:
        _say(logging.WARNING, f"refused {what}", where, None, {"times": times})
    if first:
        _say(logging.WARNING, f"refused {cause}", address, phone, more)


def forget_counts() -> None:
    """As after a start."""
    with _lock:
        _held.clear()


def _counted(cause: str, address: str, now_s: float) -> tuple[list, bool]:
    """Count a refusal: what came again in a time that is over, and whether this one is the first of its time."""
    over = []
    while _held and now_s - next(iter(_held.values()))[0] > QUIET_S:
        key = next(iter(_held))
        times = _held.pop(key)[1]
        over += [(key, times)] if times else []
    key = (cause, address)
    if key not in _held and len(_held) >= MOST_HELD:
        key = (cause, "many")
    first = key not in _held
    held = _held.setdefault(key, [now_s, 0])
    held[1] += not first
    return over, first


def _say(level: int, what: str, address: str, phone: Phone | None, more: dict) -> None:
    said = {"from": address} if address else {}
    if phone is not None:
        said |= {"shop": str(phone.shop_id), "phone": str(phone.pk)}
    said |= {name: str(value) for name, value in more.items()}
    words = " ".join([what, *(f"{name}={value}" for name, value in said.items())])
    logger.log(level, words, extra={"told": {"what": what, **said}})
