"""The server's side of a bad network: order of arrival, repeats and refusals change nothing of what the log says.

The phones here are a double in Python, small and quick to change; what the phone itself may lose is looked for with its
own scripts (tests/browser/test_schedules.py).
"""

import json
import re
from collections import Counter, defaultdict
from unittest import mock

import pytest
from django.db import transaction
from django.test import Client

from shop.models import Shop
from tests.simulated import phone as people
from tests.simulated.world import World, fold
from tests.support.laws import as_text
from timers.core.card.lane_cards import card as card_of
from timers.core.clock import air, film
from timers.log import reader
from timers.models import Act, ThingState

pytestmark = pytest.mark.django_db
SCHEDULES = 80  # 100,000 in tests/soak
FEW = 10
TROUBLES = {
    *("heard", "asked in vain", "answer lost", "repeated", "late", "arrived late", "pages", "too many", "stranger"),
    *("kept", "already kept", "refused", "laid twice", "undone by another", "restored by another"),
}
ANSWER = re.compile(
    r'<script id="verdicts" type="application/json">(?P<verdicts>.*?)</script>\s*'
    r'<div id="cursor" data-cursor="(?P<cursor>\d+)" data-now="(?P<now>\d+)" data-more="(?P<more>yes|no)"'
)
FRAGMENT = re.compile(
    r'<section data-fragment="([^"]+)" data-seq="(\d+)">\s*<script type="application/json">(.*?)</script>'
)


def test_after_any_disorder_all_phones_show_what_the_log_says():
    assert lived(range(SCHEDULES)).keys() >= TROUBLES


def test_the_same_holds_over_http_as_our_own_page_asks():
    lived(range(10_000, 10_000 + FEW), html_road)


def test_the_same_holds_over_http_as_a_json_client_asks():
    lived(range(20_000, 20_000 + FEW), json_road)


def test_a_tap_stays_on_the_screen_while_the_answer_comes_page_by_page():
    """The panel moved again since, so its fragment is on a later page than the number of this phone's own tap."""
    world = World(1)
    one, two = world.phones[:2]
    air_read, _, _, added, done = people.common_start(world.rnd, world.now_ms)
    with mock.patch.object(reader, "PAGE", 1):
        one.keep(added)
        world.ask(one, "answer lost")
        for act in (air_read, done):
            two.keep(act)
            world.ask(two, "heard")
        world.ask(one, "heard")
    assert world.saw["vanished"] == 0


def lived(seeds, road=None) -> Counter:
    """Schedules from their seeds, each checked and taken out of the database again: what was seen in them."""
    saw = Counter()
    for seed in seeds:
        with transaction.atomic():
            world = World(seed, road)
            try:
                world.live()
                check_log(world)
                check_phones(world)
                check_floor(world)
            except Exception as why:
                why.add_note(f"This was schedule {seed} of tests/simulated/world.py.")
                raise
            saw += world.saw + crossings(world)
            transaction.set_rollback(True)
    return saw


def check_log(world: World) -> None:
    """Every act that was acknowledged is there once, under the number that was told, and the numbers have no gaps."""
    rows = list(Act.objects.filter(shop=world.shop).order_by("seq").values_list("seq", "body"))
    assert [seq for seq, _ in rows] == list(range(1, len(rows) + 1))
    assert [body for _, body in rows] == list(world.log.values())
    assert {body["id"]: seq for seq, body in rows} == world.seqs
    assert Shop.objects.get(pk=world.shop.pk).seq == len(rows)


def check_phones(world: World) -> None:
    """Every phone shows what the log folds to, in whatever order it is read; refused taps stay where they were made."""
    things = defaultdict(list)
    for act in world.log.values():
        things[act["on"]].append(act)
    stored = {on: (seq, state) for on, seq, state in rows_of(world)}
    assert stored.keys() == things.keys()
    for on, acts in things.items():
        seq, state = stored[on]
        assert seq == world.seqs[acts[-1]["id"]]
        folded = {as_text(fold(on, world.shuffled(acts))) for _ in range(3)}
        assert folded == {as_text(state)} == {as_text(phone.view(on)) for phone in world.phones}
    for phone in world.phones:
        assert set(phone.ons()) == things.keys()
        assert phone.refused() == list(phone.outbox.values())


def check_floor(world: World) -> None:
    """Each card that the server draws is the card that each phone draws from what it knows."""
    cards = reader.floor(world.shop, world.now_ms)["cards"]
    zone = reader.zone_of(world.shop, reader.surroundings(world.shop)[1])
    for phone in world.phones:
        trace = air.trace(phone.view("air") if "air" in phone.ons() else {"readings": []})
        for card in cards:
            state = phone.view(card["on"])
            assert card["face"] == card_of(state, film.times(state, trace), trace, world.now_ms, zone)


def rows_of(world: World):
    return ThingState.objects.filter(shop=world.shop).values_list("on", "seq", "state")


def crossings(world: World) -> Counter:
    """How often phones met in one thing: a coat laid twice, an act undone or put back by another phone."""
    rows = list(Act.objects.filter(shop=world.shop).values_list("body", "phone"))
    made = {body["id"]: phone for body, phone in rows}
    coats, saw = defaultdict(set), Counter()
    for body, phone in rows:
        if body["kind"] == "film_laid":
            coats[body["on"], body.get("step"), body["coat"]].add(phone)
        if body["kind"] in ("undone", "restored") and made.get(body["act"], phone) != phone:
            saw[f"{body['kind']} by another"] += 1
    saw["laid twice"] = sum(len(phones) > 1 for phones in coats.values())
    return saw


def html_road(phone, said: str, cursor: int, now_ms: int) -> tuple[int, dict | str]:
    """A post of our own page, and its answer read as sync.js reads it."""
    headers = {"HX-Request": "true", "Authorization": f"Bearer {phone.token}"}
    answer = Client().post("/sync", {"acts": said, "cursor": cursor}, headers=headers)
    html = answer.content.decode()
    if answer.status_code != 200:
        return answer.status_code, html
    told = ANSWER.search(html)
    fragments = [{"on": on, "seq": int(seq), **json.loads(kept)} for on, seq, kept in FRAGMENT.findall(html)]
    numbers = {"cursor": int(told["cursor"]), "now": int(told["now"]), "more": told["more"] == "yes"}
    return 200, {"verdicts": json.loads(told["verdicts"]), "fragments": fragments, **numbers}


def json_road(phone, said: str, cursor: int, now_ms: int) -> tuple[int, dict | str]:
    headers = {"Authorization": f"Bearer {phone.token}"}
    body = f'{{"acts": {said}, "cursor": {cursor}}}'
    answer = Client().post("/sync", body, content_type="application/json", headers=headers)
    return answer.status_code, answer.json() if answer.status_code == 200 else answer.content.decode()
