"""The shelf and routes that a shop begins with, while its log does not hold them.

A shop that nobody uses costs a row for itself and one for its phone.  What it begins with is told to the phone as if it
stood in the log, and is written there with the first act that is kept.  Nothing here is by chance: each answer of any
process tells the same acts under the same numbers.  A release that begins with another shelf has another epoch, so
that phones are told it anew.
"""

import hashlib
import json
import uuid
from functools import cache
from typing import NamedTuple

from django.utils import translation

from . import typical, ways
from .core import shelf
from .core.acts import new_id


class Beginning(NamedTuple):
    """How a shop began: in which tongue, and when."""

    tongue: str
    made_ms: int


def count() -> int:
    """How many numbers the shelf and routes take up: from 1 to this."""
    return len(typical.PRODUCTS) + len(ways.ROUTES)


def acts(shop_id: uuid.UUID, begun: Beginning) -> list[tuple[int, dict]]:
    """(seq, act) of all that a shop begins with."""
    docs, _ = _drawn(begun.tongue)
    return [
        (seq, {"id": _id(shop_id, on, begun.made_ms), "at": begun.made_ms, "on": on, "kind": kind, "doc": doc})
        for seq, (on, kind, doc) in enumerate(docs, 1)
    ]


def things(shop_id: uuid.UUID, begun: Beginning) -> list[tuple[str, int, dict, list]]:
    """The same as things, as the log tells them: (thing, seq, state, [(seq, act)])."""
    return [(act["on"], seq, shelf.fold([act]), [(seq, act)]) for seq, act in acts(shop_id, begun)]


def epoch(kept: uuid.UUID, begun: Beginning) -> uuid.UUID:
    """The epoch of a shop while its log is empty: other default products or routes, another epoch."""
    return uuid.uuid5(kept, _drawn(begun.tongue)[1])


@cache
def _drawn(tongue: str) -> tuple[list, str]:
    """(thing, kind, doc) in a tongue, and a digest of them."""
    with translation.override(tongue):
        docs = [("product", "sheet_written", typical.told(doc)) for doc in typical.PRODUCTS]
        docs += [("route", "route_written", ways.told(doc)) for doc in ways.ROUTES]
    named = [(f"{what}:{doc['id']}", kind, doc) for what, kind, doc in docs]
    return named, hashlib.sha256(json.dumps(named, sort_keys=True).encode()).hexdigest()


def _id(shop_id: uuid.UUID, on: str, made_ms: int) -> str:
    """By the shop and the thing, not by what is written: of a sheet that a later release words anew, a phone that holds
    the older one must not believe that the server lost it."""
    return new_id(made_ms, hashlib.sha256(shop_id.bytes + on.encode()).digest()[:10])
