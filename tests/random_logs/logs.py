"""Random logs, realistic and hostile, from a seed: acts of a panel, of the air, of the shelf, and acts to be refused.

Everything hangs on the random.Random that is given: the same seed gives the same log.  Moments lie in the three weeks
before NOW_MS, most on the whole minute; some acts share a moment, and every log is shuffled as if it came late.
"""

from tests.random_logs import amends, cups, doubles, people, rings
from tests.random_logs.growing import Log
from tests.random_logs.sheets import NOW_MS, gates, name, new_id, product
from tests.random_logs.twist import twist
from timers.core.acts import act_schema
from timers.core.acts import envelope as rules
from timers.core.acts.product_schema import CLASSES
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.clock.cure import DOUBLE_DC
from timers.core.fold.shelf import laid_sheet


def panel_log(rnd, length: int) -> list[dict]:
    """Acts of one panel in the order they arrived: `length` of them, each with an id of its own, each good."""
    log = Log(rnd, "panel", rnd.randint(MINUTE_MS, 20 * DAY_MS))
    if rnd.random() < 0.95:
        log.add(
            "panel_added",
            name=name(rnd),
            job=_some(rnd, name(rnd)),
            steps=log.steps(rnd.randint(0, 9)),
            **log.choices(),
        )
    while len(log.acts) < length:
        if len(log.acts) == length - 3 and rnd.random() < 0.3:
            _asked(log)
        _PANEL[rnd.choices(range(len(_PANEL)), weights=_WEIGHTS)[0]](log)
    return log.shuffled(length)


def air_log(rnd, length: int) -> list[dict]:
    """Readings of the shop's air, some undone."""
    log = Log(rnd, "air", rnd.randint(HOUR_MS, 25 * DAY_MS))
    while len(log.acts) < length:
        if rnd.random() < 0.15:
            _undo(log)
        elif log.acts and rnd.random() < 0.1:
            amends.grow(log)
        elif rnd.random() < 0.15:
            log.add("air_expected", temp_dc=rnd.randint(-400, 600), for_in=rnd.choice([1, DAY_MS, 7 * DAY_MS, HOUR_MS]))
        else:
            temps = [rnd.randint(20, 340), rnd.randint(-400, 600), 10 * rnd.randint(8, 30)]
            temp = rnd.choice([*temps, rnd.choice([100, 150, 350])])
            log.add("air_read", temp_dc=temp, rh_pm=rnd.choice([None, rnd.randint(0, 1000)]))
    return log.shuffled(length)


def product_log(rnd, length: int) -> list[dict]:
    """Writings of one product or one route, with undoings."""
    what = rnd.choice(["product", "route"])
    word = "sheet" if what == "product" else "route"
    log = Log(rnd, what, rnd.randint(HOUR_MS, 25 * DAY_MS))
    while len(log.acts) < length:
        turn = rnd.random()
        if turn < 0.2:
            _undo(log)
        elif turn < 0.3:
            _later_version(log)
        elif turn < 0.4 and what == "product":
            _gun(log)
        elif turn < 0.5:
            log.add(f"{word}_{rnd.choice(['put_away', 'brought_back'])}")
        else:
            doc = product(rnd) if what == "product" else {"name": name(rnd), "steps": log.steps(rnd.randint(0, 9))}
            over = log.rnd.choice([None, None, [], [one["id"] for one in log.acts[-2:]]])
            log.add(f"{word}_written", doc=doc, over=over)
    return log.shuffled(length)


def cup_log(rnd, length: int) -> list[dict]:
    """Acts of one cup, some undone."""
    log = Log(rnd, "cup", rnd.randint(MINUTE_MS, 20 * DAY_MS))
    while len(log.acts) < length:
        turn = rnd.random() if log.acts else 1
        (_undo if turn < 0.2 else amends.grow if turn < 0.3 else cups.grow)(log)
    return log.shuffled(length)


def shop_log(rnd, length: int) -> list[dict]:
    """Acts of the shop itself, some undone: units chosen, phones named, trials told."""
    log = Log(rnd, "shop", rnd.randint(HOUR_MS, 25 * DAY_MS))
    while len(log.acts) < length:
        (_undo if rnd.random() < 0.2 else people.grow_shop)(log)
    return log.shuffled(length)


def broken_act(rnd) -> dict:
    """An act that must be refused."""
    while True:
        act = twisted_act(rnd)
        if rules.refusal(act, NOW_MS):
            return act


def twisted_act(rnd) -> dict:
    """A good act with one to three things wrong in it: mostly, not always, so that it is refused."""
    log = rnd.choice([panel_log, panel_log, air_log, product_log, cup_log, shop_log])
    acts = {act["kind"]: act for act in log(rnd, 12)}
    rich = ("film_laid", "sheet_written", "sent_back", "panel_added", "cup_mixed")
    rich = [act for kind, act in acts.items() if kind in rich]
    act = rnd.choice(rich if rich and rnd.random() < 0.5 else list(acts.values()))
    if rnd.random() < 0.02:
        act = {**act, "on": rnd.choice(["air", f"panel:{new_id(rnd)}", f"route:{new_id(rnd)}"])}
    for _ in range(rnd.choice([1, 1, 1, 2, 3])):
        act = twist(rnd, act)
    return act


def _some(rnd, text: str) -> str:
    return text if rnd.random() < 0.5 else ""


def _undo(log: Log) -> None:
    kind = log.rnd.choice(["undone", "undone", "restored"])
    log.add(kind, act=log.rnd.choice(log.acts)["id"] if log.acts else new_id(log.rnd))


def _later_version(log: Log) -> None:
    """A kind that this version does not know, some named like what every object has."""
    kind = log.rnd.choice(["constructor", "valueof", "surface_wiped", "lamp_lit", "x"])
    log.add(kind, deep={"a": [1, 2.5, None, True, {"__proto__": "x"}]}, films=["f0"], step="s1")


def _film(log: Log) -> None:
    rnd = log.rnd
    film = rnd.choice([f"f{len(log.film_ids)}"] * 30 + log.film_ids[-1:])
    log.film_ids.append(film)
    sheet = rnd.choice([*log.sheets, laid_sheet(product(rnd), "1")])
    if rnd.random() < 0.2:
        sheet = {"name": name(rnd), "cls": rnd.choice(CLASSES), "gates": gates(rnd), "double_dc": DOUBLE_DC}
    step = rnd.choice([log.known_step(), None])
    log.add("film_laid", film=film, step=step, product="p.1", coat=rnd.randint(1, 4), area=log.area(), sheet=sheet)
    log.acts[-1] |= {"cup": f"cup:{new_id(rnd)}"} if rnd.random() < 0.3 else {}
    log.acts[-1] |= {"coats_on": rnd.randint(1, 4)} if rnd.random() < 0.1 else {}


def _gun(log: Log) -> None:
    rnd = log.rnd
    gun = rnd.choice(["The grey gun", "small gun", "1"])
    if rnd.random() < 0.3:
        log.add("gun_dropped", gun=gun)
    else:
        log.add("gun_set", gun=gun, pressure_kpa=rnd.choice([None, 200]), tip_um=rnd.randint(300, 4000), fan="wide")


def _surface(log: Log) -> None:
    rnd = log.rnd
    if rnd.random() < 0.3:
        log.add("surface_ended")
    else:
        until = rnd.choice([None, 1, HOUR_MS, 7 * DAY_MS])
        ramps = {"warm_ms": rnd.choice([0, 1, HOUR_MS]), "cool_ms": rnd.choice([0, 1, HOUR_MS, None])}
        ramps = ramps if rnd.random() < 0.5 else {}
        log.add("surface_read", temp_dc=rnd.choice([600, rnd.randint(-400, 1500)]), until_in=until, **ramps)


def _found(log: Log) -> None:
    gate = log.rnd.choice(["flash", "sand", "sand", "handle", "cure"])
    if log.rnd.random() < 0.5:
        log.add("found_ready", films=log.films(), gate=gate)
    else:
        ask_in = log.rnd.choice([0, 3 * MINUTE_MS, log.rnd.randint(0, 2 * DAY_MS), act_schema.ASK_MS])
        log.add("found_not_ready", films=log.films(), gate=gate, ask_in=ask_in)


def _asked(log: Log) -> None:
    """A film over the whole panel, not ready at the first try."""
    _film(log)
    log.acts[-1] |= {"area": ""}
    for gate in ("flash", "sand"):
        log.add("found_not_ready", films=log.film_ids[-1:], gate=gate, ask_in=log.rnd.randint(0, act_schema.ASK_MS))


def _sent_back(log: Log) -> None:
    rnd = log.rnd
    steps = log.steps(rnd.randint(0, 4))
    log.add("sent_back", steps=steps, area=log.area(), why=name(rnd), before=rnd.choice([log.known_step(), None]))


def _step_added(log: Log) -> None:
    step = log.step()
    if log.rnd.random() < 0.1:
        step["id"] = log.known_step()
    log.add("step_added", step=step, before=log.rnd.choice([log.known_step(), None]))


_PANEL, _WEIGHTS = zip(
    (_film, 24),
    (lambda log: log.add("step_done", step=log.known_step()), 26),
    (_found, 14),
    (_undo, 10),
    (_sent_back, 4),
    (_step_added, 6),
    (lambda log: log.add("step_dropped", step=log.known_step()), 3),
    (lambda log: log.add("step_moved", step=log.known_step(), before=log.rnd.choice([log.known_step(), None])), 4),
    (
        lambda log: log.add("panel_named", name=name(log.rnd), job=_some(log.rnd, name(log.rnd)), **log.choices()),
        3,
    ),
    (lambda log: log.add(f"panel_{log.rnd.choice(['put_away', 'brought_back'])}"), 2),
    (_later_version, 2),
    (people.grow, 6),
    (amends.grow, 8),
    (lambda log: log.rnd.choice([doubles.grow, rings.grow, rings.grow, _surface, _surface])(log), 8),
    (lambda log: log.add("panel_added", name=name(log.rnd), steps=log.steps(log.rnd.randint(0, 3))), 1),  # once more
    strict=True,
)
