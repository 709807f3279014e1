"""Random acts on rings, for the logs of logs.py: silenced, put off, and put off again."""

from timers.core.acts.act_schema import SNOOZE_MS
from timers.core.base.units import MINUTE_MS

PANEL_KINDS = ("opens flash", "opens sand", "closing flash", "shut flash", "clear clear_air")
CUP_KINDS = ("opens induction", "pot_closing pot", "pot_shut pot")


def grow(log) -> None:
    """One act on a ring of the log's panel or cup, mostly one that does ring."""
    rnd = log.rnd
    key = f"{log.on} {rnd.choice(CUP_KINDS)}"
    if log.on.startswith("panel:"):
        key = f"{log.on} {rnd.choice(PANEL_KINDS)} {log.film_ids[-1]}"
    if rnd.random() < 0.2:
        key += f" again {log.at + 5 * MINUTE_MS}"
    if rnd.random() < 0.5:
        log.add("ring_silenced", ring=key)
    else:
        log.add("ring_snoozed", ring=key, until_in=rnd.choice([1, 5 * MINUTE_MS, SNOOZE_MS]))
