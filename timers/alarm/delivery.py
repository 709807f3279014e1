"""Sends one phone its deliveries: one after the other, and what rang long ago in one message.  No database here."""

import logging

from shop.push import webpush

from ..core.base.units import MINUTE_MS
from ..models import Delivery
from . import messages

LATE_MS = 30 * MINUTE_MS  # what rang longer ago is sent in one message

logger = logging.getLogger(__name__)


def tell(rows: list[Delivery], clock) -> list[webpush.Answer]:
    """Send one phone its deliveries; an answer for each, in their order.  Once one has to wait, the rest wait too."""
    late = [row for row in rows if row.alert.at_ms < clock() - LATE_MS and row.alert.on != messages.TRIAL]
    locale, answers = rows[0].subscription.phone.locale, {}
    last = webpush.Answer(webpush.SENT)
    for row in rows:
        if row in late and row != late[0]:
            answers[row.pk] = answers[late[0].pk]
        elif last.outcome not in (webpush.GONE, webpush.LATER):
            one = messages.in_locale(row.alert.payload, locale)
            payload = messages.missed([one.alert.payload for one in late], locale) if row in late else one
            answers[row.pk] = last = _send(row, payload, clock())
        else:
            answers[row.pk] = last
    return [answers[row.pk] for row in rows]


def _send(row: Delivery, payload: dict, now_ms: int) -> webpush.Answer:
    to = row.subscription
    address = webpush.Address(to.endpoint, to.p256dh, to.auth, to.home)
    try:
        return webpush.send(address, payload, messages.keep_s(payload, now_ms), now_ms, row.tries)
    except Exception as why:  # invalid keys of one phone must not stop the others
        logger.exception("a push message could not be made")
        return webpush.Answer(webpush.REFUSED, str(why))
