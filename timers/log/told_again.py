"""A tap that is posted again: whether it is the one that the log holds under its number."""

MOMENTS = ("at", "ask_at", "until_ms")  # what a phone reckons from its clock, and puts right by the server's


def is_same(held: dict, act: dict) -> bool:
    """Whether two acts under one id are one tap.  Their moments may differ: a phone that was killed on a full disk may
    have posted a tap, not know it any more, and put its moment right a second time.  The log keeps the first.
    """
    return _without_moments(held) == _without_moments(act)


def _without_moments(act: dict) -> dict:
    return {key: value for key, value in act.items() if key not in MOMENTS}
