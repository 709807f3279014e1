"""Random acts of a panel whose areas go on side by side: an outside and an underside, spots sent back on them."""

from tests.random_logs.growing import Log
from tests.random_logs.sheets import gates, name
from timers.core.acts.product_schema import CLASSES, NEEDS
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.clock import film, lanes
from timers.core.fold import areas, panel

SIDES = ["outside", "underside", "edges"]
WORK = {"coat": 4, "sand": 3, "clean": 3, "check": 1, "fill": 1}


def areas_log(rnd, length: int) -> list[dict]:
    """Acts of one panel as people tap them: mostly a step that can be done now, on whichever side."""
    log = Log(rnd, "panel", rnd.randint(HOUR_MS, 6 * DAY_MS))
    log.pace = rnd.choice([10 * MINUTE_MS, HOUR_MS, 6 * HOUR_MS])
    log.add("panel_added", name=name(rnd), steps=_steps(log))
    log.acts[0]["name"] = log.acts[0]["name"] or "Door"
    while len(log.acts) < length:
        state = panel.fold(log.acts)
        now = lanes.open_steps(state)
        turn = rnd.random()
        if not now:
            break
        if turn < 0.7:
            _do(log, rnd.choice(now))
        elif turn < 0.8 and state["films"]:
            _try(log, state)
        elif turn < 0.9:
            _send_back(log, rnd.choice(now))
        else:
            log.add("step_added", step=_step(log, rnd.choice(["", *SIDES])), before=rnd.choice([now[0]["id"], None]))
    return log.acts


def _steps(log: Log) -> list[dict]:
    """Steps for all of it, then those of two or three sides, mixed or one side after the other, then for all again."""
    rnd = log.rnd
    sides = rnd.sample(SIDES, rnd.choice([2, 2, 3]))
    middle = [rnd.choice(sides) for _ in range(rnd.randint(3, 9))]
    order = middle if rnd.random() < 0.5 else sorted(middle)
    return [_step(log, area) for area in [*[""] * rnd.randint(0, 2), *order, *[""] * rnd.randint(0, 3)]]


def _step(log: Log, area: str) -> dict:
    rnd = log.rnd
    step_id = f"s{len(log.step_ids)}"
    log.step_ids.append(step_id)
    (does,) = rnd.choices(list(WORK), weights=list(WORK.values()))
    step = {"id": step_id, "do": does, "words": does.title(), "area": area, "coats": rnd.choice([1, 1, 2])}
    step |= {"cls": rnd.choice(CLASSES)} if does in ("coat", "fill") else {}
    return step | ({"needs": rnd.choice(NEEDS)} if rnd.random() < 0.15 else {})


def _do(log: Log, step: dict) -> None:
    rnd = log.rnd
    if step["do"] not in ("coat", "fill"):
        return log.add("step_done", step=step["id"])
    film_id = f"f{len(log.film_ids)}"
    log.film_ids.append(film_id)
    sheet = {"name": "Any", "cls": step["cls"] or "base", "gates": gates(rnd), "typical": rnd.random() < 0.3}
    about = {"film": film_id, "step": step["id"], "product": "p.1", "coat": step["laid"] + 1, "sheet": sheet}
    log.add("film_laid", **about)
    log.acts[-1]["area"] = step["area"]
    return None


def _try(log: Log, state: dict) -> None:
    """A film of one lane tried by hand, as its card has it."""
    times = film.times(state, [(0, 200, 200)])
    one = log.rnd.choice(times.get("lanes", [times]))
    if one["films"] and one["gate"] != "":
        kind = log.rnd.choice(["found_ready", "found_not_ready"])
        ask = {"ask_in": log.rnd.randint(MINUTE_MS, 3 * HOUR_MS)} if kind == "found_not_ready" else {}
        log.add(kind, films=one["films"], gate=one["gate"], **ask)


def _send_back(log: Log, step: dict) -> None:
    area = areas.on(step["area"], log.rnd.choice(["low spot", "run", "dust"]))
    steps = [_step(log, area) for _ in range(log.rnd.randint(1, 3))]
    log.add("sent_back", steps=steps, area=area, why="", before=step["id"])
