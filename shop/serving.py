"""The server process: uvicorn with what both ways of serving need."""

import uvicorn

from .hub import hub

STREAMS_S = 5  # an open stream is waited for so long when the server stops


class Server(uvicorn.Server):
    """Streams are open for ever: they end when the server does, so that it need not wait for them."""

    async def shutdown(self, sockets=None):
        hub.close()
        await super().shutdown(sockets)


def config(host: str, port: int, **more) -> uvicorn.Config:
    """What is served, and where."""
    plain = {"log_config": None, "lifespan": "off", "timeout_graceful_shutdown": STREAMS_S}
    return uvicorn.Config("shop.asgi:application", host=host, port=port, **plain, **more)
