"""Runs Django (WSGI) under an ASGI server: reads the body, runs the request in one thread, sends the answer.

A thread is occupied only while Django works.  Slow senders and readers occupy none: the event loop reads bodies and
sends answers, files in pieces.
"""

import asyncio
import io
import sys
from concurrent.futures import ThreadPoolExecutor

from ..base.limits import Limits
from ..security import client_address
from .bodies import Body, Disconnected, Memory, Rejected, refuse

PIECE = 256 * 1024  # of a file; two of them are in memory while a client reads
NOT_HTTP = {b"content-type": "CONTENT_TYPE", b"content-length": "CONTENT_LENGTH"}


class Bridge:
    """The ASGI callable over a WSGI one."""

    def __init__(self, wsgi, limits: Limits):
        self.wsgi, self.limits, self.memory, self.waiting = wsgi, limits, Memory(limits), 0
        self.threads = ThreadPoolExecutor(limits.threads, "django")

    async def __call__(self, scope, receive, send) -> None:
        body = Body(self.memory, client_address.scope_address(scope))
        try:
            self.memory.check(body.address)
            await body.gather(scope["headers"], receive)
            if self.waiting >= self.limits.waiting:
                raise Rejected(503)
            answer = await self._aside(_call, self.wsgi, environ(scope, body.content))
            body.count(answer.size)
            await self._send(answer, send)
        except Rejected as why:
            body.drop()
            await refuse(send, receive, why.status)
        except Disconnected:
            pass
        finally:
            body.drop()

    async def _send(self, answer: "_Answer", send) -> None:
        await send({"type": "http.response.start", "status": answer.status, "headers": answer.headers})
        try:
            for piece in answer.pieces[:-1]:
                await send({"type": "http.response.body", "body": piece, "more_body": True})
            last = answer.pieces[-1] if answer.pieces else b""
            while answer.file and (piece := await self._aside(answer.file.read, PIECE)):
                await send({"type": "http.response.body", "body": last, "more_body": True})
                last = piece
            await send({"type": "http.response.body", "body": last})
        finally:
            if answer.file:
                await asyncio.shield(self._aside(answer.close))

    async def _aside(self, work, *given):
        self.waiting += 1
        try:
            return await asyncio.get_running_loop().run_in_executor(self.threads, work, *given)
        finally:
            self.waiting -= 1


class _File:
    """`wsgi.file_wrapper` of PEP 3333: reads a file piece by piece as the client takes it."""

    def __init__(self, file, size: int = PIECE):
        self.read, self.close = file.read, getattr(file, "close", lambda: None)

    def __iter__(self):
        return iter(lambda: self.read(PIECE), b"")


class _Answer:
    """An answer of the WSGI side: whole, or the beginning of a file that is still open."""

    def __init__(self):
        self.status, self.headers, self.pieces, self.file = 500, [], [], None

    def start(self, status: str, headers: list[tuple[str, str]], trouble=None):
        """`start_response` of PEP 3333."""
        if trouble and self.pieces:
            raise trouble[1].with_traceback(trouble[2])
        self.status = int(status[:3])
        self.headers = [(name.lower().encode("latin-1"), value.encode("latin-1")) for name, value in headers]
        return self.pieces.append

    def take(self, chunks) -> None:
        """Collect the answer; of a file only the first piece."""
        if isinstance(chunks, _File):
            self.pieces.append(chunks.read(PIECE))
            self.file = chunks if len(self.pieces[-1]) == PIECE else None
        else:
            self.pieces.extend(piece for piece in chunks if piece)

    @property
    def size(self) -> int:
        return sum(map(len, self.pieces))

    def close(self) -> None:
        self.file.close()


def _call(wsgi, environment: dict) -> _Answer:
    """Run one request in this thread."""
    answer = _Answer()
    chunks = wsgi(environment, answer.start)
    try:
        answer.take(chunks)
    finally:
        if not answer.file and hasattr(chunks, "close"):
            chunks.close()
    return answer


def environ(scope, body: bytes) -> dict:
    """The WSGI environment (PEP 3333) of an ASGI scope.

    WSGI maps `X-A` and `X_A` to one name, so a client could pass off a header with an underscore as one that our proxy
    set: such headers are dropped.  Of X-Forwarded-Proto only the last value is kept, the one from our proxy.
    """
    client, server = scope.get("client") or ("", 0), scope.get("server") or ("localhost", 0)
    environment = {
        "REQUEST_METHOD": scope["method"],
        "SCRIPT_NAME": "",
        "PATH_INFO": scope["path"].encode("utf-8", "surrogateescape").decode("latin-1"),
        "QUERY_STRING": scope["query_string"].decode("latin-1"),
        "SERVER_PROTOCOL": f"HTTP/{scope['http_version']}",
        "SERVER_NAME": str(server[0]),
        "SERVER_PORT": str(server[1] or 0),
        "REMOTE_ADDR": str(client[0]),
        "REMOTE_PORT": str(client[1]),
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": scope["scheme"],
        "wsgi.input": io.BytesIO(body),
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": True,
        "wsgi.run_once": False,
        "wsgi.file_wrapper": _File,
    }
    for name, value in scope["headers"]:
        if b"_" not in name:
            key = NOT_HTTP.get(name) or f"HTTP_{name.decode('latin-1').upper().replace('-', '_')}"
            text = value.decode("latin-1")
            separator = "; " if key == "HTTP_COOKIE" else ","
            environment[key] = f"{environment[key]}{separator}{text}" if key in environment else text
    if "HTTP_X_FORWARDED_PROTO" in environment:
        environment["HTTP_X_FORWARDED_PROTO"] = environment["HTTP_X_FORWARDED_PROTO"].rpartition(",")[2].strip()
    environment["CONTENT_LENGTH"] = str(len(body)) if body else environment.get("CONTENT_LENGTH", "")
    return environment
