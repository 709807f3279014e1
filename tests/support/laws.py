"""What laws that Hypothesis searches have in common: settings, strategies, and the law of order that all folds obey."""

import json

from hypothesis import settings
from hypothesis import strategies as st

from tests.random_logs.twist import disordered
from timers.core.acts import envelope
from timers.core.base.units import DAY_MS

LAWS = settings()  # as the profile has it: tests/conftest.py
START = 1_741_075_200_000  # any morning, ms since 1970 UTC
SEEDS = st.integers(0, 2**32)
MOMENTS = st.integers(envelope.EARLIEST_MS, envelope.EARLIEST_MS + 40 * 365 * DAY_MS)
TEMPS = st.integers(-100, 500)  # tenths of a degree C


def as_text(value) -> str:
    """A value as JSON that does not depend on the order of keys."""
    return json.dumps(value, sort_keys=True)


def assert_order_is_free(fold, log: list[dict], rnd) -> None:
    """Acts make the same state in any order of arrival, some of them more than once."""
    assert as_text(fold(disordered(rnd, log))) == as_text(fold(log))
