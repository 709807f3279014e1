"""Quotas of things and shops, so that no shop makes the server slow or full for the others.

A thing is a panel, a cup, a product, a route, the shop itself, the air; only acts that clocks need count.  An act that
exceeds a quota is refused in words, and from NEARLY of a quota on the phone is warned in words.  Acts that end a thing
may exceed its quota a little (MORE_TO_END).
"""

import json

from django.conf import settings

from shop.security.errors import TooLarge

from ..core.base.translate import later, t
from ..core.card import alarms
from ..core.fold import top_films

MOST_ACTS = 200  # of one request
NEARLY = 0.8
MOST_AREAS = 200  # not sanded at once on a panel, each with clocks of its own
FEW_ACTS = 20  # too few to make a state too large, whatever is in them
FEW = 8  # things that are read at once; if a request names more, the size of their acts is checked first
MOST_READ = 16_000_000  # bytes of acts that are read for one request
ENDING = {"panel_put_away", "cup_emptied", "sheet_put_away", "route_put_away", "undone"}
MORE_TO_END = 1.05
THE_AIR, THE_SHOP = later("The air"), later("The shop")


class TooManyActs(TooLarge):
    """A request carries or names more than one may: the phone halves its batch."""

    def __init__(self):
        super().__init__(t("At most {n} taps at once.", n=MOST_ACTS))


class Room:
    """What is used of the quotas of a shop and of its things.  `shop` and each of `things` is [acts, bytes]."""

    def __init__(self, shop: list[int], things: dict[str, list[int]]):
        self.shop, self.things = shop, things

    def refusal(self, act: dict) -> str:
        """Why there is no room for an act, in words; "" if there is, and then the room is taken."""
        own = self.things.setdefault(act["on"], [0, 0])
        taken = [1, size(act)]
        more = MORE_TO_END if act["kind"] in ENDING else 1
        if _used(self.shop, taken, _of_shop()) > more:
            return t("This shop is full: no more taps fit. Tell whoever runs the server. Nothing was saved.")
        if _used(own, taken, _of_thing(act["on"])) > more:
            return _is_full()
        for usage in (self.shop, own):
            usage[0], usage[1] = usage[0] + 1, usage[1] + taken[1]
        return ""

    def notes(self, states: dict[str, dict]) -> list[dict]:
        """[{"key", "words"}]: what is nearly full, of the shop and of things that were touched."""
        notes = []
        if (used := _used(self.shop, [0, 0], _of_shop())) >= NEARLY:
            words = t("This shop is {n} % full. Tell whoever runs the server in time.", n=_percent(used))
            notes.append({"key": "shop", "words": words})
        for on, state in states.items():
            if (used := _used(self.things[on], [0, 0], _of_thing(on))) >= NEARLY:
                words = t("{name} is {n} % full. Begin a new one in time.", name=_name(on, state), n=_percent(used))
                notes.append({"key": on, "words": words})
        return notes


def too_large(on: str, state: dict, fresh: list[dict]) -> str:
    """Why the new state of a thing is too large, in words; "" if it is not.  It is measured apart from the acts because
    few acts can make a large state, and each area that was not sanded has clocks of its own."""
    more = MORE_TO_END if all(act["kind"] in ENDING for act in fresh) else 1
    if len(json.dumps(state)) > settings.THING_BYTES * more:
        return _is_full()
    if on.startswith("panel:") and len(top_films.under(state, "")) > MOST_AREAS * more:
        return t("This panel has {n} areas that were not sanded: no more fit. Nothing was saved.", n=MOST_AREAS)
    return ""


def size(act: dict) -> int:
    """The bytes that an act counts for."""
    return len(json.dumps(act))


def _is_full() -> str:
    return t("This is full: no more taps fit. Put it away and begin a new one. Nothing was saved.")


def _of_shop() -> tuple[int, int]:
    return settings.SHOP_ACTS, settings.SHOP_BYTES


def _of_thing(on: str) -> tuple[int, int]:
    return settings.AIR_ACTS if on == "air" else settings.THING_ACTS, settings.THING_BYTES


def _used(usage: list[int], more: list[int], quota: tuple[int, int]) -> float:
    """The share of a quota that is used once `more` is added; of acts and bytes the larger share."""
    return max((used + add) / most for used, add, most in zip(usage, more, quota, strict=True))


def _percent(used: float) -> int:
    return min(100, int(used * 100))


def _name(on: str, state: dict) -> str:
    if on in ("air", "shop"):
        return t({"air": THE_AIR, "shop": THE_SHOP}[on])
    if on.startswith("cup:") and not state["sheet"]:
        return t("A cup")
    return alarms.name_of(state) if on.startswith(("panel:", "cup:")) else (state["doc"] or {}).get("name", "")
