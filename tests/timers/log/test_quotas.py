"""What a thing, a shop and a phone may take: told in words before it is full, refused in words after, nothing lost."""

import json
import re

import pytest
from django.test import Client
from django.test.utils import override_settings

from shop.models import Phone, Shop
from shop.security import access
from shop.server import work_budget
from tests.timers.log.test_sync import now_ms, panel, tap
from timers.core.acts.envelope import new_id
from timers.core.fold.shelf import laid_sheet
from timers.defaults.products import PRODUCTS
from timers.log import quotas, reader, sync, writer
from timers.log.epoch import Heard
from timers.models import Act, ThingState

pytestmark = pytest.mark.django_db
JUNK = "x" * 30_000


class Asker:
    """A phone of a shop of its own."""

    def __init__(self):
        self.shop = access.new_shop("Any garage", "UTC", now_ms())
        self.phone, token = access.new_phone(self.shop, Phone.Role.KEEPER, now_ms())
        self.client = Client(headers={"Authorization": f"Bearer {token}", "X-Sandtime": "1"})
        self.cursor = 0

    def says(self, acts: list, **headers):
        return self.client.post("/sync", {"acts": json.dumps(acts), "cursor": self.cursor}, headers=headers)

    def hears(self, acts: list) -> dict:
        answer = self.says(acts)
        assert answer.status_code == 200, answer.content
        self.cursor = answer.json()["cursor"]
        return answer.json()

    def verdicts(self, acts: list) -> list[str]:
        return [one.get("why", one["verdict"]) for one in self.hears(acts)["verdicts"]]


@pytest.fixture
def asker() -> Asker:
    return Asker()


def named(door: dict, count: int = 1) -> list[dict]:
    return [tap(door["on"], "panel_named", name=f"Name {nth}") for nth in range(count)]


# --- one thing ---


@override_settings(THING_ACTS=10)
def test_a_full_panel_takes_no_more_taps_but_being_put_away_and_its_neighbour_takes_them(asker):
    door, hood = panel(), panel("Hood")
    assert asker.verdicts([door, *named(door, 9)]) == ["kept"] * 10
    (why,) = asker.verdicts(named(door))
    assert why == "This is full: no more taps fit. Put it away and begin a new one. Nothing was saved."
    assert asker.verdicts([hood, *named(hood)]) == ["kept", "kept"]
    with override_settings(THING_ACTS=20):
        assert asker.verdicts(named(door, 10)) == ["kept"] * 10
        assert asker.verdicts([*named(door), tap(door["on"], "panel_put_away", x=0)])[1] == "kept"
    assert ThingState.objects.get(on=door["on"]).state["away_at"] is not None


@override_settings(THING_ACTS=10)
def test_what_was_kept_is_kept_once_more_when_it_comes_again_to_a_full_panel(asker):
    door = panel()
    acts = [door, *named(door, 9)]
    asker.hears(acts)
    assert asker.verdicts(acts) == ["already kept"] * 10


@override_settings(THING_ACTS=10)
def test_from_four_fifths_on_the_phone_is_told_in_words(asker):
    door = panel()
    assert asker.hears([door, *named(door, 6)])["notes"] == []
    (note,) = asker.hears([tap(door["on"], "panel_named", name="Roof")])["notes"]
    assert note == {"key": door["on"], "words": "Roof is 80 % full. Begin a new one in time."}
    assert asker.hears([])["notes"] == []
    drawn = asker.says(named(door), **{"HX-Request": "true"}).content.decode()
    (told,) = json.loads(re.search(r'<script id="notes"[^>]*>(.*?)</script>', drawn)[1])
    assert told["words"] == "Name 0 is 90 % full. Begin a new one in time."


@override_settings(AIR_ACTS=10)
def test_the_air_is_full_by_readings_that_clocks_need_and_old_ones_make_room(asker):
    day_ms = 86_400_000
    assert asker.verdicts([tap(ago_ms=200 * day_ms - nth) for nth in range(10)]) == ["kept"] * 10
    assert asker.verdicts([tap(ago_ms=nth) for nth in range(11)])[:1] != ["kept"]
    with override_settings(AIR_ACTS=100):
        asker.hears([tap()])
    assert set(asker.verdicts([tap(ago_ms=nth) for nth in range(5)])) == {"kept"}


def test_junk_of_an_unknown_kind_is_refused_long_before_it_costs_memory(asker):
    door = panel()
    asker.hears([door])
    heard = [asker.hears([tap(door["on"], "lamp_lit", note=JUNK) for _ in range(100)]) for _ in range(2)]
    verdicts = [one["verdict"] for answer in heard for one in answer["verdicts"]]
    held = sum(len(json.dumps(act.body)) for act in Act.objects.filter(on=door["on"]))
    assert 0 < verdicts.count("refused") == 200 - verdicts.count("kept")
    assert held <= 2_000_000
    assert heard[0]["notes"]


def test_steps_that_are_sent_back_again_and_again_make_no_state_that_is_too_large(asker):
    door = panel()
    asker.hears([door])
    many = [[{"id": f"{nth}-{one}", "do": "sand", "words": "w" * 190} for one in range(90)] for nth in range(200)]
    verdicts = asker.verdicts([tap(door["on"], "sent_back", steps=steps, why="", before="1") for steps in many[:100]])
    verdicts += asker.verdicts([tap(door["on"], "sent_back", steps=steps, why="", before="1") for steps in many[100:]])
    assert any(word.startswith("This is full") for word in verdicts)
    assert len(json.dumps(ThingState.objects.get(on=door["on"]).state)) <= 2_000_000


def test_a_panel_has_so_many_bare_areas_and_no_more(asker):
    door, sheet = panel(), laid_sheet(PRODUCTS[1], "2")

    def coat(nth: int) -> dict:
        fields = {"step": "1", "product": PRODUCTS[1]["id"], "coat": 1, "sheet": sheet, "area": f"area {nth}"}
        return tap(door["on"], "film_laid", film=new_id(now_ms(), nth.to_bytes(10)), **fields)

    asker.hears([door, *(coat(nth) for nth in range(150))])
    assert set(asker.verdicts([coat(nth) for nth in range(150, 200)])) == {"kept"}
    assert asker.verdicts([coat(200)])[0].startswith("This panel has 200 areas that were not sanded")


# --- one shop ---


def test_a_full_shop_keeps_no_more_and_says_so_long_before(asker):
    acts = [panel(f"Door {nth}") for nth in range(12)]
    with override_settings(SHOP_ACTS=10):
        first, second = asker.hears(acts[:8]), asker.hears(acts[8:])
    (note,) = first["notes"]
    assert note == {"key": "shop", "words": "This shop is 80 % full. Tell whoever runs the server in time."}
    whys = [one.get("why") for one in second["verdicts"]]
    assert (
        whys
        == [None] * 2 + ["This shop is full: no more taps fit. Tell whoever runs the server. Nothing was saved."] * 2
    )
    assert asker.verdicts(acts) == ["already kept"] * 10 + ["kept"] * 2  # the host gave it more room
    with override_settings(SHOP_BYTES=3_000):
        assert asker.verdicts([panel("Last")])[0].startswith("This shop is full")


@pytest.mark.parametrize("again", [False, True], ids=["as it was told", "put back from a backup of before"])
def test_the_bytes_of_a_shop_are_those_of_all_its_acts(asker, again):
    other, door = Asker(), panel()
    for acts in ([door, *named(door, 3)], [tap(), *named(door, 2)], [tap()]):
        asker.hears(acts)
        other.hears([panel()])
    if again:
        Act.objects.update(shop_bytes=0)
        ThingState.objects.all().delete()
        writer.fold_again(Shop.objects.get(pk=asker.shop.pk))
    acts = Act.objects.filter(shop=asker.shop)
    assert acts.latest("seq").shop_bytes == sum(len(json.dumps(act.body)) for act in acts)
    assert acts.count() == 8
    thing = ThingState.objects.get(shop=asker.shop, on=door["on"])
    assert thing.bytes == sum(len(json.dumps(act.body)) for act in acts.filter(on=door["on"]))


def test_a_phone_that_names_many_full_things_at_once_is_asked_for_fewer(asker, monkeypatch):
    doors = [panel() for _ in range(12)]
    asker.hears(doors)
    monkeypatch.setattr(quotas, "MOST_READ", 1_000)
    taps = [named(door)[0] for door in doors]
    assert asker.says(taps).status_code == 413
    assert asker.verdicts(taps[:6]) == ["kept"] * 6


def test_an_answer_holds_so_many_bytes_and_the_next_one_goes_on(asker, monkeypatch):
    doors = [panel(f"Door {nth}") for nth in range(9)]
    asker.hears(doors)
    monkeypatch.setattr(reader, "PAGE_BYTES", 1_000)
    cursor, pages = 0, []
    while not pages or pages[-1]["more"]:
        pages.append(sync.exchange(asker.phone, [], Heard(cursor), now_ms()))
        cursor = pages[-1]["cursor"]
    told = [one["on"] for page in pages for one in page["fragments"]]
    assert told == [door["on"] for door in doors]
    assert len(pages) > 2
    assert cursor == len(doors)


# --- one phone ---


@pytest.fixture
def clock(monkeypatch):
    """The seconds that pass, and what each request costs."""

    class Clock:
        now_s, work_s, cost_s = 1_000.0, 0.0, 1.0

        def monotonic(self) -> float:
            return self.now_s

        def thread_time(self) -> float:
            self.work_s += self.cost_s / 2
            return self.work_s * 2

    clock = Clock()
    monkeypatch.setattr(work_budget, "time", clock)
    work_budget.reset()
    yield clock
    work_budget.reset()


def test_a_phone_that_asks_without_end_waits_and_another_shop_does_not(asker, clock):
    other = Asker()
    answers = [asker.says([]).status_code for _ in range(40)]
    assert answers == [200] * 30 + [429] * 10
    assert other.says([panel()]).status_code == 200
    waits = asker.says([])
    assert (waits["Retry-After"], waits.content[:10]) == ("1", b"This phone")
    clock.now_s += 9.9
    assert [asker.says([]).status_code for _ in range(2)] == [200, 429]


def test_many_phones_of_one_shop_take_no_more_than_a_few(asker, clock):
    answers = []
    for _ in range(6):
        _, token = access.new_phone(asker.shop, Phone.Role.PAINTER, now_ms())
        client = Client(headers={"Authorization": f"Bearer {token}", "X-Sandtime": "1"})
        answers += [client.post("/sync", {"acts": "[]"}).status_code for _ in range(50)]
    assert answers.count(200) == 30 * work_budget.OF_A_SHOP


def test_a_backlog_of_five_thousand_taps_comes_in_whole(asker, clock):
    """As the page sends it: fifty at once, again after a wait where it is asked to."""
    clock.cost_s, left, waits = 2.0, [panel(f"Door {nth}") for nth in range(5_000)], 0
    while left:
        answer = asker.says(left[:50])
        if answer.status_code == 429:
            waits += 1
            clock.now_s += int(answer["Retry-After"])
            continue
        assert {one["verdict"] for one in answer.json()["verdicts"]} == {"kept"}
        del left[:50]
    assert waits > 10
    assert Act.objects.filter(shop=asker.shop).count() == 5_000
