"""When two phones do things at once: the rules of timers/DECISIONS.md, told through the log in any order."""

import itertools
import os

import pytest

from shop.security import access
from timers.core.acts.envelope import AHEAD_MS, new_id
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.fold.shelf import laid_sheet
from timers.defaults.products import PRODUCTS
from timers.log import reader, writer
from timers.models import ThingState

pytestmark = pytest.mark.django_db
NOW_MS = 1_781_000_000_000
SURFACER = PRODUCTS[5]
STEPS = [
    {"id": "1", "do": "coat", "words": "Surfacer", "cls": "surfacer", "coats": 2},
    {"id": "2", "do": "sand", "words": "Block P500", "grit": 500},
]


class Phone:
    """A phone that makes acts; they are told when the story says so."""

    def __init__(self, shop):
        self.row = access.new_phone(shop, "painter", NOW_MS)[0]

    def act(self, on: str, kind: str, ago_ms: int, **fields) -> dict:
        at = NOW_MS - ago_ms
        return {"id": _id(at), "at": at, "on": on, "kind": kind, "who": str(self.row.pk), **fields}

    def coat(self, on: str, ago_ms: int, coat: int = 1, sheet: dict | None = None) -> dict:
        laid = {"step": "1", "product": SURFACER["id"], "coat": coat, "sheet": sheet or laid_sheet(SURFACER, "1")}
        return self.act(on, "film_laid", ago_ms, film=_id(NOW_MS), **laid)

    def tell(self, *acts: dict) -> list[dict]:
        return writer.append(self.row.shop_id, self.row, list(acts), NOW_MS)


def _id(at_ms: int) -> str:
    return new_id(at_ms, os.urandom(10))


@pytest.fixture
def shop():
    return access.new_shop("Ours", "UTC", NOW_MS)


@pytest.fixture
def pair(shop) -> tuple[Phone, Phone]:
    return Phone(shop), Phone(shop)


@pytest.fixture
def hood(pair) -> str:
    on = f"panel:{_id(NOW_MS)}"
    pair[0].tell(pair[0].act(on, "panel_added", 5 * HOUR_MS, name="Hood", steps=STEPS))
    return on


def state(shop, on: str) -> dict:
    return ThingState.objects.get(shop=shop, on=on).state


def shown(shop) -> dict:
    (card,) = reader.floor(shop, NOW_MS)["cards"]
    return card["face"]


def every_order(on: str, *acts: dict) -> list[dict]:
    """What the panel comes to when the same acts arrive in every order, each time at a shop of its own."""
    came_to = []
    for order in itertools.permutations(acts):
        shop = access.new_shop("Once more", "UTC", NOW_MS)
        for act in order:
            assert writer.append(shop.pk, None, [act], NOW_MS)[0]["verdict"] == "kept"
        came_to.append(state(shop, on))
    return came_to


def the_one(came_to: list[dict]) -> dict:
    assert all(one == came_to[0] for one in came_to)
    return came_to[0]


# --- two phones lay the same coat ---


def test_one_coat_told_of_by_two_phones_counts_twice_and_is_asked_about(shop, pair, hood):
    one, two = pair
    one.tell(one.coat(hood, 7 * MINUTE_MS))
    assert "twice" not in shown(shop)
    two.tell(two.coat(hood, 5 * MINUTE_MS))
    assert shown(shop)["twice"] == (
        "Surfacer, 2K high build, coat 1: laid on two phones, 10:06 and 10:08. Once or twice?"
    )
    assert state(shop, hood)["steps"][0]["laid"] == 2


def test_a_coat_laid_by_a_phone_that_had_heard_of_the_one_before_is_the_next_coat(shop, pair, hood):
    one, two = pair
    one.tell(one.coat(hood, 17 * MINUTE_MS))
    two.tell(two.coat(hood, 5 * MINUTE_MS, coat=2))
    assert "twice" not in shown(shop)
    assert state(shop, hood)["steps"][0]["laid"] == 2


def test_said_to_be_one_it_is_one_and_said_to_be_two_it_is_two(shop, pair, hood):
    one, two = pair
    first, second = one.coat(hood, 7 * MINUTE_MS), two.coat(hood, 5 * MINUTE_MS)
    one.tell(first, second)
    out = one.act(hood, "undone", 3 * MINUTE_MS, act=second["id"])
    one.tell(out)
    assert "twice" not in shown(shop)
    assert [film["id"] for film in state(shop, hood)["films"]] == [first["film"]]
    one.tell(one.act(hood, "restored", 2 * MINUTE_MS, act=second["id"]))
    assert "twice" in shown(shop)  # put back, it is asked about again
    two.tell(two.act(hood, "both_laid", MINUTE_MS, films=[first["film"], second["film"]]))
    assert "twice" not in shown(shop)
    assert state(shop, hood)["steps"][0]["laid"] == 2


def test_of_two_answers_the_later_stands_and_never_both_coats_go(pair, hood):
    one, two = pair
    first, second = one.coat(hood, 7 * MINUTE_MS), two.coat(hood, 5 * MINUTE_MS)
    answers = []
    for phone, ago, stays, goes in ((one, 3, first, second), (two, 2, second, first)):
        answers += [phone.act(hood, "undone", ago * MINUTE_MS, act=goes["id"])]
        answers += [phone.act(hood, "restored", ago * MINUTE_MS, act=stays["id"])]
    for order in itertools.permutations(answers):
        shop = access.new_shop("Once more", "UTC", NOW_MS)
        writer.append(shop.pk, None, [first, second, *order], NOW_MS)
        assert [film["id"] for film in state(shop, hood)["films"]] == [second["film"]]


# --- one undoes what the other did ---


def test_the_last_word_on_an_act_rules_whatever_arrives_first(pair, hood):
    one, two = pair
    coat = one.coat(hood, 30 * MINUTE_MS)
    out = two.act(hood, "undone", 20 * MINUTE_MS, act=coat["id"])
    put_back = one.act(hood, "restored", 10 * MINUTE_MS, act=coat["id"])
    assert the_one(every_order(hood, coat, out))["films"] == []
    stays = the_one(every_order(hood, coat, out, put_back))
    assert [film["id"] for film in stays["films"]] == [coat["film"]]


# --- one edits the sheet while the other mixes ---


def test_a_film_and_a_cup_keep_the_sheet_they_were_made_with(shop, pair, hood):
    one, two = pair
    product = f"product:{_id(NOW_MS)}"
    doc = {**SURFACER, "id": product.split(":")[1], "typical": False}
    one.tell(one.act(product, "sheet_written", HOUR_MS, doc=doc))
    old, cup = laid_sheet(doc, "1"), f"cup:{_id(NOW_MS)}"
    slower = {**doc, "gates": {**doc["gates"], "flash": [[200, 40 * MINUTE_MS, 60 * MINUTE_MS]]}}
    mix = {"product": doc["id"], "sheet": old, "by": "volume", "amounts": [400, 100], "names": ["Base", "Hardener"]}
    edit = one.act(product, "sheet_written", 20 * MINUTE_MS, doc=slower)
    mixed = two.act(cup, "cup_mixed", 19 * MINUTE_MS, **mix)
    coat = two.coat(hood, 15 * MINUTE_MS, sheet=old)
    one.tell(edit)
    two.tell(mixed, coat)  # it had not heard of the new sheet
    assert state(shop, product)["doc"]["gates"]["flash"] == slower["gates"]["flash"]
    assert state(shop, cup)["sheet"] == old
    assert [film["sheet"] for film in state(shop, hood)["films"]] == [old]


# --- one is three hours behind ---


def test_what_a_phone_tells_three_hours_late_stands_where_it_happened(shop, pair, hood):
    one, two = pair
    late = two.coat(hood, 200 * MINUTE_MS)  # laid with no signal, told now
    coat = one.coat(hood, 20 * MINUTE_MS)
    one.tell(coat)
    assert shown(shop)["step"] == "Surfacer, coat 2 of 2"
    two.tell(late)
    assert [film["id"] for film in state(shop, hood)["films"]] == [late["film"], coat["film"]]
    assert state(shop, hood)["steps"][0]["done_at"] == coat["at"]
    assert "twice" in shown(shop)  # neither phone had heard of the other's coat, three hours apart
    came_to = every_order(hood, one.act(hood, "panel_added", 300 * MINUTE_MS, name="Hood", steps=STEPS), late, coat)
    assert the_one(came_to)["steps"][0]["laid"] == 2


def test_a_film_told_late_was_sanded_by_the_sanding_after_it(shop, pair, hood):
    one, two = pair
    late = two.coat(hood, 3 * HOUR_MS)
    one.tell(one.act(hood, "step_done", HOUR_MS, step="2"))
    two.tell(late)
    assert state(shop, hood)["films"][0]["sanded"] == [""]


# --- one has a wrong clock ---


def test_a_film_of_a_clock_a_day_ahead_is_kept_and_the_card_says_that_a_clock_is_wrong(shop, pair, hood):
    one, two = pair
    wrong = two.coat(hood, -DAY_MS)
    assert two.tell(wrong)[0]["verdict"] == "kept"
    assert shown(shop)["note"].startswith("laid at a time still to come: a phone's clock is wrong")
    one.tell(one.act(hood, "undone", 0, act=wrong["id"]))  # on a right clock, before the moment of what it takes out
    assert state(shop, hood)["films"] == []


def test_a_tap_of_a_clock_more_than_two_days_ahead_is_refused_in_words(pair, hood):
    (told,) = pair[1].tell(pair[1].coat(hood, -AHEAD_MS - 1))
    assert told["why"].startswith("This tap says it happens more than two days from now. Set the phone's clock")
