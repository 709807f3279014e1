"""What tests of reading programs begin with: a shop at a moment, two products, a panel with a coat on it."""

from django.test import Client
from freezegun import freeze_time

from tests.shop.security.test_access import OWN, SECRET, begun, tap, token_of
from tests.support.joins import shop_of
from tests.timers.web.test_api import follows
from timers.core.acts.envelope import new_id
from timers.core.base.units import HOUR_MS, MINUTE_MS
from timers.log.writer import append

NOW_S = 1_795_614_000  # 2026-11-25 13:40 UTC
NOW_MS = 1000 * NOW_S
CLEAR = {
    "id": "01956000-0000-7000-8000-0000000000c1",
    "name": "Clear",
    "cls": "clear",
    "typical": False,
    "ratio": {"by": "volume", "parts": [4, 1, 1], "names": ["Clear", "Hardener", "Reducer"]},
    "gates": {
        "pot": [[200, 30 * MINUTE_MS, 40 * MINUTE_MS]],
        "flash": [[200, 5 * MINUTE_MS, 10 * MINUTE_MS]],
        "recoat_by": [[200, 6 * HOUR_MS, 8 * HOUR_MS]],
    },
    "densities_g_l": [1000, 1100, 900],
    "vocs_g_l": [400, 300, 860],
    "solids_pm": 500,
    "film_um": 30,
    "lowest_dc": 150,
}
PUTTY = {
    "id": "01956000-0000-7000-8000-0000000000c2",
    "name": "Putty",
    "cls": "putty",
    "typical": True,
    "ratio": {"by": "weight", "parts": [100, 2]},
    "gates": {"pot": [[200, 3 * MINUTE_MS, 6 * MINUTE_MS]], "sand": [[200, 15 * MINUTE_MS, 20 * MINUTE_MS]]},
}
FILM = {"name": "Surfacer", "cls": "surfacer", "variant": "", "typical": False}
FILM |= {"gates": {"flash": [[200, 10 * MINUTE_MS, 20 * MINUTE_MS]], "recoat_by": [[200, 4 * HOUR_MS, 5 * HOUR_MS]]}}
COATS = [{"id": "s1", "do": "coat", "words": "Surfacer", "cls": "surfacer", "coats": 3}]


class Bench:
    """A shop with one phone, at a moment; `did` makes an act of it."""

    def __init__(self, at_ms: int = NOW_MS):
        self.client, self.at_ms = begun(), at_ms
        self.token = token_of(self.client)
        self.shop = shop_of(self.client)

    def did(self, on: str, kind: str, minutes_ago: float = 0, **fields) -> dict:
        act = {**tap(on, kind, **fields), "at": int(self.at_ms - minutes_ago * MINUTE_MS)}
        (verdict,) = append(self.shop.pk, None, [act], self.at_ms)
        assert verdict["verdict"] == "kept", verdict
        return act

    def wrote(self, *docs: dict) -> None:
        for doc in docs:
            self.did(f"product:{doc['id']}", "sheet_written", doc=doc)

    def laid(self, minutes_ago: float, name: str = SECRET, **sheet) -> str:
        on = f"panel:{new_id(self.at_ms, b'0123456789')}"
        self.did(on, "panel_added", minutes_ago + 1, name=name, job="Grey; van", steps=COATS)
        fields = {"film": "f1", "step": "s1", "area": "", "product": "p", "coat": 1, "sheet": {**FILM, **sheet}}
        self.did(on, "film_laid", minutes_ago, **fields)
        return on

    def get(self, path: str, **said):
        return Client().get(path, said, headers={"Authorization": f"Bearer {self.token}"})

    def mix(self, **said) -> dict:
        answer = self.get("/mix.json", **{"product": CLEAR["id"], **said})
        assert answer.status_code == 200, answer.content.decode()
        follows("Mix", answer.json())
        return answer.json()

    def display(self) -> str:
        return self.client.post("/displays/make", {"name": "Hall"}, headers=OWN).json()["token"]


def frozen():
    return freeze_time("2026-11-25 13:40")
