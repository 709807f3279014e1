"""What a request brings with it: whole, small enough and of a kind that a view reads, before any thread is taken."""

import asyncio
from collections import Counter
from contextlib import contextmanager

from . import policy
from .limits import Limits

KINDS = (  # what our views read; a thermometer may say nothing of what it sends; files never
    b"application/x-www-form-urlencoded",
    b"application/json",
    b"text/plain",
    b"",
)
PROMPT_S = 1  # a body that is whole by then is no slow one, however many of those there are
LINGER_S = 1  # who is refused may still be sending: read on for a moment, or the answer is lost on its way
AGAIN_S = 5
WORDS = {
    408: "The body of this request took too long to arrive. Nothing was saved. Send it again.",
    411: "The length of this body cannot be read.",
    413: "This is more than the server takes at once. Nothing was saved.",
    415: "The server reads forms and JSON only, no files. Nothing was saved.",
    429: "This address sends too much at once. Nothing was saved. Send it again soon.",
    503: "The server has too much to do. Nothing was saved. Send it again soon.",
}


class TurnedAway(Exception):
    """A request that no view sees: its status."""

    def __init__(self, status: int):
        super().__init__(WORDS[status])
        self.status = status


class Gone(Exception):
    """The phone went away before its body was whole."""


class Held:
    """What is held in memory just now, bodies and answers, in all and by the address it is held for."""

    def __init__(self, limits: Limits):
        self.limits, self.all = limits, 0
        self.of, self.coming = Counter(), Counter()

    def add(self, address: str, size: int) -> None:
        self.all += size
        self.of[address] += size

    def drop(self, address: str, size: int) -> None:
        self.add(address, -size)
        if not self.of[address]:
            del self.of[address]

    def check(self, address: str) -> None:
        """TurnedAway where there is no more room."""
        if self.of[address] > self.limits.held_for_address:
            raise TurnedAway(429)
        if self.all > self.limits.held_bytes:
            raise TurnedAway(503)

    @contextmanager
    def on_its_way(self, address: str):
        """A body that has yet to arrive: so many at once for each address."""
        if self.coming[address] >= self.limits.bodies_from_address:
            raise TurnedAway(429)
        self.coming[address] += 1
        try:
            yield
        finally:
            self.coming[address] -= 1
            if not self.coming[address]:
                del self.coming[address]


class Body:
    """The body of one request.  What it holds is counted until `drop`."""

    def __init__(self, held: Held, address: str):
        self.held, self.address, self.said, self.size = held, address, b"", 0
        self.pieces: list[bytes] = []

    async def gather(self, headers: list[tuple[bytes, bytes]], receive) -> None:
        """Take it in; TurnedAway or Gone where it does not come whole."""
        if not announced(headers, self.held.limits.body_bytes):
            return
        try:
            async with asyncio.timeout(PROMPT_S):
                await self._rest(receive)
            return
        except TimeoutError:
            pass
        with self.held.on_its_way(self.address):
            try:
                async with asyncio.timeout(max(0, self.held.limits.body_s - PROMPT_S)):
                    await self._rest(receive)
            except TimeoutError:
                raise TurnedAway(408) from None

    def count(self, size: int) -> None:
        self.size += size
        self.held.add(self.address, size)

    def drop(self) -> None:
        self.held.drop(self.address, self.size)
        self.size, self.said = 0, b""
        self.pieces.clear()

    async def _rest(self, receive) -> None:
        """Until it is whole; may be broken off and taken up again."""
        while True:
            message = await receive()
            if message["type"] == "http.disconnect":
                raise Gone
            piece = message.get("body", b"")
            self.pieces.append(piece)
            self.count(len(piece))
            if self.size > self.held.limits.body_bytes:
                raise TurnedAway(413)
            self.held.check(self.address)
            if not message.get("more_body"):
                self.said = b"".join(self.pieces)
                self.pieces.clear()
                return


def announced(headers: list[tuple[bytes, bytes]], most: int) -> bool:
    """Whether there is a body to wait for; TurnedAway where it is too much or of a kind that no view reads."""
    said = dict(headers)
    length = said.get(b"content-length", b"").strip()
    if not (length or b"transfer-encoding" in said):
        return False
    if length and not length.isdigit():
        raise TurnedAway(411)
    if length and int(length) == 0 and b"transfer-encoding" not in said:
        return False
    if said.get(b"content-type", b"").partition(b";")[0].strip().lower() not in KINDS:
        raise TurnedAway(415)
    if length and (len(length) > 12 or int(length) > most):
        raise TurnedAway(413)
    return True


async def refuse(send, receive, status: int) -> None:
    """Say why, and read on for a moment: who is cut off while it still sends may never see the answer."""
    words = WORDS[status].encode()
    headers = [*policy.PLAIN, (b"content-length", b"%d" % len(words)), (b"connection", b"close")]
    if status in (408, 429, 503):
        headers.append((b"retry-after", b"%d" % AGAIN_S))
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": words, "more_body": True})
    try:
        async with asyncio.timeout(LINGER_S):
            while True:
                message = await receive()
                if message["type"] == "http.disconnect" or not message.get("more_body"):
                    break
    except TimeoutError:
        pass
    await send({"type": "http.response.body", "body": b""})
