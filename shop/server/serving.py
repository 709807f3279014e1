"""The server process: uvicorn with what both ways of serving need."""

import asyncio

import uvicorn

from ..live.hub import hub
from . import wire

try:
    from uvloop import Loop as _Loop
except ImportError:  # Windows
    from asyncio import SelectorEventLoop as _Loop

SHUTDOWN_S = 5  # an open stream is waited for so long when the server stops
HANDSHAKE_S = 10


class Loop(_Loop):
    """An event loop with a timeout for TLS handshakes; uvicorn has no setting for it."""

    async def create_server(self, *args, ssl=None, **more) -> asyncio.AbstractServer:
        if ssl:
            more["ssl_handshake_timeout"] = HANDSHAKE_S
        return await super().create_server(*args, ssl=ssl, **more)


class Server(uvicorn.Server):
    """Ends the open streams when the server stops, so that it does not wait for them."""

    async def startup(self, sockets=None):
        await super().startup(sockets)
        for server in self.servers:
            for listening in server.sockets:
                wire.keep_alive(listening)

    async def shutdown(self, sockets=None):
        hub.close()
        await super().shutdown(sockets)


def config(host: str, port: int, **more) -> uvicorn.Config:
    """uvicorn's configuration.  What a proxy says of its clients is read by client_address.py, nowhere else."""
    plain = {"log_config": None, "lifespan": "off", "timeout_graceful_shutdown": SHUTDOWN_S, "ws": "none"}
    plain |= {"http": wire.Wire, "loop": "shop.server.serving:Loop", "proxy_headers": False, "server_header": False}
    return uvicorn.Config("shop.asgi:application", host=host, port=port, **plain, **more)
