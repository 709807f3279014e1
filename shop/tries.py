"""How often somebody may try to get in: counted by the address, so that one who guesses shuts nobody else out."""

import ipaddress

from . import counting, phrase
from .errors import RateLimited
from .tongues import t

SPAN_MS = 600_000
MOST_WRONG = 20  # codes, links and phrases from one address (of IPv6 a /64) in ten minutes
MOST_WIDE = 60  # from one IPv6 /48, which one customer may have whole
MOST_TYPED = (
    300  # wrong typed codes in ten minutes from everywhere; then each address has one try, and nobody is shut out
)


def spend(kind: str, text: str, address: str, now_ms: int) -> list[str]:
    """Count a try before it is looked at; by which keys."""
    spent = []
    for key, most, words in _limits(kind, text, address):
        if not counting.spend(key, most, SPAN_MS, now_ms):
            raise RateLimited(words)
        spent.append(key)
    if kind == "code":
        spent.append(_spend_typed(address, now_ms))
    return spent


def _limits(kind: str, text: str, address: str) -> list[tuple[str, int, str]]:
    """What a wrong try is counted by: key, how many, what is said when there were more."""
    words = t("Too many wrong codes came from here. Wait ten minutes.")
    limits = [(f"wrong from {address}", MOST_WRONG, words)]
    if _wide(address) != address:
        limits.append((f"wrong from {_wide(address)}", MOST_WIDE, words))
    if kind == "phrase":
        words = t("This phrase was tried too often. Wait ten minutes.")
        limits.append((f"phrase {phrase.name_of(text)}", phrase.MOST_WRONG, words))
    return limits


def _spend_typed(address: str, now_ms: int) -> str:
    """A typed code is counted for the whole host, too; while that has had its most, by one try an address."""
    for key, most in (("typed", MOST_TYPED), (f"typed from {_wide(address)}", 1)):
        if counting.spend(key, most, SPAN_MS, now_ms):
            return key
    raise RateLimited(t("Too many wrong codes are being typed. Scan the picture, or wait ten minutes."))


def _wide(address: str) -> str:
    """Of an IPv6 /64 the /48 around it."""
    return str(ipaddress.ip_network(address).supernet(new_prefix=48)) if ":" in address else address
