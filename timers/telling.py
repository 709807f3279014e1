"""One phone is told what it is owed: in turn, what is long past in one message.  No database here."""

import logging

from shop import push

from . import ringing
from .core.units import MINUTE_MS
from .models import Delivery

LATE_MS = 30 * MINUTE_MS  # what rang longer ago is told in one message

logger = logging.getLogger(__name__)


def tell(rows: list[Delivery], clock) -> list[push.Answer]:
    """Tell one phone all that it is owed, in turn; once it has to wait, the rest waits too."""
    late = [row for row in rows if row.alert.at_ms < clock() - LATE_MS and row.alert.on != ringing.TRIAL]
    tongue, answers = rows[0].subscription.phone.locale, {}
    last = push.Answer(push.SENT)
    for row in rows:
        if row in late and row != late[0]:
            answers[row.pk] = answers[late[0].pk]
        elif last.outcome not in (push.GONE, push.LATER):
            one = ringing.in_tongue(row.alert.payload, tongue)
            said = ringing.missed([one.alert.payload for one in late], tongue) if row in late else one
            answers[row.pk] = last = _say(row, said, clock())
        else:
            answers[row.pk] = last
    return [answers[row.pk] for row in rows]


def _say(row: Delivery, said: dict, now_ms: int) -> push.Answer:
    to = row.subscription
    address = push.Address(to.endpoint, to.p256dh, to.auth, to.home)
    try:
        return push.send(address, said, ringing.keep_s(said, now_ms), now_ms, row.tries)
    except Exception as why:  # one phone's odd keys stop no other phone
        logger.exception("a push message could not be made")
        return push.Answer(push.REFUSED, str(why))
