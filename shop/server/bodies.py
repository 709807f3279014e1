"""Request bodies: read whole, within limits and of a type that a view reads, before a thread is occupied."""

import asyncio
from collections import Counter
from contextlib import contextmanager

from ..base.limits import Limits
from ..security import csp

KINDS = (  # what views read; a thermometer may send no type; files never
    b"application/x-www-form-urlencoded",
    b"application/json",
    b"text/plain",
    b"",
)
PROMPT_S = 1  # a body that is complete by then does not count as slow
LINGER_S = 1  # a refused client may still be sending: keep reading briefly, or it never sees the answer
AGAIN_S = 5
WORDS = {
    408: "The body of this request took too long to arrive. Nothing was saved. Send it again.",
    411: "The length of this body cannot be read.",
    413: "This is more than the server takes at once. Nothing was saved.",
    415: "The server reads forms and JSON only, no files. Nothing was saved.",
    429: "This address sends too much at once. Nothing was saved. Send it again soon.",
    503: "The server has too much to do. Nothing was saved. Send it again soon.",
}


class Rejected(Exception):
    """A request that is refused before any view, with its status."""

    def __init__(self, status: int):
        super().__init__(WORDS[status])
        self.status = status


class Disconnected(Exception):
    """The client went away before its body was complete."""


class Memory:
    """Bytes of bodies and answers in memory: in total, and by client address."""

    def __init__(self, limits: Limits):
        self.limits, self.total = limits, 0
        self.by_address, self.arriving = Counter(), Counter()

    def add(self, address: str, size: int) -> None:
        self.total += size
        self.by_address[address] += size

    def drop(self, address: str, size: int) -> None:
        self.add(address, -size)
        if not self.by_address[address]:
            del self.by_address[address]

    def check(self, address: str) -> None:
        """Rejected where a limit is reached."""
        if self.by_address[address] > self.limits.held_for_address:
            raise Rejected(429)
        if self.total > self.limits.held_bytes:
            raise Rejected(503)

    @contextmanager
    def arrival(self, address: str):
        """Counts a slow body; Rejected beyond the limit for its address."""
        if self.arriving[address] >= self.limits.bodies_from_address:
            raise Rejected(429)
        self.arriving[address] += 1
        try:
            yield
        finally:
            self.arriving[address] -= 1
            if not self.arriving[address]:
                del self.arriving[address]


class Body:
    """The body of one request; its bytes are counted until `drop`."""

    def __init__(self, memory: Memory, address: str):
        self.memory, self.address, self.content, self.size = memory, address, b"", 0
        self.pieces: list[bytes] = []

    async def gather(self, headers: list[tuple[bytes, bytes]], receive) -> None:
        """Read it; Rejected or Disconnected where it does not arrive whole."""
        if not has_body(headers, self.memory.limits.body_bytes):
            return
        try:
            async with asyncio.timeout(PROMPT_S):
                await self._read_on(receive)
            return
        except TimeoutError:
            pass
        with self.memory.arrival(self.address):
            try:
                async with asyncio.timeout(max(0, self.memory.limits.body_s - PROMPT_S)):
                    await self._read_on(receive)
            except TimeoutError:
                raise Rejected(408) from None

    def count(self, size: int) -> None:
        self.size += size
        self.memory.add(self.address, size)

    def drop(self) -> None:
        self.memory.drop(self.address, self.size)
        self.size, self.content = 0, b""
        self.pieces.clear()

    async def _read_on(self, receive) -> None:
        """Read to the end; may be cancelled and resumed."""
        while True:
            message = await receive()
            if message["type"] == "http.disconnect":
                raise Disconnected
            piece = message.get("body", b"")
            self.pieces.append(piece)
            self.count(len(piece))
            if self.size > self.memory.limits.body_bytes:
                raise Rejected(413)
            self.memory.check(self.address)
            if not message.get("more_body"):
                self.content = b"".join(self.pieces)
                self.pieces.clear()
                return


def has_body(headers: list[tuple[bytes, bytes]], most: int) -> bool:
    """Whether a body follows; Rejected where it is too large or of a type that no view reads."""
    fields = dict(headers)
    length = fields.get(b"content-length", b"").strip()
    if not (length or b"transfer-encoding" in fields):
        return False
    if length and not length.isdigit():
        raise Rejected(411)
    if length and int(length) == 0 and b"transfer-encoding" not in fields:
        return False
    if fields.get(b"content-type", b"").partition(b";")[0].strip().lower() not in KINDS:
        raise Rejected(415)
    if length and (len(length) > 12 or int(length) > most):
        raise Rejected(413)
    return True


async def refuse(send, receive, status: int) -> None:
    """Answer with the reason, and keep reading briefly: a client cut off while sending may never see the answer."""
    text = WORDS[status].encode()
    headers = [*csp.PLAIN, (b"content-length", b"%d" % len(text)), (b"connection", b"close")]
    if status in (408, 429, 503):
        headers.append((b"retry-after", b"%d" % AGAIN_S))
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": text, "more_body": True})
    try:
        async with asyncio.timeout(LINGER_S):
            while True:
                message = await receive()
                if message["type"] == "http.disconnect" or not message.get("more_body"):
                    break
    except TimeoutError:
        pass
    await send({"type": "http.response.body", "body": b""})
