"""A random log as it grows, for logs.py and what it brings along (cups, people, rings)."""

from tests.random_logs.sheets import HOSTILE, NOW_MS, name, new_id, product
from timers.core.acts.product_schema import CLASSES, DOES, NEEDS, USES
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.fold.route import COLOURS, FINISHES, SUBSTRATES
from timers.core.fold.shelf import laid_sheet

AREAS = ["low spot", "lower edge", "around the handle", "front third"]
PHONES = [f"{nth}f2a0000-0000-4000-8000-00000000000{nth}" for nth in range(3)]


class Log:
    """A log as it grows: the moment it has come to, and what later acts may name."""

    def __init__(self, rnd, what: str, age_ms: int):
        self.rnd = rnd
        self.at = (NOW_MS - age_ms) // MINUTE_MS * MINUTE_MS
        self.pace = rnd.choice([MINUTE_MS, 20 * MINUTE_MS, 3 * HOUR_MS, DAY_MS])
        self.on = what if what in ("air", "shop") else f"{what}:{new_id(rnd, self.at)}"
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
        for given, key in (("ask_in", "ask_at"), ("at_in", "at_ms"), ("for_in", "for_ms"), ("until_in", "until_ms")):
            if fields.get(given) is not None:
                fields[key] = at + fields.pop(given)
        fields.pop("until_in", None)
        fields = {key: value for key, value in fields.items() if value not in (None, "") or rnd.random() < 0.5}
        blank = {"job", "area", "route", "why", "note"}
        fields = {key: "" if value is None and key in blank else value for key, value in fields.items()}
        who = {"who": rnd.choice(PHONES)} if rnd.random() < 0.7 else {}
        self.acts.append({"id": new_id(rnd, at), "at": at, "on": self.on, "kind": kind, **who, **fields})

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
        if rnd.random() < 0.2:
            step["needs"] = rnd.choice(NEEDS)
        if rnd.random() < 0.2:
            step["use"] = rnd.choice([*USES, ""])
        return step

    def choices(self) -> dict:
        """What was chosen for a panel, some of it, or nothing said, as the fields of an act."""
        rnd = self.rnd
        kinds = {"finish": FINISHES, "colour": COLOURS, "substrate": SUBSTRATES}
        some = {key: rnd.choice(words) for key, words in kinds.items() if rnd.random() < 0.7}
        return {"choices": some} if rnd.random() < 0.6 else {}

    def area(self) -> str:
        rnd = self.rnd
        return rnd.choice(["", "", *AREAS, AREAS[0], rnd.choice(HOSTILE)])

    def known_step(self) -> str:
        return self.rnd.choice([*self.step_ids, *self.step_ids[-9:], "gone"])

    def films(self) -> list[str]:
        return [self.rnd.choice([*self.film_ids, *self.film_ids[-3:]]) for _ in range(self.rnd.choice([1, 1, 2, 4]))]
