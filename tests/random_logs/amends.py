"""Random corrections, for the logs of logs.py: mostly of an act of the log, and of its kind."""

from tests.random_logs.sheets import gates, name, new_id
from timers.core.acts.act_schema import CORRECT_MS
from timers.core.acts.product_schema import CLASSES
from timers.core.base.corrections import GROUPS
from timers.core.base.units import MINUTE_MS


def grow(log) -> None:
    """One correction: of the moment, of what was said, or of both."""
    rnd = log.rnd
    known = [act for act in log.acts if act["kind"] in GROUPS] or [{"id": new_id(rnd), "kind": "step_done"}]
    first = rnd.choice([*known, *known[-3:]])
    of = rnd.choice([first["kind"]] * 9 + list(GROUPS))
    target = first["id"] if rnd.random() < 0.9 else rnd.choice([new_id(rnd), *(act["id"] for act in log.acts)])
    said = _said(rnd, of) if rnd.random() < 0.6 else {}
    at_in = -rnd.choice([0, MINUTE_MS, 20 * MINUTE_MS, rnd.randint(0, CORRECT_MS)])
    moment = {"at_in": at_in} if not said or rnd.random() < 0.5 else {}
    log.add("act_corrected", act=target, of=of, **moment, **said)


def _said(rnd, of: str) -> dict:
    if of == "cup_emptied":
        return {"left": rnd.choice([0, 60])}
    if of == "air_read":
        return {"temp_dc": rnd.randint(20, 340), "rh_pm": rnd.choice([None, 500])}
    if of not in ("film_laid", "cup_mixed"):
        return {}
    sheet = {"name": name(rnd), "cls": rnd.choice(CLASSES), "gates": gates(rnd)}
    said = {"product": "p.2", "sheet": sheet}
    if of == "film_laid":
        said |= {"coat": rnd.randint(1, 4), "coats_on": rnd.choice([None, 2, 3])}
        said |= {"cup": rnd.choice([None, f"cup:{new_id(rnd)}"])}
    return said
