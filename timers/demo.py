"""The demo shop: an invented garage with five panels at five different steps, as acts of its log like any other."""

import os

from shop.models import Shop

from . import log, typical, ways
from .begin import furnished_shop
from .core import panel
from .core.acts import new_id
from .core.shelf import fit, laid_sheet
from .core.tongue import t
from .core.units import HOUR_MS, MINUTE_MS

PUTTY, SURFACER = typical.PRODUCTS[1], typical.PRODUCTS[5]


def demo_shop(zone: str, now_ms: int) -> Shop:
    """A shop whose clocks all run around now: one waits, one can be tried, one window is open, one needs hands."""
    shop = furnished_shop(t("Back-lane garage"), zone, now_ms - 7 * HOUR_MS)
    Shop.objects.filter(pk=shop.pk).update(demo=True)
    day = _Day(now_ms)
    day.did(360, "air", "air_read", temp_dc=170, rh_pm=560)
    _door(day)
    _fender(day)
    _tailgate(day)
    _bumper(day)
    day.added(30, t("Hood"), t("Grey hatchback"), 3)
    day.did(40, "air", "air_read", temp_dc=210, rh_pm=500)
    verdicts = log.append(shop.pk, None, day.acts, now_ms)
    assert all(verdict["verdict"] == log.KEPT for verdict in verdicts), verdicts
    return shop


class _Day:
    """Acts told as minutes ago."""

    def __init__(self, now_ms: int):
        self.now_ms = now_ms
        self.acts: list[dict] = []

    def did(self, minutes_ago: float, on: str, kind: str, **fields) -> dict:
        at = int(self.now_ms - minutes_ago * MINUTE_MS)
        act = {"id": new_id(at, os.urandom(10)), "at": at, "on": on, "kind": kind, **fields}
        self.acts.append(act)
        return act

    def added(self, minutes_ago: float, name: str, job: str, route: int) -> str:
        doc = ways.told(ways.ROUTES[route - 1])
        on = f"panel:{new_id(int(self.now_ms - minutes_ago * MINUTE_MS), os.urandom(10))}"
        self.did(minutes_ago, on, "panel_added", name=name, job=job, route=doc["name"], steps=doc["steps"])
        return on

    def steps_done(self, minutes_ago: float, on: str, count: int) -> None:
        for at in range(count):
            step = panel.current(self._state(on))
            self.did(minutes_ago - at, on, "step_done", step=step["id"])

    def laid(self, minutes_ago: float, on: str, product: dict) -> None:
        step = panel.current(self._state(on))
        sheet = laid_sheet(typical.told(product), fit(product, 200)[0]["id"])
        film = new_id(int(self.now_ms - minutes_ago * MINUTE_MS), os.urandom(10))
        named = {"film": film, "step": step["id"], "area": step["area"], "product": product["id"]}
        self.did(minutes_ago, on, "film_laid", **named, coat=step["laid"] + 1, sheet=sheet)

    def _state(self, on: str) -> dict:
        return panel.fold([act for act in self.acts if act["on"] == on])


def _door(day: _Day) -> None:
    """Putty laid, not yet to be sanded."""
    door = day.added(95, t("Left front door"), t("Grey hatchback"), 1)
    day.steps_done(90, door, 3)
    day.laid(9, door, PUTTY)


def _fender(day: _Day) -> None:
    """Putty that may be tried."""
    fender = day.added(94, t("Right fender"), t("Grey hatchback"), 1)
    day.steps_done(80, fender, 3)
    day.laid(31, fender, PUTTY)


def _tailgate(day: _Day) -> None:
    """Between two coats of surfacer: the window is open."""
    tailgate = day.added(350, t("Tailgate"), t("White van"), 3)
    day.steps_done(340, tailgate, 4)
    day.laid(35, tailgate, SURFACER)


def _bumper(day: _Day) -> None:
    """Both coats laid, hours before it can be sanded."""
    bumper = day.added(340, t("Rear bumper cover"), t("White van"), 4)
    day.steps_done(330, bumper, 4)
    day.laid(75, bumper, SURFACER)
    day.laid(55, bumper, SURFACER)
    day.steps_done(50, bumper, 1)
