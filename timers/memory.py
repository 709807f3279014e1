"""Whether the server still knows what a phone has heard from it.

A database can be put back by roads that tell Sandtime nothing: a file or a machine from a snapshot, a point in time, a
replica that was behind.  Its numbers are then given out again, so a cursor alone proves nothing.  So a phone says
which act it heard at its cursor.  Where another stands there, or the shop has not come so far, the shop gets a new
epoch, and every phone tells what it holds (static/js/recount.js).
"""

import uuid
from typing import NamedTuple

from shop.counting import spend

from . import rows
from .core.acts import is_id

SPAN_MS = 10 * 60_000
MOST = 5  # new epochs that one phone may cause in a span: one that says wrong ids moves the others no oftener


class Heard(NamedTuple):
    """What a phone has heard: its id, its cursor, the epoch that the cursor belongs to, the id of the act there."""

    phone: str
    cursor: int
    epoch: str
    act: str


def checked(shop_id: uuid.UUID, stand: rows.Stand, heard: Heard, now_ms: int) -> rows.Stand:
    """Where the shop stands, with a new epoch when it does not know any more what the phone has heard.

    A phone that caused too many is told one that is no one's: it alone tells what it holds, and comes to the shop's own
    with its next question.  So is one of a shop that stands as it began, whose epoch follows from what it begins with.
    """
    if not _lost(stand, heard):
        return stand
    if not stand.begun and spend(f"memory {heard.phone or shop_id}", MOST, SPAN_MS, now_ms):
        return stand._replace(epoch=rows.new_epoch(shop_id, stand.epoch))
    return stand._replace(epoch=str(uuid.uuid4()))


def _lost(stand: rows.Stand, heard: Heard) -> bool:
    """Whether the act is another; of an act that was forgotten since (none is there) nothing can be said."""
    if heard.epoch != stand.epoch or not is_id(heard.act):
        return False
    return heard.cursor > stand.seq or stand.at_cursor not in ("", heard.act)
