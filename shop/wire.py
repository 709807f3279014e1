"""Kept for one release, for programs that import from here: see shop/server/wire.py."""

from .server.wire import Wire

__all__ = ["Wire"]
