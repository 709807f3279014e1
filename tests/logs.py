"""Random logs, realistic and hostile, from a seed: acts of a panel, of the air, of the shelf, and acts to be refused.

Everything hangs on the random.Random that is given: the same seed gives the same log.  Moments lie in the three weeks
before NOW_MS, most on the whole minute; some acts share a moment, and every log is shuffled as if it came late.
"""

import copy

from timers.core import acts as rules
from timers.core.cure import DOUBLE_DC
from timers.core.doc import CLASSES, DOES, GATES
from timers.core.shelf import laid_sheet
from timers.core.units import DAY_MS, HOUR_MS, MINUTE_MS

NOW_MS = 1_762_000_000_000  # a Saturday in November 2025: clocks changed in many zones the week before

NAMES = ["Bonnet", "Left front door", "Tailgate", "Rear bumper cover", "Sill, right", "Wing mirror cap", "Roof"]
AREAS = ["low spot", "lower edge", "around the handle", "front third"]
HOSTILE = [
    "__proto__",
    "constructor",
    "toString",
    "<b>Door</b> & \"sill\" 'left'",
    "</script><script>alert(1)</script>",
    "{{ 7 * 7 }} {% now %} ${7} `x` \\n %s %(a)s",
    "باب أمامي",
    "\u202eroolf\u202c",
    "🚙 dent 🔨",
    "👩🏽‍🔧👨‍👩‍👧‍👦",
    "e\u0301 é Ω Ω",
    "\uffee\uffff end of the plane",
    "\U00010000 first beyond it",
    "\u2028 line \u2029 and \u0085 and \ufeff",
    "two\nlines\tand a tab",
    " x ",
    "0",
    "null",
    "𝔊" * 200,
]
VALUES = [
    *(
        None,
        True,
        False,
        0,
        1,
        -1,
        99,
        100,
        1.5,
        -0.25,
        1e300,
        2**53 - 1,
        2**53,
        2**64,
        -(2**63),
        10**30,
        60_000,
        1500,
        -400,
    ),
    *("", " ", "\t\n", "\u00a0\u3000", "\ufeff", "\x85", "\ud800", "\udc00x", "\x00", "a\x1fb", "x" * 201, "🚙" * 201),
    *("__proto__", "constructor", "sand", "clear", "coat", "air", "abc\n", "a" * 65, "x" * 32_000),
    *([], {}, [[]], [None], ["a"], ["a"] * 51, [1, 2], [0, 1000, 1000], {"__proto__": 1}, {"constructor": [[0, 1, 1]]}),
]
KEYS = [
    "__proto__",
    "constructor",
    "hasOwnProperty",
    "0",
    "kind",
    "at",
    "ask_at",
    "before",
    "cls",
    "typical",
    "variants",
]


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
        else:
            temp = rnd.choice([rnd.randint(20, 340), rnd.randint(-400, 600), 10 * rnd.randint(8, 30)])
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
        elif turn < 0.5:
            log.add(f"{word}_{rnd.choice(['put_away', 'brought_back'])}")
        else:
            doc = product(rnd) if what == "product" else {"name": name(rnd), "steps": log.steps(rnd.randint(0, 9))}
            log.add(f"{word}_written", doc=doc)
    return log.shuffled(length)


def product(rnd) -> dict:
    """A product with its sheet, from plain to odd; always one that can be kept."""
    doc = {"id": new_id(rnd), "name": name(rnd), "cls": rnd.choice(CLASSES), "gates": gates(rnd)}
    lowest, highest = (
        rnd.choice([None, 100, 150, rnd.randint(-400, 250)]),
        rnd.choice([None, 350, rnd.randint(251, 1500)]),
    )
    for key, value in (("lowest_dc", lowest), ("highest_dc", highest), ("double_dc", rnd.choice([None, 30, 100, 300]))):
        if value is not None or rnd.random() < 0.3:
            doc[key] = value
    if rnd.random() < 0.5:
        doc["typical"] = rnd.random() < 0.5
    if rnd.random() < 0.5:
        doc["variants"] = [_variant(rnd, nth) for nth in range(rnd.randint(0, 4))]
    if rnd.random() < 0.3:
        doc["ratio"] = {"by": "volume", "parts": [4, 1, 0.5], rnd.choice(HOSTILE[:3]): None}
    return doc


def gates(rnd) -> dict:
    """The times of a sheet: none, some or all, each of one to four lines that never slow down with warmth."""
    chosen = [gate for gate in GATES if rnd.random() < (0.7 if gate in ("flash", "sand", "recoat_by") else 0.2)]
    return {gate: points(rnd) for gate in chosen}


def points(rnd) -> list:
    temp = rnd.choice([200, 200, 150, rnd.randint(-400, 600)])
    short = rnd.choice(
        [rnd.randint(1, 60) * MINUTE_MS, rnd.randint(1_000, 3 * DAY_MS), rnd.randint(1_000, 365 * DAY_MS)]
    )
    long = min(365 * DAY_MS, short + rnd.choice([0, 0, short, rnd.randint(0, DAY_MS)]))
    lines = [[temp, short, long]]
    for _ in range(rnd.choice([0, 0, 1, 1, 2, 3])):
        temp += rnd.choice([50, 100, rnd.randint(1, 300)])
        short = max(1_000, rnd.choice([short, short // 2, rnd.randint(1_000, short)]))
        long = max(short, rnd.choice([long, long // 2, rnd.randint(1_000, long)]))
        lines.append([temp, short, long])
    return lines


def name(rnd) -> str:
    return rnd.choice(HOSTILE) if rnd.random() < 0.3 else rnd.choice(NAMES)


def new_id(rnd, at_ms: int = NOW_MS) -> str:
    return rules.new_id(at_ms, rnd.randbytes(10))


def broken_act(rnd) -> dict:
    """An act that must be refused."""
    while True:
        act = twisted_act(rnd)
        if rules.refusal(act, NOW_MS):
            return act


def twisted_act(rnd) -> dict:
    """A good act with one to three things taken away, added or put in another's place: mostly, not always, bad."""
    kind_of_log = rnd.choice([panel_log, panel_log, air_log, product_log])
    acts = {act["kind"]: act for act in kind_of_log(rnd, 12)}
    rich = [act for kind, act in acts.items() if kind in ("film_laid", "sheet_written", "sent_back", "panel_added")]
    act = copy.deepcopy(rnd.choice(rich if rich and rnd.random() < 0.5 else list(acts.values())))
    if rnd.random() < 0.02:
        act["on"] = rnd.choice(["air", f"panel:{new_id(rnd)}", f"route:{new_id(rnd)}"])
    for _ in range(rnd.choice([1, 1, 1, 2, 3])):
        where = rnd.choice(list(_boxes(act)) if rnd.random() < 0.7 else [act])
        if where is act and rnd.random() < 0.8:
            where = rnd.choice([box for box in _boxes(act) if box is not act] or [act])
        key = rnd.choice(list(where) or ["x"]) if isinstance(where, dict) else rnd.randrange(len(where) or 1)
        if where is act and key in ("id", "on", "kind") and rnd.random() < 0.8:
            key = rnd.choice(list(act))
        turn = rnd.random()
        if isinstance(where, dict) and turn < 0.15:
            where.pop(key, None)
        elif isinstance(where, dict):
            where[rnd.choice(KEYS) if turn < 0.3 else key] = _other(rnd, where.get(key))
        elif turn < 0.7 and where:
            where[key] = _other(rnd, where[key])
        else:
            where.insert(key, _value(rnd))
    return act


def _other(rnd, old):
    """Something else in the place of a value: like it but wrong by a little, or of any other kind."""
    if rnd.random() < 0.4 or old is None or isinstance(old, float):  # 1.0 is no whole number in Python, but in JSON
        return _value(rnd)
    if isinstance(old, str):
        return rnd.choice([old + "x" * 200, "\ufeff" * len(old), old.upper(), old + "\n"])
    if isinstance(old, dict):
        return rnd.choice([{}, list(old.values()), {"constructor": copy.deepcopy(old), **old}])
    if isinstance(old, list):
        return rnd.choice([old[::-1], old * 2, old * 13, old * 101, old[1:], {"0": old}])
    return rnd.choice([-old, old + 1, old - 1, old * 1000, old // 1000, old + 0.5, old + 3_000_000_000])


def _value(rnd):
    if rnd.random() < 0.05:
        deep = []
        for _ in range(rnd.choice([5, 30, 400])):
            deep = rnd.choice([[deep], {"x": deep}])
        return deep
    return copy.deepcopy(rnd.choice(VALUES))


def _boxes(value):
    """Every dict and list inside a value, itself too."""
    if isinstance(value, dict | list):
        yield value
        for one in value.values() if isinstance(value, dict) else value:
            yield from _boxes(one)


def _variant(rnd, nth: int) -> dict:
    variant = {"id": str(nth), "name": name(rnd)}
    if rnd.random() < 0.7:
        low = rnd.randint(-400, 400)
        variant["band_dc"] = rnd.choice([None, [low, low + rnd.randint(0, 200)], [180, 250]])
    if rnd.random() < 0.7:
        variant["gates"] = gates(rnd)
    return variant


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
    kind = log.rnd.choice(["constructor", "valueof", "surface_read", "lamp_lit", "x"])
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


def _found(log: _Log) -> None:
    gate = log.rnd.choice(["flash", "sand", "sand", "handle", "cure"])
    if log.rnd.random() < 0.5:
        log.add("found_ready", films=log.films(), gate=gate)
    else:
        ask_at = max(0, log.at + log.rnd.choice([0, 3 * MINUTE_MS, log.rnd.randint(0, 2 * DAY_MS), 400 * DAY_MS]))
        log.add("found_not_ready", films=log.films(), gate=gate, ask_at=ask_at)


def _asked(log: _Log) -> None:
    """A film over the whole panel, not ready at the first try."""
    _film(log)
    log.acts[-1] |= {"area": ""}
    for gate in ("flash", "sand"):
        log.add("found_not_ready", films=log.film_ids[-1:], gate=gate, ask_at=log.at + log.rnd.randint(0, 40 * DAY_MS))


def _sent_back(log: _Log) -> None:
    rnd = log.rnd
    steps = log.steps(rnd.randint(0, 4))
    log.add("sent_back", steps=steps, area=log.area(), why=name(rnd), before=rnd.choice([log.known_step(), None]))


def _step_added(log: _Log) -> None:
    step = log.step()
    if log.rnd.random() < 0.1:
        step["id"] = log.known_step()
    log.add("step_added", step=step, before=log.rnd.choice([log.known_step(), None]))


def _step_moved(log: _Log) -> None:
    log.add("step_moved", step=log.known_step(), before=log.rnd.choice([log.known_step(), None]))


def _again(log: _Log) -> None:
    """A panel added a second time, by another phone."""
    log.add("panel_added", name=name(log.rnd), steps=log.steps(log.rnd.randint(0, 3)))


_PANEL, _WEIGHTS = zip(
    (_film, 24),
    (lambda log: log.add("step_done", step=log.known_step()), 26),
    (_found, 14),
    (_undo, 10),
    (_sent_back, 4),
    (_step_added, 6),
    (lambda log: log.add("step_dropped", step=log.known_step()), 3),
    (_step_moved, 4),
    (lambda log: log.add("panel_named", name=name(log.rnd), job=_some(log.rnd, name(log.rnd))), 3),
    (lambda log: log.add(f"panel_{log.rnd.choice(['put_away', 'brought_back'])}"), 2),
    (_later_version, 2),
    (_again, 1),
    strict=True,
)
