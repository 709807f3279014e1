"""Sends one phone its deliveries: one after the other, and what rang long ago in one message.  No database here."""

import logging

from shop import push

from . import ringing
from .core.units import MINUTE_MS
from .models import Owed

LATE_MS = 30 * MINUTE_MS  # what rang longer ago is sent in one message

logger = logging.getLogger(__name__)


def tell(rows: list[Owed], clock) -> list[push.Answer]:
    """Send one phone its deliveries; an answer for each, in their order.  Once one has to wait, the rest wait too."""
    late = [row for row in rows if row.told.at_ms < clock() - LATE_MS and row.told.on != ringing.TRIAL]
    locale, answers = rows[0].subscription.phone.tongue, {}
    last = push.Answer(push.TOLD)
    for row in rows:
        if row in late and row != late[0]:
            answers[row.pk] = answers[late[0].pk]
        elif last.became not in (push.GONE, push.LATER):
            one = ringing.in_locale(row.told.said, locale)
            payload = ringing.missed([one.told.said for one in late], locale) if row in late else one
            answers[row.pk] = last = _send(row, payload, clock())
        else:
            answers[row.pk] = last
    return [answers[row.pk] for row in rows]


def _send(row: Owed, payload: dict, now_ms: int) -> push.Answer:
    to = row.subscription
    address = push.Address(to.endpoint, to.p256dh, to.auth, to.home)
    try:
        return push.send(address, payload, ringing.keep_s(payload, now_ms), now_ms, row.tries)
    except Exception as why:  # invalid keys of one phone must not stop the others
        logger.exception("a push message could not be made")
        return push.Answer(push.REFUSED, str(why))
