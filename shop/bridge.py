"""Django, which is WSGI, under an ASGI server: the body first, then one thread for the whole request, then the answer.

A thread is held only while Django works.  Whoever sends or reads slowly holds none: bodies are gathered and answers are
sent from the event loop, files in pieces.
"""

import asyncio
import io
import sys
from concurrent.futures import ThreadPoolExecutor

from . import whence
from .bodies import Body, Gone, Held, TurnedAway, refuse
from .limits import Limits

PIECE = 256 * 1024  # of a file; two of them are held while a phone reads
NOT_HTTP = {b"content-type": "CONTENT_TYPE", b"content-length": "CONTENT_LENGTH"}


class Bridge:
    """The ASGI callable over a WSGI one."""

    def __init__(self, wsgi, limits: Limits):
        self.wsgi, self.limits, self.held, self.waiting = wsgi, limits, Held(limits), 0
        self.threads = ThreadPoolExecutor(limits.threads, "django")

    async def __call__(self, scope, receive, send) -> None:
        body = Body(self.held, whence.address_at(scope))
        try:
            self.held.check(body.address)
            await body.gather(scope["headers"], receive)
            if self.waiting >= self.limits.waiting:
                raise TurnedAway(503)
            answer = await self._aside(_answered, self.wsgi, environ(scope, body.said))
            body.count(answer.size)
            await self._send(answer, send)
        except TurnedAway as why:
            body.drop()
            await refuse(send, receive, why.status)
        except Gone:
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
    """What Django hands a file over to (`wsgi.file_wrapper` of PEP 3333): it is read when the phone is ready for it."""

    def __init__(self, file, size: int = PIECE):
        self.read, self.close = file.read, getattr(file, "close", lambda: None)

    def __iter__(self):
        return iter(lambda: self.read(PIECE), b"")


class _Answer:
    """What the WSGI side said: whole, or the beginning of a file that is still open."""

    def __init__(self):
        self.status, self.headers, self.pieces, self.file = 500, [], [], None

    def start(self, status: str, headers: list[tuple[str, str]], trouble=None):
        """`start_response` of PEP 3333."""
        if trouble and self.pieces:
            raise trouble[1].with_traceback(trouble[2])
        self.status = int(status[:3])
        self.headers = [(name.lower().encode("latin-1"), value.encode("latin-1")) for name, value in headers]
        return self.pieces.append

    def take(self, said) -> None:
        """Take in what there is; a file only as far as one piece."""
        if isinstance(said, _File):
            self.pieces.append(said.read(PIECE))
            self.file = said if len(self.pieces[-1]) == PIECE else None
        else:
            self.pieces.extend(piece for piece in said if piece)

    @property
    def size(self) -> int:
        return sum(map(len, self.pieces))

    def close(self) -> None:
        self.file.close()


def _answered(wsgi, given: dict) -> _Answer:
    """One request, from its first to its last moment in this thread."""
    answer = _Answer()
    said = wsgi(given, answer.start)
    try:
        answer.take(said)
    finally:
        if not answer.file and hasattr(said, "close"):
            said.close()
    return answer


def environ(scope, body: bytes) -> dict:
    """A request as WSGI has it (PEP 3333).

    WSGI writes `X-A` and `X_A` as one name, so that a header with an underscore could pass for one that our proxy has
    set: such are left out.  So is all but the last word on the protocol, which is our proxy's own.
    """
    client, server = scope.get("client") or ("", 0), scope.get("server") or ("localhost", 0)
    given = {
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
            said = value.decode("latin-1")
            between = "; " if key == "HTTP_COOKIE" else ","
            given[key] = f"{given[key]}{between}{said}" if key in given else said
    if "HTTP_X_FORWARDED_PROTO" in given:
        given["HTTP_X_FORWARDED_PROTO"] = given["HTTP_X_FORWARDED_PROTO"].rpartition(",")[2].strip()
    given["CONTENT_LENGTH"] = str(len(body)) if body else given.get("CONTENT_LENGTH", "")
    return given
