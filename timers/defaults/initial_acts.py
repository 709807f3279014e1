"""The default products and routes of a shop, while its log does not hold them.

So a shop that nobody uses costs one row for itself and one for its phone.  The defaults are sent to the phone as if
they were in the log, and are written there with the first act that is kept.  They are deterministic: every process
sends the same acts with the same ids and sequences.  A release with other defaults has another epoch, so that phones
are sent them anew.
"""

import hashlib
import json
import uuid
from functools import cache
from typing import NamedTuple

from django.conf import settings
from django.utils import translation

from ..core.acts.envelope import new_id
from ..core.fold import shelf
from . import products, routes


class Beginning(NamedTuple):
    """How a shop began: in which language, and when."""

    tongue: str
    made_ms: int


def count() -> int:
    """How many sequences the defaults take up: 1 to this."""
    return len(products.PRODUCTS) + len(routes.ROUTES)


def acts(shop_id: uuid.UUID, begun: Beginning) -> list[tuple[int, dict]]:
    """The acts that a shop begins with, as (seq, act)."""
    docs, _ = _defaults(begun.tongue)
    return [
        (seq, {"id": _id(shop_id, on, begun.made_ms), "at": begun.made_ms, "on": on, "kind": kind, "doc": doc})
        for seq, (on, kind, doc) in enumerate(docs, 1)
    ]


def things(shop_id: uuid.UUID, begun: Beginning) -> list[tuple[str, int, dict, list]]:
    """The same as folded things, in the form of `log.Kept.things`: (thing, seq, state, [(seq, act)])."""
    return [(act["on"], seq, shelf.fold([act]), [(seq, act)]) for seq, act in acts(shop_id, begun)]


def epoch(kept: uuid.UUID, begun: Beginning) -> uuid.UUID:
    """The epoch of a shop while its log is empty: other default products or routes, another epoch."""
    return uuid.uuid5(kept, _defaults(begun.tongue)[1])


def docs(tongue: str) -> list[tuple[str, str, dict]]:
    """The default products and routes in a language, as (thing, kind of act, doc)."""
    return _defaults(tongue)[0]


def tongues() -> list[str]:
    """The languages that defaults are written in, the host's own first."""
    own = settings.LANGUAGE_CODE
    return sorted((code for code, _ in settings.LANGUAGES), key=lambda code: (code != own, code))


def mark(shop_id: uuid.UUID, on: str) -> bytes:
    """What the id of the act that a shop began a thing with ends with."""
    return hashlib.sha256(shop_id.bytes + on.encode()).digest()[:10]


@cache
def _defaults(tongue: str) -> tuple[list, str]:
    """The defaults in a language as (thing, kind, doc), and a digest of them all."""
    with translation.override(tongue):
        docs = [("product", "sheet_written", products.translated(doc)) for doc in products.PRODUCTS]
        docs += [("route", "route_written", routes.translated(doc)) for doc in routes.ROUTES]
    named = [(f"{what}:{doc['id']}", kind, doc) for what, kind, doc in docs]
    return named, hashlib.sha256(json.dumps(named, sort_keys=True).encode()).hexdigest()


def _id(shop_id: uuid.UUID, on: str, made_ms: int) -> str:
    """An id from the shop and the thing but not the text.  So a phone that holds a sheet of an older release does not
    take it for lost when a later release words it anew."""
    return new_id(made_ms, mark(shop_id, on))
