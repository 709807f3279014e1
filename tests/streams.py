"""A phone that listens at /live of a running server, for tests and benchmarks outside a browser."""

import http.client
from urllib.parse import urlsplit

from shop.access import COOKIE

PATIENCE_S = 60


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

    def until(self, seq: int) -> bool:
        """Whether the shop is said to have come to a sequence, soon or late."""
        while (told := self.next()) is not None:
            if told >= seq:
                return True
        return False

    def close(self):
        self.road.close()
