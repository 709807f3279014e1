"""A panel whose areas go on side by side, as the server draws it and rings it: each by its name."""

import icalendar
import pytest

from tests.support.bell import NOW_MS
from tests.support.read_shop import FILM, Bench, frozen
from tests.timers.log.test_log import kept, tap
from tests.timers.web.test_api import follows
from timers.core.acts.envelope import new_id
from timers.core.base.units import MINUTE_MS

pytestmark = pytest.mark.django_db
COAT = {"do": "coat", "words": "Surfacer", "cls": "surfacer", "coats": 2}
STEPS = [{**COAT, "id": "o", "area": "outside"}, {**COAT, "id": "u", "area": "underside"}]


def film(area: str) -> dict:
    return {"film": f"f{area[0]}", "step": area[0], "area": area, "product": "p", "coat": 1, "sheet": FILM}


def test_the_floor_and_the_calendar_have_both_sides():
    with frozen():
        bench = Bench()
        on = f"panel:{new_id(bench.at_ms, b'0123456789')}"
        bench.did(on, "panel_added", 60, name="Hood", steps=STEPS)
        bench.did(on, "film_laid", 25, **film("outside"))
        bench.did(on, "film_laid", 5, **film("underside"))
        said = bench.get("/floor.json").json()
        follows("Floor", said)
        (card,) = said["cards"]
        assert [card["area"], card["state"], card["left"]] == ["outside", "open", "3 h 35 min"]
        assert [(lane["area"], lane["state"], lane["left"]) for lane in card["lanes"]] == [
            ("underside", "wait", "15 min")
        ]
        assert said["hands"].startswith("Now: Hood, outside. Coat 2 now, until ")
        events = icalendar.Calendar.from_ical(bench.get("/alarms.ics").content).walk("VEVENT")
        names = [str(event["SUMMARY"]).split(":")[0] for event in events]
        assert sorted(names) == ["Hood, outside"] * 2 + ["Hood, underside"] * 3  # the outside's opening has been
        assert len({str(event["UID"]) for event in events}) == 5


def test_a_phone_is_sent_the_ring_of_each_side_and_one_silenced_leaves_the_other(bell):
    on = f"panel:{new_id(NOW_MS - 60 * MINUTE_MS, b'0123456789')}"
    acts = [tap(bell.rnd, on, "panel_added", 60 * MINUTE_MS, name="Hood", steps=STEPS)]
    acts += [tap(bell.rnd, on, "film_laid", 0, **film(area)) for area in ("outside", "underside")]
    kept(bell.shop, acts)
    assert bell.at(NOW_MS) == []
    assert bell.at(bell.opening(on)) == [
        "/0 Hood, outside",
        "/0 Hood, underside",
        "/1 Hood, outside",
        "/1 Hood, underside",
    ]
    kept(bell.shop, [tap(bell.rnd, on, "ring_silenced", 0, ring=f"{on} closing flash fo")])
    assert bell.at(bell.now_ms + MINUTE_MS) == []
    assert bell.at(bell.opening(on)) == ["/0 Hood, underside", "/1 Hood, underside"]
