"""Random logs, realistic and hostile, from a seed: acts of a panel, of the air, of the shelf, and acts to be refused.

Everything hangs on the random.Random that is given: the same seed gives the same log.  Moments lie in the three weeks
before NOW_MS, most on the whole minute; some acts share a moment, and every log is shuffled as if it came late.
"""

from tests import cups, doubles, rings
from tests.sheets import HOSTILE, NOW_MS, gates, name, new_id, product
from tests.twist import twist
from timers.core import acts as rules
from timers.core import fields
from timers.core.cure import DOUBLE_DC
from timers.core.doc import CLASSES, DOES
from timers.core.shelf import laid_sheet
from timers.core.units import DAY_MS, HOUR_MS, MINUTE_MS

AREAS = ["low spot", "lower edge", "around the handle", "front third"]


def panel_log(rnd, length: int) -> list[dict]:
    """Acts of one panel in the order they arrived: `length` of them, each with an id of its own, each good."""
    log = _Log(rnd, "panel", rnd.randint(MINUTE_MS, 20 * DAY_MS))
    if rnd.random() < 0.95:
        log.add("panel_added", name=name(rnd), job=_some(rnd, name(rnd)), steps=log.steps(rnd.randint(0, 9)))
    while len(log.acts) < length:
        if len(log.acts) == length - 3 and rnd.random() < 0.3:
            _asked(log)
        _PANEL[rnd.choices(range(len(_PANEL)), weights=_WEIGHTS)[0]](log)
    return log.shuffled(length)


def air_log(rnd, length: int) -> list[dict]:
    """Readings of the shop's air, some undone."""
    log = _Log(rnd, "air", rnd.randint(HOUR_MS, 25 * DAY_MS))
    while len(log.acts) < length:
        if rnd.random() < 0.15:
            _undo(log)
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
    log = _Log(rnd, what, rnd.randint(HOUR_MS, 25 * DAY_MS))
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
    log = _Log(rnd, "cup", rnd.randint(MINUTE_MS, 20 * DAY_MS))
    while len(log.acts) < length:
        (_undo if log.acts and rnd.random() < 0.2 else cups.grow)(log)
    return log.shuffled(length)


def broken_act(rnd) -> dict:
    """An act that must be refused."""
    while True:
        act = twisted_act(rnd)
        if rules.refusal(act, NOW_MS):
            return act


def twisted_act(rnd) -> dict:
    """A good act with one to three things wrong in it: mostly, not always, so that it is refused."""
    acts = {act["kind"]: act for act in rnd.choice([panel_log, panel_log, air_log, product_log, cup_log])(rnd, 12)}
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


class _Log:
    """A log as it grows: the moment it has come to, and what later acts may name."""

    def __init__(self, rnd, what: str, age_ms: int):
        self.rnd = rnd
        self.at = (NOW_MS - age_ms) // MINUTE_MS * MINUTE_MS
        self.pace = rnd.choice([MINUTE_MS, 20 * MINUTE_MS, 3 * HOUR_MS, DAY_MS])
        self.on = what if what == "air" else f"{what}:{new_id(rnd, self.at)}"
        self.acts: list[dict] = []
        self.step_ids, self.film_ids = ["s0"], ["f0"]
        self.sheets = [laid_sheet(one, rnd.choice("0123")) for one in (product(rnd) for _ in range(2))]

    def add(self, kind: str, **fields) -> None:
        rnd = self.rnd
        turn = rnd.random()
        if turn < 0.9:
            self.at += rnd.randint(0, self.pace) // MINUTE_MS * MINUTE_MS if turn < 0.8 else rnd.randint(0, self.pace)
        self.at = min(self.at, NOW_MS + 2 * DAY_MS)
        at = self.at - rnd.choice([0] * 20 + [HOUR_MS, 3 * DAY_MS])  # a phone whose clock is behind
        for given, key in (("ask_in", "ask_at"), ("for_in", "for_ms"), ("until_in", "until_ms")):
            if fields.get(given) is not None:
                fields[key] = at + fields.pop(given)
        fields.pop("until_in", None)
        fields = {key: value for key, value in fields.items() if value not in (None, "") or rnd.random() < 0.5}
        blank = {"job", "area", "route", "why"}
        fields = {key: "" if value is None and key in blank else value for key, value in fields.items()}
        self.acts.append({"id": new_id(rnd, at), "at": at, "on": self.on, "kind": kind, **fields})

    def shuffled(self, length: int) -> list[dict]:
        acts = self.acts[:length]
        if self.rnd.random() < 0.7:
            self.rnd.shuffle(acts)
        return acts

    def steps(self, count: int) -> list[dict]:
        return [self.step() for _ in range(count)]

    def step(self) -> dict:
        """A step not seen before: with a number of its own, or one like a name that every object has."""
        rnd = self.rnd
        does = rnd.choice(DOES)
        odd = [one for one in ("constructor", "toString", "valueOf") if one not in self.step_ids]
        step_id = rnd.choice(odd) if odd and rnd.random() < 0.05 else f"s{len(self.step_ids)}"
        self.step_ids.append(step_id)
        step = {"id": step_id, "do": does, "words": name(rnd)}
        if does in ("coat", "fill") or rnd.random() < 0.2:
            step |= {"cls": rnd.choice([*CLASSES, ""]), "coats": rnd.choice([1, 1, 2, 3, 20])}
        if rnd.random() < 0.3:
            step |= {"grit": rnd.choice([0, 80, 320, 10_000]), "area": self.area()}
        return step

    def area(self) -> str:
        rnd = self.rnd
        return rnd.choice(["", "", *AREAS, AREAS[0], rnd.choice(HOSTILE)])

    def known_step(self) -> str:
        return self.rnd.choice([*self.step_ids, *self.step_ids[-9:], "gone"])

    def films(self) -> list[str]:
        return [self.rnd.choice([*self.film_ids, *self.film_ids[-3:]]) for _ in range(self.rnd.choice([1, 1, 2, 4]))]


def _undo(log: _Log) -> None:
    kind = log.rnd.choice(["undone", "undone", "restored"])
    log.add(kind, act=log.rnd.choice(log.acts)["id"] if log.acts else new_id(log.rnd))


def _later_version(log: _Log) -> None:
    """A kind that this version does not know, some named like what every object has."""
    kind = log.rnd.choice(["constructor", "valueof", "surface_wiped", "lamp_lit", "x"])
    log.add(kind, deep={"a": [1, 2.5, None, True, {"__proto__": "x"}]}, films=["f0"], step="s1")


def _film(log: _Log) -> None:
    rnd = log.rnd
    film = rnd.choice([f"f{len(log.film_ids)}"] * 30 + log.film_ids[-1:])
    log.film_ids.append(film)
    sheet = rnd.choice([*log.sheets, laid_sheet(product(rnd), "1")])
    if rnd.random() < 0.2:
        sheet = {"name": name(rnd), "cls": rnd.choice(CLASSES), "gates": gates(rnd), "double_dc": DOUBLE_DC}
    step = rnd.choice([log.known_step(), None])
    log.add("film_laid", film=film, step=step, product="p.1", coat=rnd.randint(1, 4), area=log.area(), sheet=sheet)
    log.acts[-1] |= {"cup": f"cup:{new_id(rnd)}"} if rnd.random() < 0.3 else {}


def _gun(log: _Log) -> None:
    rnd = log.rnd
    gun = rnd.choice(["The grey gun", "small gun", "1"])
    if rnd.random() < 0.3:
        log.add("gun_dropped", gun=gun)
    else:
        log.add("gun_set", gun=gun, pressure_kpa=rnd.choice([None, 200]), tip_um=rnd.randint(300, 4000), fan="wide")


def _surface(log: _Log) -> None:
    rnd = log.rnd
    if rnd.random() < 0.3:
        log.add("surface_ended")
    else:
        until = rnd.choice([None, 1, HOUR_MS, 7 * DAY_MS])
        log.add("surface_read", temp_dc=rnd.choice([600, rnd.randint(-400, 1500)]), until_in=until)


def _found(log: _Log) -> None:
    gate = log.rnd.choice(["flash", "sand", "sand", "handle", "cure"])
    if log.rnd.random() < 0.5:
        log.add("found_ready", films=log.films(), gate=gate)
    else:
        ask_in = log.rnd.choice([0, 3 * MINUTE_MS, log.rnd.randint(0, 2 * DAY_MS), fields.ASK_MS])
        log.add("found_not_ready", films=log.films(), gate=gate, ask_in=ask_in)


def _asked(log: _Log) -> None:
    """A film over the whole panel, not ready at the first try."""
    _film(log)
    log.acts[-1] |= {"area": ""}
    for gate in ("flash", "sand"):
        log.add("found_not_ready", films=log.film_ids[-1:], gate=gate, ask_in=log.rnd.randint(0, fields.ASK_MS))


def _sent_back(log: _Log) -> None:
    rnd = log.rnd
    steps = log.steps(rnd.randint(0, 4))
    log.add("sent_back", steps=steps, area=log.area(), why=name(rnd), before=rnd.choice([log.known_step(), None]))


def _step_added(log: _Log) -> None:
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
    (lambda log: log.add("panel_named", name=name(log.rnd), job=_some(log.rnd, name(log.rnd))), 3),
    (lambda log: log.add(f"panel_{log.rnd.choice(['put_away', 'brought_back'])}"), 2),
    (_later_version, 2),
    (lambda log: log.rnd.choice([doubles.grow, rings.grow, rings.grow, _surface, _surface])(log), 8),
    (lambda log: log.add("panel_added", name=name(log.rnd), steps=log.steps(log.rnd.randint(0, 3))), 1),  # once more
    strict=True,
)
