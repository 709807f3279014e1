"""Kept for one release, for programs that import from here: see timers/core/bench/mixing.py."""

from .bench.mixing import split

__all__ = ["split"]
