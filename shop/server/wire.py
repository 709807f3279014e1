"""One connection: uvicorn's protocol, with limits for slow, idle and too many clients.

uvicorn waits for ever for the head of a request and for a client that reads nothing, and accepts connections until the
system runs out of files.
"""

import logging
import socket

from django.conf import settings
from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

from ..base import limits, throttled_log

MOST_HEADERS = 100
SILENT_S, ASKED_EVERY_S, ASKED_TIMES = 60, 15, 4  # a phone that left the Wi-Fi is noticed within two minutes
WORDS = {
    408: ("Request Timeout", "The head of this request took too long to arrive."),
    431: ("Request Header Fields Too Large", "The head of this request is too large."),
    503: ("Service Unavailable", "The server has too many visitors. Ask again soon."),
}
logger = logging.getLogger(__name__)
busy = throttled_log.Seldom(logger, "%d visitors were turned away: %s")


class Wire(HttpToolsProtocol):
    """Watches since when a head is awaited, how much of it came, and whether the client reads what is sent."""

    def connection_made(self, transport) -> None:
        super().connection_made(transport)
        self.limits, self.active = settings.LIMITS, None
        self.timeout_keep_alive = self.limits.idle_s
        self.head_at, self.head_size = self.loop.time(), 0
        self.left, self.taken_at = 0, self.loop.time()
        self.every_s = min(1, self.limits.head_s / 4, self.limits.stall_s / 4)
        self.timer = self.loop.call_later(self.every_s, self._look)
        if len(self.connections) > limits.most_connections(self.limits.connections):
            busy.note("as many connections are open as the server takes")
            self._turn_away(503)

    def connection_lost(self, exc) -> None:
        self.timer.cancel()
        self.pipeline.clear()
        if self.active:  # uvicorn tells only the last request of a connection that it is gone
            self.active.disconnected = True
            self.active.message_event.set()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        if self.transport.is_closing():
            return
        if self.head_at is None and self._answered():
            self.head_at, self.head_size = self.loop.time(), 0
        self.head_size += len(data)
        super().data_received(data)
        if self.head_at is not None and self.head_size > self.limits.head_bytes and self._answered():
            self._turn_away(431)

    def on_message_begin(self) -> None:
        if self.head_at is None:  # the next request came behind the one that is being answered
            self.head_at, self.head_size = self.loop.time(), 0
        super().on_message_begin()

    def on_header(self, name: bytes, value: bytes) -> None:
        if len(self.headers) >= MOST_HEADERS:
            raise ValueError("too many headers")  # the parser ends the connection with 400
        super().on_header(name, value)

    def on_headers_complete(self) -> None:
        self.head_at = None
        super().on_headers_complete()

    def _start_asgi_task(self, cycle, app) -> None:
        self.active = cycle
        super()._start_asgi_task(cycle, app)

    def on_response_complete(self) -> None:
        super().on_response_complete()
        if self.head_at is not None:
            self.head_at = self.loop.time()

    def resume_writing(self) -> None:
        self.left, self.taken_at = 0, self.loop.time()
        super().resume_writing()

    def _answered(self) -> bool:
        return self.cycle is None or self.cycle.response_complete

    def _look(self) -> None:
        """Check regularly whether the client is too slow."""
        now = self.loop.time()
        if self.head_at is not None and self._answered() and now - self.head_at > self.limits.head_s:
            self._turn_away(408 if self.head_size else None)
            self.head_at = None
        left = self.transport.get_write_buffer_size()
        enough = self.left - left >= limits.STALL_BYTES_S * self.limits.stall_s
        if not left or not self.left or enough:
            self.left, self.taken_at = left, now
        elif now - self.taken_at > self.limits.stall_s:
            self.transport.abort()
            return
        self.timer = self.loop.call_later(self.every_s, self._look)

    def _turn_away(self, status: int | None) -> None:
        """Close, with an answer where a request has begun."""
        if status:
            name, words = WORDS[status]
            again = "retry-after: 10\r\n" if status == 503 else ""
            kind = f"content-type: text/plain; charset=utf-8\r\ncontent-length: {len(words)}\r\n"
            head = f"HTTP/1.1 {status} {name}\r\n{kind}{again}connection: close\r\n\r\n"
            self.transport.write(f"{head}{words}".encode())
        self.transport.close()


def keep_alive(listening: socket.socket) -> None:
    """TCP keep-alive on a listening socket; accepted connections inherit it."""
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
    for name, value in (("TCP_KEEPIDLE", SILENT_S), ("TCP_KEEPINTVL", ASKED_EVERY_S), ("TCP_KEEPCNT", ASKED_TIMES)):
        if hasattr(socket, name):
            listening.setsockopt(socket.IPPROTO_TCP, getattr(socket, name), value)
