"""/live: a stream that tells a phone at once that its shop moved.

Server-sent events from a raw ASGI callable beside Django, since Django's own streams occupy a thread each.  An event
holds the new sequence, or asks the phone to sync, and nothing else: data comes by /sync.
"""

import asyncio
import logging

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse, QueryDict
from django.utils.cache import get_conditional_response
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from ..base import limits, throttled_log
from ..security import access, client_address, csp, https_only
from ..security.errors import UnknownPhone
from ..security.guards import now_ms
from .hub import Hub

BEAT_S = 20  # a regular comment keeps proxies from closing an idle stream
AGAIN_S = 30  # a phone that is refused asks every few seconds instead (static/js/sync/live.js)
WORDS = {
    401: "This phone belongs to no shop here.",
    403: https_only.WORDS,
    405: "Only GET.",
    429: "This phone listens often enough.",
    503: "The server has trouble. Ask again soon.",
}
refused = throttled_log.Seldom(logging.getLogger(__name__), "%d streams were refused, the last because %s")
HEADERS = (
    (b"content-type", b"text/event-stream; charset=utf-8"),
    (b"cache-control", b"no-store"),
    (b"x-accel-buffering", b"no"),
    (b"content-security-policy", csp.POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
)


@require_GET
@never_cache
def moved(request: HttpRequest) -> HttpResponse:
    """The same for polling, where a stream does not come through: 304 where nothing moved."""
    try:
        phone = access.phone_of(request, now_ms())
    except UnknownPhone as error:
        raise error.reworded(WORDS[401]) from None
    tag = f'"{phone.shop_id.hex[:8]}-{phone.shop.seq}-{phone.role}"'
    answer = JsonResponse({"seq": phone.shop.seq, "role": phone.role}, headers={"ETag": tag})
    return get_conditional_response(request, etag=tag, response=answer)


class Live:
    """The ASGI callable over one hub."""

    def __init__(self, hub: Hub):
        self.hub = hub

    async def __call__(self, scope, receive, send) -> None:
        if scope["method"] != "GET":
            return await _refuse(send, 405)
        if https_only.is_plain_http(scope):
            return await _refuse(send, 403)
        address = client_address.scope_address(scope)
        if status := self._refusal(address):
            return await _refuse(send, status)
        try:
            phone = await self.hub.in_thread(access.phone_from_headers, _headers(scope), now_ms())
        except UnknownPhone:
            return await _refuse(send, 401)
        except Exception:
            return await _refuse(send, 503)
        if status := self._refusal(address) or self._refusal_for(phone):
            return await _refuse(send, status)
        listener, gone = self.hub.enter(phone, _role(scope), address), asyncio.ensure_future(_disconnected(receive))
        try:
            await self.hub.catch_up([listener.shop])  # it may have moved since the look-up
            await self._stream(listener, gone, send)
        finally:
            gone.cancel()
            self.hub.leave(listener)
        return None

    def _refusal(self, address: str) -> int | None:
        """The status that refuses a stream at the limits of the server and of an address; None below them."""
        if self.hub.count >= limits.most_streams(settings.LIMITS.connections):
            refused.note("this server holds as many as it may")
            return 503
        if self.hub.addresses[address] >= settings.LIMITS.streams_from_address:
            refused.note("one address had as many as it may")
            return 429
        return None

    def _refusal_for(self, phone) -> int | None:
        if self.hub.open_of(phone) >= settings.LIMITS.streams_of_phone:
            refused.note("one phone had as many as it may")
        elif self.hub.open_in(phone.shop_id) >= settings.LIMITS.streams_of_shop:
            refused.note("one shop had as many as it may")
        else:
            return None
        return 429

    async def _stream(self, listener, gone: asyncio.Future, send) -> None:
        """Send the shop's sequence, then every change of it, until the phone disconnects or is ended."""
        await send({"type": "http.response.start", "status": 200, "headers": HEADERS})
        waiting, sent_seq = None, None
        try:
            while not (gone.done() or listener.ended):
                event, sent_seq = _event(listener, sent_seq), listener.seq
                listener.asks = False
                listener.woken.clear()
                await send({"type": "http.response.body", "body": event, "more_body": True})
                waiting = waiting or asyncio.ensure_future(listener.woken.wait())
                await asyncio.wait({waiting, gone}, timeout=BEAT_S, return_when=asyncio.FIRST_COMPLETED)
                waiting = None if waiting.done() else waiting
        finally:
            if waiting:
                waiting.cancel()
        if not gone.done():
            await send({"type": "http.response.body", "body": b"", "more_body": False})


def _role(scope) -> str:
    """The role that a phone believes it has; "" where it sends none."""
    return QueryDict(scope.get("query_string", b"")).get("role", "")


def _event(listener, sent_seq: int | None) -> bytes:
    """The next event of a stream whose last sent sequence is `sent_seq`; a comment where there is nothing new."""
    asks = b"event: ask\ndata: %d\n\n" % listener.seq if listener.asks else b""
    moved = b"" if sent_seq == listener.seq else b"event: moved\ndata: %d\n\n" % listener.seq
    return moved + asks or b":\n\n"


def _headers(scope) -> dict[str, str]:
    return {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}


async def _disconnected(receive) -> None:
    while (await receive())["type"] != "http.disconnect":
        pass


async def _refuse(send, status: int) -> None:
    headers = [*csp.PLAIN, (b"content-length", b"%d" % len(WORDS[status])), (b"connection", b"close")]
    if status in (429, 503):
        headers.append((b"retry-after", b"%d" % AGAIN_S))
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": WORDS[status].encode()})
