"""Whether the server still knows what a phone has heard from it.

A database can be put back by roads that tell Sandtime nothing: a file or a machine from a snapshot, a point in time, a
replica that was behind.  Its numbers are then given out again, so a cursor alone proves nothing.  So a phone says
which act it heard at its cursor.  Where another stands there, or the shop has not come so far, the shop gets a new
memory, and every phone tells what it holds (static/js/sync/resend.js).
"""

import uuid
from typing import NamedTuple

from shop.counting import spend

from . import rows
from .core.acts import is_id

SPAN_MS = 10 * 60_000
MOST = 5  # new memories that one phone may cause in a span: one that says wrong ids moves the others no oftener


class Heard(NamedTuple):
    """What a phone has heard: its id, its cursor, the memory that the cursor belongs to, the id of the act there."""

    phone: str
    cursor: int
    memory: str
    act: str


def checked(shop_id: uuid.UUID, stand: rows.Stand, heard: Heard, now_ms: int) -> rows.Stand:
    """Where the shop stands, with a new memory when it does not know any more what the phone has heard.

    A phone that caused too many is told one that is no one's: it alone tells what it holds, and comes to the shop's own
    with its next question.  So is one of a shop that stands as it began, whose memory follows from what it begins with.
    """
    if not _lost(stand, heard):
        return stand
    if not stand.begun and spend(f"memory {heard.phone or shop_id}", MOST, SPAN_MS, now_ms):
        return stand._replace(memory=rows.new_memory(shop_id, stand.memory))
    return stand._replace(memory=str(uuid.uuid4()))


def _lost(stand: rows.Stand, heard: Heard) -> bool:
    """Whether the act is another; of an act that was forgotten since (none is there) nothing can be said."""
    if heard.memory != stand.memory or not is_id(heard.act):
        return False
    return heard.cursor > stand.seq or stand.at_cursor not in ("", heard.act)
