"""Kept for one release, for programs that import from here: see timers/core/clock/air.py."""

from .clock.air import dew_point_c

__all__ = ["dew_point_c"]
