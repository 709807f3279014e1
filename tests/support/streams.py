"""A phone that listens at /live, of a running server or of none, for tests outside a browser."""

import asyncio
import http.client
from urllib.parse import urlsplit

from shop.security.access import COOKIE

PATIENCE_S = 60  # nothing is measured; a machine may be slow


class Listening:
    """One open stream; `next()` is the sequence of the next move, None when the server ended the stream."""

    def __init__(self, address: str, cookie: str):
        at = urlsplit(address)
        self.road = http.client.HTTPConnection(at.hostname, at.port, timeout=PATIENCE_S)
        self.road.request("GET", "/live", headers={"Cookie": f"{COOKIE}={cookie}"})
        self.answer = self.road.getresponse()

    def next(self) -> int | None:
        while line := self.answer.readline():
            if line.startswith(b"data:"):
                return int(line[5:])
        return None

    def event(self) -> str | None:
        """The name of the next event."""
        while line := self.answer.readline():
            if line.startswith(b"event:"):
                return line[6:].decode().strip()
        return None

    def until(self, seq: int) -> bool:
        """Whether the shop is said to have come to a sequence, soon or late."""
        while (heard_seq := self.next()) is not None:
            if heard_seq >= seq:
                return True
        return False

    def close(self):
        self.road.close()


class Stream:
    """One phone at /live, without a server: what the stream sent, one thing at a time."""

    def __init__(self, ours, token: str = "", method: str = "GET", bearer: bool = False, query: str = ""):
        header = (b"authorization", f"Bearer {token}") if bearer else (b"cookie", f"a=b; {COOKIE}={token}")
        scope = {"type": "http", "method": method, "path": "/live", "headers": [(header[0], header[1].encode())]}
        scope["query_string"] = query.encode()
        self.sent, self.left = asyncio.Queue(), asyncio.Event()
        self.task = asyncio.ensure_future(ours(scope, self._receive, self.sent.put))

    async def _receive(self):
        await self.left.wait()
        return {"type": "http.disconnect"}

    async def head(self) -> tuple[int, dict]:
        start = await asyncio.wait_for(self.sent.get(), PATIENCE_S)
        return start["status"], {name.decode(): value.decode() for name, value in start["headers"]}

    async def next(self) -> str:
        """The next event or comment; "" when the stream ended."""
        body = await asyncio.wait_for(self.sent.get(), PATIENCE_S)
        assert body.get("more_body") or not body["body"]
        return body["body"].decode()

    async def leave(self):
        self.left.set()
        await asyncio.wait_for(self.task, PATIENCE_S)
