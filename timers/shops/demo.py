"""The demo shop: an invented garage with five panels at five different steps, made of acts like any other shop."""

import os

from shop.models import Shop

from ..core.acts.envelope import new_id
from ..core.base.translate import t
from ..core.base.units import HOUR_MS, MINUTE_MS
from ..core.fold import panel
from ..core.fold.route import steps_for
from ..core.fold.shelf import fit, laid_sheet
from ..defaults import products, routes
from ..log import writer
from .sign_up import furnished_shop

CHIPS, NEW_PART, BUMPER = 1, 3, 4  # numbers of routes
PUTTY, SURFACER = products.PRODUCTS[1], products.PRODUCTS[5]


def demo_shop(zone: str, now_ms: int) -> Shop:
    """A shop whose clocks run around now: one panel waits, one can be tried, one window is open, one needs hands."""
    shop = furnished_shop(t("Back-lane garage"), zone, now_ms - 7 * HOUR_MS)
    Shop.objects.filter(pk=shop.pk).update(demo=True)
    day = _Day(now_ms)
    day.add_act(360, "air", "air_read", temp_dc=170, rh_pm=560)
    hatchback, van = t("Grey hatchback"), t("White van")
    day.work_on(day.add_panel(95, t("Left front door"), hatchback, CHIPS), 90, PUTTY, 9)  # not yet to be sanded
    day.work_on(day.add_panel(94, t("Right fender"), hatchback, CHIPS), 80, PUTTY, 31)  # sanding may be tried
    day.work_on(day.add_panel(350, t("Tailgate"), van, NEW_PART), 340, SURFACER, 35)  # the window for a second coat
    bumper = day.add_panel(340, t("Rear bumper cover"), van, BUMPER)
    day.work_on(bumper, 330, SURFACER, 75, 55)  # both coats laid, hours before they can be sanded
    day.do_step(50, bumper)
    day.add_panel(30, t("Hood"), hatchback, NEW_PART)
    day.add_act(40, "air", "air_read", temp_dc=210, rh_pm=500)
    verdicts = writer.append(shop.pk, None, day.acts, now_ms)
    assert all(verdict["verdict"] == writer.KEPT for verdict in verdicts), verdicts
    return shop


class _Day:
    """Collects acts, each dated by minutes ago."""

    def __init__(self, now_ms: int):
        self.now_ms = now_ms
        self.acts: list[dict] = []

    def add_act(self, minutes_ago: float, on: str, kind: str, **fields) -> dict:
        at = int(self.now_ms - minutes_ago * MINUTE_MS)
        act = {"id": new_id(at, os.urandom(10)), "at": at, "on": on, "kind": kind, **fields}
        self.acts.append(act)
        return act

    def add_panel(self, minutes_ago: float, name: str, job: str, route: int) -> str:
        doc = routes.translated(routes.numbered(route))
        on = f"panel:{new_id(int(self.now_ms - minutes_ago * MINUTE_MS), os.urandom(10))}"
        self.add_act(minutes_ago, on, "panel_added", name=name, job=job, route=doc["name"], steps=steps_for(doc, {}))
        return on

    def work_on(self, on: str, done_from: float, product: dict, *laid: float) -> None:
        """Do the steps of a panel before the first that lays a product of this class, from so many minutes ago, one a
        minute; then lay a film of it at each of `laid`."""
        while panel.current(self._state(on))["cls"] != product["cls"]:
            self.do_step(done_from, on)
            done_from -= 1
        for minutes_ago in laid:
            self.lay_film(minutes_ago, on, product)

    def do_step(self, minutes_ago: float, on: str) -> None:
        self.add_act(minutes_ago, on, "step_done", step=panel.current(self._state(on))["id"])

    def lay_film(self, minutes_ago: float, on: str, product: dict) -> None:
        step = panel.current(self._state(on))
        sheet = laid_sheet(products.translated(product), fit(product, 200)[0]["id"])
        film = new_id(int(self.now_ms - minutes_ago * MINUTE_MS), os.urandom(10))
        about = {"film": film, "step": step["id"], "area": step["area"], "product": product["id"]}
        self.add_act(minutes_ago, on, "film_laid", **about, coat=step["laid"] + 1, sheet=sheet)

    def _state(self, on: str) -> dict:
        return panel.fold([act for act in self.acts if act["on"] == on])
