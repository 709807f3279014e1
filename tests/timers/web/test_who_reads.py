"""Who may read what other programs are told, and how much work that may be."""

import pytest
from django.test import Client

from shop.server import work_budget
from tests.shop.security.test_access import SECRET
from tests.support.read_shop import CLEAR, COATS, Bench, frozen

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench():
    with frozen():
        yield Bench()


READ = ["/alarms.ics", "/shelf.csv", "/shelf.json", f"/mix.json?product={CLEAR['id']}&total_ml=600", "/grits.json"]


@pytest.mark.parametrize("path", READ)
def test_nobody_reads_another_shops(bench, path):
    bench.wrote({**CLEAR, "name": SECRET})
    bench.laid(5)
    other = Bench()
    other.laid(5, "Theirs")  # it was used: what it reads comes from the same tables
    display = other.display()
    assert SECRET in bench.get(path).content.decode() or path == "/grits.json"
    assert path != "/alarms.ics" or "Theirs" in other.get(path).content.decode()
    for token in (other.token, display, bench.display() if path != "/alarms.ics" else "none", "", "none"):
        answer = Client().get(path, headers={"Authorization": f"Bearer {token}"})
        assert SECRET not in answer.content.decode()
        assert answer.status_code in ((200, 400) if token == other.token else (200, 401))
        assert "no-store" in answer.headers["Cache-Control"]
    assert other.get("/mix.json", product=CLEAR["id"], total_ml="9").content.decode() == "The product is missing."


@pytest.mark.parametrize("path", READ)
def test_programs_that_ask_too_much_wait(bench, settings, path):
    settings.SYNC_SECONDS = 0.004
    work_budget.reset()
    answers = [bench.get(path) for _ in range(3)]
    assert [answer.status_code for answer in answers][1:] == [429, 429]
    assert int(answers[1].headers["Retry-After"]) >= 1
    work_budget.reset()


@pytest.mark.parametrize("path", [path for path in READ if path != "/grits.json"])
def test_more_panels_and_products_take_no_more_questions(bench, path, django_assert_max_num_queries):
    def many(first: int, last: int) -> None:
        for n in range(first, last):
            bench.wrote({**CLEAR, "id": f"01956000-0000-7000-8000-{0xC1 + n:012x}"})
            on = f"panel:01956000-0000-7000-8000-{n:012d}"
            bench.did(on, "panel_added", name=f"Door {n}", steps=COATS)

    many(0, 1)
    bench.get(path)
    for upto in (1, 8):
        many(1, upto)
        with django_assert_max_num_queries(8):
            assert bench.get(path).status_code == 200


def test_the_floor_asks_for_the_shelf_once(bench, django_assert_num_queries):
    for n in range(3):
        bench.did(f"panel:01956000-0000-7000-8000-{n:012d}", "panel_added", name=f"Door {n}", steps=COATS)
    with django_assert_num_queries(7):  # display, phone, air and units, panels, shelf twice, cups
        assert len(bench.get("/floor.json").json()["cards"]) == 3
