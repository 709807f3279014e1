"""Kept for one release, for programs that import from here: see timers/core/bench/grit.py."""

from .bench.grit import step

__all__ = ["step"]
