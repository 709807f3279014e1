"""The security log: who joined, whose role changed, what was refused and from which address.

Logger `sandtime.security`: a word for the event, then from=ADDRESS shop=ID phone=ID and the like.  No line contains a
token, code, phrase, name or push address: ids and counts only.
"""

import logging
import threading
import time

from ..models import Phone

NAME = "sandtime.security"
QUIET_S = 60  # one cause from one address is logged once in this time, then how often it was repeated
MOST_WINDOWS = 10_000  # of address and cause; beyond that, by cause alone

logger = logging.getLogger(NAME)
_lock = threading.Lock()
_windows: dict[tuple[str, str], list] = {}  # (cause, address) -> [since when, how often since], the oldest first


def event(what: str, address: str = "", phone: Phone | None = None, **more: object) -> None:
    """Log that something was done: a phone joined, a role changed, a phrase was made."""
    _log(logging.INFO, what, address, phone, more)


def refusal(cause: str, address: str, phone: Phone | None = None, **more: object) -> None:
    """Log a refusal by its cause, a word with hyphens."""
    with _lock:
        expired, first = _count(cause, address, time.monotonic())
    for (what, where), times in expired:
        _log(logging.WARNING, f"refused {what}", where, None, {"times": times})
    if first:
        _log(logging.WARNING, f"refused {cause}", address, phone, more)


def reset() -> None:
    """Forget all counts, as after a start."""
    with _lock:
        _windows.clear()


def _count(cause: str, address: str, now_s: float) -> tuple[list, bool]:
    """Count a refusal: (repeated causes of windows that have ended, whether it is the first of its window)."""
    expired = []
    while _windows and now_s - next(iter(_windows.values()))[0] > QUIET_S:
        key = next(iter(_windows))
        times = _windows.pop(key)[1]
        expired += [(key, times)] if times else []
    key = (cause, address)
    if key not in _windows and len(_windows) >= MOST_WINDOWS:
        key = (cause, "many")
    first = key not in _windows
    window = _windows.setdefault(key, [now_s, 0])
    window[1] += not first
    return expired, first


def _log(level: int, what: str, address: str, phone: Phone | None, more: dict) -> None:
    fields = {"from": address} if address else {}
    if phone is not None:
        fields |= {"shop": str(phone.shop_id), "phone": str(phone.pk)}
    fields |= {name: str(value) for name, value in more.items()}
    words = " ".join([what, *(f"{name}={value}" for name, value in fields.items())])
    logger.log(level, words, extra={"parts": {"what": what, **fields}})
