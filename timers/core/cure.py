"""Kept for one release, for programs that import from here: see timers/core/clock/cure.py."""

from .clock.cure import closes_at, opens_at, wait_ms

__all__ = ["closes_at", "opens_at", "wait_ms"]
