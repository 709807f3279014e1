"""An act with something wrong in it, from a seed."""

import copy

NUMBERS = [0, 1, -1, 99, 100, 1.5, -0.25, 1e300, 2**53 - 1, 2**53, 2**64, -(2**63), 10**30, 60_000, 1500, -400]
TEXTS = [
    *("", " ", "\t\n", "\u00a0\u3000", "\ufeff", "\x85", "\ud800", "\udc00x", "\x00", "a\x1fb", "x" * 201, "🚙" * 201),
    *("__proto__", "constructor", "sand", "clear", "coat", "air", "abc\n", "a" * 65, "x" * 32_000),
]
BOXES = [
    *([], [[]], [None], ["a"], ["a"] * 51, [1, 2], [0, 1000, 1000]),
    *({}, {"__proto__": 1}, {"constructor": [[0, 1, 1]]}),
]
VALUES = [None, True, False, *NUMBERS, *TEXTS, *BOXES]
KEYS = ["__proto__", "constructor", "hasOwnProperty", "0", "at", "ask_at", "before", "cls", "typical", "variants"]
SLIGHT = ("id", "on", "kind")  # a wrong one is found at once and hides all else


def twist(rnd, act: dict) -> dict:
    """A copy of an act with one thing taken away, added or put in another's place."""
    act = copy.deepcopy(act)
    where = rnd.choice(list(_boxes(act)))
    if where is act and rnd.random() < 0.6:
        where = rnd.choice([box for box in _boxes(act) if box is not act] or [act])
    if isinstance(where, dict):
        _twist_dict(rnd, where)
    elif where and rnd.random() < 0.7:
        at = rnd.randrange(len(where))
        where[at] = _other(rnd, where[at])
    else:
        where.insert(rnd.randint(0, len(where)), _value(rnd))
    return act


def _twist_dict(rnd, where: dict) -> None:
    key = rnd.choice(list(where) or KEYS)
    if key in SLIGHT and rnd.random() < 0.7:
        key = rnd.choice(list(where))
    turn = rnd.random()
    if turn < 0.1:
        where.pop(key, None)
    elif turn < 0.2 and where:
        where[key] = copy.deepcopy(where[rnd.choice(list(where))])
    else:
        where[rnd.choice(KEYS) if turn < 0.3 else key] = _other(rnd, where.get(key))


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
        for _ in range(rnd.choice([5, 30, 200])):
            deep = rnd.choice([[deep], {"x": deep}])
        return deep
    return copy.deepcopy(rnd.choice(VALUES))


def _boxes(value):
    """Every dict and list inside a value, itself too."""
    if isinstance(value, dict | list):
        yield value
        for one in value.values() if isinstance(value, dict) else value:
            yield from _boxes(one)


def disordered(rnd, acts: list[dict]) -> list[dict]:
    """Acts as a bad network brings them: in any order, some of them again."""
    again = [*acts, *rnd.sample(acts, rnd.randint(0, len(acts)))]
    rnd.shuffle(again)
    return again
