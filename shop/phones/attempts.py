"""Limits on wrong codes and phrases, by address, so that somebody who guesses locks nobody else out."""

import ipaddress

from ..base.i18n import t
from ..security import rate_limit
from ..security.errors import RateLimited
from . import recovery_phrase

SPAN_MS = 600_000
MOST_WRONG = 20  # codes, links and phrases from one address (of IPv6 a /64) in ten minutes
MOST_WIDE = 60  # from one IPv6 /48, which one customer may have whole
MOST_TYPED = (
    300  # wrong typed codes in ten minutes from everywhere; then each address has one try, and nobody is shut out
)


def spend(kind: str, text: str, address: str, now_ms: int) -> list[str]:
    """Count a try before it is checked: the rate limit keys it was counted under.  RateLimited when one is used up."""
    spent = []
    for key, most, words in _limits(kind, text, address):
        if not rate_limit.spend(key, most, SPAN_MS, now_ms):
            raise RateLimited(words)
        spent.append(key)
    if kind == "code":
        spent.append(_spend_typed(address, now_ms))
    return spent


def _limits(kind: str, text: str, address: str) -> list[tuple[str, int, str]]:
    """(rate limit key, how many in a window, the text beyond that) of a try."""
    words = t("Too many wrong codes came from here. Wait ten minutes.")
    limits = [(f"wrong from {address}", MOST_WRONG, words)]
    if _network_48(address) != address:
        limits.append((f"wrong from {_network_48(address)}", MOST_WIDE, words))
    if kind == "phrase":
        words = t("This phrase was tried too often. Wait ten minutes.")
        limits.append((f"phrase {recovery_phrase.name_of(text)}", recovery_phrase.MOST_WRONG, words))
    return limits


def _spend_typed(address: str, now_ms: int) -> str:
    """Typed codes are also limited for the whole host; beyond that limit each address still has one try."""
    for key, most in (("typed", MOST_TYPED), (f"typed from {_network_48(address)}", 1)):
        if rate_limit.spend(key, most, SPAN_MS, now_ms):
            return key
    raise RateLimited(t("Too many wrong codes are being typed. Scan the picture, or wait ten minutes."))


def _network_48(address: str) -> str:
    """Of an IPv6 /64 the /48 around it."""
    return str(ipaddress.ip_network(address).supernet(new_prefix=48)) if ":" in address else address
