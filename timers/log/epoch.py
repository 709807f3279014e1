"""Detects that the database was rolled back behind a phone, and then starts a new epoch of the shop.

A database can be restored without Sandtime knowing: from a file copy, a machine snapshot, a point in time, a replica
that lagged.  Sequence numbers are then handed out a second time, so a cursor alone proves nothing.  A phone therefore
also names the act that it heard at its cursor.  If another act has that number now, or the shop has not reached it,
the shop gets a new epoch, the name of its numbering, and every phone sends again what it holds
(static/js/sync/resend.js).
On the wire the epoch is called "memory".
"""

import uuid
from typing import NamedTuple

from shop.security.rate_limit import spend

from ..core.acts.envelope import is_id
from . import queries

SPAN_MS = 10 * 60_000
MOST = 5  # new epochs that one phone may cause in a span: one that names wrong ids moves the others no oftener


class Heard(NamedTuple):
    """How far a phone has heard, and what proves that the server still counts as it did then.

    `cursor` is the last sequence that it heard, 0 for none; `epoch` the one that the cursor belongs to, "" to trust the
    cursor; `act` the id of the act at the cursor, "" where the last answer named none.
    """

    cursor: int = 0
    epoch: str = ""
    act: str = ""


def checked(
    shop_id: uuid.UUID, stand: queries.Stand, heard: Heard, before: int, phone_id: str, now_ms: int
) -> queries.Stand:
    """Where the shop stands, with a new epoch if the server no longer knows what the phone (or "") has heard.  `before`
    is the sequence that the shop had when the request came.

    A phone that caused MOST new epochs in SPAN_MS gets one that is nobody else's: only that phone sends again what it
    holds, and with its next request it comes to the shop's own.  So does one of a shop with no act of its own, because
    the epoch of such a shop follows from what it begins with.
    """
    if not _lost(stand, heard, before):
        return stand
    if not stand.begun and spend(f"memory {phone_id or shop_id}", MOST, SPAN_MS, now_ms):
        return stand._replace(epoch=queries.new_epoch(shop_id, stand.epoch))
    return stand._replace(epoch=str(uuid.uuid4()))


def _lost(stand: queries.Stand, heard: Heard, before: int) -> bool:
    """Whether the server lost what the phone heard.  If the act at the cursor was archived since, nothing can be
    said."""
    if heard.epoch != stand.epoch or not is_id(heard.act):
        return False
    return heard.cursor > before or stand.at_cursor not in ("", heard.act)
