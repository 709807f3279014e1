"""The server process: uvicorn with what both ways of serving need."""

import asyncio

import uvicorn

from . import wire
from .hub import hub

try:
    from uvloop import Loop as _Loop
except ImportError:  # Windows
    from asyncio import SelectorEventLoop as _Loop

STREAMS_S = 5  # an open stream is waited for so long when the server stops
HANDSHAKE_S = 10


class Loop(_Loop):
    """An event loop whose visitors must finish the handshake of TLS soon; uvicorn has no setting for it."""

    async def create_server(self, *args, ssl=None, **more) -> asyncio.AbstractServer:
        if ssl:
            more["ssl_handshake_timeout"] = HANDSHAKE_S
        return await super().create_server(*args, ssl=ssl, **more)


class Server(uvicorn.Server):
    """Streams are open for ever: they end when the server does, so that it need not wait for them."""

    async def startup(self, sockets=None):
        await super().startup(sockets)
        for server in self.servers:
            for listening in server.sockets:
                wire.keep_alive(listening)

    async def shutdown(self, sockets=None):
        hub.close()
        await super().shutdown(sockets)


def config(host: str, port: int, **more) -> uvicorn.Config:
    """What is served, and where.  What a proxy says of its visitors is read by access.py, and by nobody else."""
    plain = {"log_config": None, "lifespan": "off", "timeout_graceful_shutdown": STREAMS_S, "ws": "none"}
    plain |= {"http": wire.Wire, "loop": "shop.serving:Loop", "proxy_headers": False, "server_header": False}
    return uvicorn.Config("shop.asgi:application", host=host, port=port, **plain, **more)
