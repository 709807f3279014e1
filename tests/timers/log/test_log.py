"""The log and its folds: what is kept, in which order, and what the floor makes of it."""

import json
import random

import pytest

from shop.models import Phone, Shop
from tests.random_logs import logs
from timers.core.acts import envelope as rules
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.fold import panel
from timers.core.fold.shelf import laid_sheet
from timers.defaults import products
from timers.log import reader, sync, writer
from timers.log.epoch import Heard
from timers.models import Act, ThingState
from timers.shops import sign_up

pytestmark = pytest.mark.django_db
NOW_MS = logs.NOW_MS
PUTTY = products.PRODUCTS[1]
STEPS = [
    {"id": "1", "do": "fill", "words": "Glazing putty", "cls": "putty"},
    {"id": "2", "do": "sand", "words": "Block P180", "grit": 180},
]


@pytest.fixture
def shop() -> Shop:
    return Shop.objects.create(name="Any garage", zone="Europe/Berlin", made_ms=NOW_MS)


@pytest.fixture
def rnd() -> random.Random:
    return random.Random(7)


def tap(rnd, on: str = "air", kind: str = "air_read", ago_ms: int = 0, **fields) -> dict:
    fields = fields or {"temp_dc": 200}
    return {"id": logs.new_id(rnd), "at": NOW_MS - ago_ms, "on": on, "kind": kind, **fields}


def panel_of(rnd, name: str = "Left front door", ago_ms: int = HOUR_MS) -> dict:
    return tap(rnd, f"panel:{logs.new_id(rnd)}", "panel_added", ago_ms, name=name, steps=STEPS)


def putty_on(rnd, door: dict, ago_ms: int) -> dict:
    film = {"film": logs.new_id(rnd), "step": "1", "product": PUTTY["id"], "coat": 1}
    return tap(rnd, door["on"], "film_laid", ago_ms, **film, sheet=laid_sheet(PUTTY, "2"))


def kept(shop: Shop, acts: list) -> list[int]:
    """Append acts that must all be kept: their numbers."""
    verdicts = writer.append(shop.pk, None, acts, NOW_MS)
    assert {one["verdict"] for one in verdicts} == {"kept"}
    return [one["seq"] for one in verdicts]


def state_of(shop: Shop, on: str) -> dict:
    return ThingState.objects.get(shop=shop, on=on).state


# --- numbers ---


def test_numbers_have_no_gaps_whatever_is_refused_between_them(shop, rnd):
    acts = [tap(rnd, temp_dc=rnd.choice([200, 4000])) for _ in range(60)]
    for at in range(0, 60, 7):
        writer.append(shop.pk, None, acts[at : at + 9], NOW_MS)
    good = [act["id"] for act in acts if act["temp_dc"] == 200]
    rows = Act.objects.order_by("seq")
    assert [row.body["id"] for row in rows] == good
    assert [row.seq for row in rows] == list(range(1, len(good) + 1))


def test_each_shop_counts_for_itself_and_may_hold_an_act_of_the_same_number(shop, rnd):
    other, act = sign_up.access.new_shop("Other garage", "UTC", NOW_MS), tap(rnd)
    assert kept(shop, [tap(rnd), act]) == [1, 2]
    assert kept(other, [{**act, "temp_dc": 100}]) == [1]
    assert len(state_of(shop, "air")["readings"]) == 2


def test_an_act_that_comes_twice_in_one_post_is_kept_once(shop, rnd):
    act = tap(rnd)
    verdicts = writer.append(shop.pk, None, [act, dict(act), {**act, "temp_dc": 201}], NOW_MS)
    assert [one["verdict"] for one in verdicts] == ["kept", "already kept", "refused"]
    assert [one.get("seq") for one in verdicts] == [1, 1, None]


def test_a_post_with_nothing_good_in_it_leaves_the_shop_as_it_was(shop, rnd):
    writer.append(shop.pk, None, [tap(rnd, temp_dc=4000), 5], NOW_MS)
    assert (Shop.objects.get().seq, Act.objects.count(), ThingState.objects.count()) == (0, 0, 0)


def test_an_act_once_kept_stays_acknowledged_when_the_rules_would_refuse_it_now(shop, rnd):
    act = tap(rnd, ago_ms=-rules.AHEAD_MS)
    assert kept(shop, [act]) == [1]
    (verdict,) = writer.append(shop.pk, None, [act], NOW_MS - DAY_MS)
    assert (verdict["verdict"], verdict["seq"]) == ("already kept", 1)


def test_a_clock_may_run_two_days_ahead_and_no_more(shop, rnd):
    acts = [tap(rnd, ago_ms=-ms) for ms in (rules.AHEAD_MS, rules.AHEAD_MS + 1)]
    verdicts = writer.append(shop.pk, None, acts, NOW_MS)
    assert [one["verdict"] for one in verdicts] == ["kept", "refused"]
    assert "two days" in verdicts[1]["why"]


def test_an_act_remembers_the_phone_that_told_it_and_when_it_was_heard(shop, rnd):
    phone, _ = sign_up.access.new_phone(shop, Phone.Role.PAINTER, NOW_MS)
    writer.append(shop.pk, phone, [tap(rnd, ago_ms=DAY_MS)], NOW_MS)
    row = Act.objects.get()
    assert (row.phone, row.received_ms, row.at_ms) == (phone, NOW_MS, NOW_MS - DAY_MS)


# --- folds ---


@pytest.mark.parametrize("seed", range(20))
def test_in_whatever_pieces_and_order_a_log_arrives_the_state_is_that_of_the_whole(shop, seed):
    rnd = random.Random(seed)
    acts = rnd.choice([logs.panel_log, logs.air_log, logs.product_log])(rnd, rnd.randint(1, 30))
    pieces = list(acts)
    while pieces:
        size = rnd.randint(1, 5)
        again = rnd.sample(acts, min(2, len(acts)))
        verdicts = writer.append(shop.pk, None, pieces[:size] + again, NOW_MS)
        assert {one["verdict"] for one in verdicts} <= {"kept", "already kept"}
        pieces = pieces[size:]
    on = acts[0]["on"]
    whole = writer.FOLDS[on.split(":")[0]](rnd.sample(acts, len(acts)))
    row = ThingState.objects.get()
    assert json.dumps(row.state, sort_keys=True) == json.dumps(whole, sort_keys=True)
    assert row.seq == Shop.objects.get().seq == len(acts)


def test_a_kind_of_a_later_version_is_kept_whole_and_changes_nothing(shop, rnd):
    door = panel_of(rnd)
    later = tap(rnd, door["on"], "lamp_lit", watt=1.5, deep={"__proto__": [None, {"a": "🚙"}]})
    kept(shop, [door, later])
    assert Act.objects.get(kind="lamp_lit").body == later
    assert state_of(shop, door["on"]) == panel.fold([door])


def test_a_thing_that_cannot_be_folded_refuses_its_own_acts_and_no_others(shop, rnd, monkeypatch):
    door, hood = panel_of(rnd), panel_of(rnd, "Hood")
    kept(shop, [hood])

    def fold(acts):
        return 1 // 0 if any(act["on"] == hood["on"] for act in acts) else panel.fold(acts)

    monkeypatch.setitem(writer.FOLDS, "panel", fold)
    named = tap(rnd, hood["on"], "panel_named", name="Bonnet")
    verdicts = writer.append(shop.pk, None, [named, door, tap(rnd), named], NOW_MS)
    assert [one["verdict"] for one in verdicts] == ["refused", "kept", "kept", "refused"]
    assert verdicts[0]["why"] == "Sandtime could not reckon with this tap. It stays on this phone."
    assert state_of(shop, hood["on"])["name"] == "Hood"
    assert [row.seq for row in Act.objects.order_by("seq")] == [1, 2, 3]
    monkeypatch.undo()
    assert kept(shop, [named]) == [4]


# --- what a phone has not seen, page by page ---


def test_a_thousand_panels_come_in_pages_and_stand_on_the_floor(shop, rnd):
    doors = [panel_of(rnd, f"Panel {n}") for n in range(1000)]
    for at in range(0, 1000, sync.MOST_ACTS):
        kept(shop, doors[at : at + sync.MOST_ACTS])
    kept(shop, [putty_on(rnd, door, 5 * MINUTE_MS) for door in doors[:500]])
    seen, cursor, more = {}, 0, True
    while more:
        answer = reader.changed(shop, Heard(cursor), NOW_MS)
        assert len(answer["fragments"]) <= reader.PAGE
        assert answer["cursor"] > cursor
        seen |= {fragment["on"]: fragment for fragment in answer["fragments"]}
        cursor, more = answer["cursor"], answer["more"]
    assert (len(seen), cursor) == (1000, 1500)
    assert {card["on"] for card in reader.floor(shop, NOW_MS)["cards"]} == set(seen)


def test_a_phone_that_has_seen_all_is_told_nothing_twice(shop, rnd):
    kept(shop, [panel_of(rnd), tap(rnd)])
    last = str(Act.objects.get(seq=2).act_id)
    standing = {"cursor": 2, "cursor_act": last, "memory": str(shop.epoch), "seen": 0, "unused": False}
    assert reader.changed(shop, Heard(2), NOW_MS) == {"fragments": [], "more": False, **standing}


def test_a_thing_that_moves_between_two_pages_comes_again(shop, rnd, monkeypatch):
    monkeypatch.setattr(reader, "PAGE", 1)
    door, hood = panel_of(rnd), panel_of(rnd, "Hood")
    kept(shop, [door, hood])
    first = reader.changed(shop, Heard(), NOW_MS)
    kept(shop, [putty_on(rnd, door, 0)])
    rest = [reader.changed(shop, Heard(cursor), NOW_MS) for cursor in (first["cursor"], 2)]
    shown = [fragment["on"] for answer in (first, *rest) for fragment in answer["fragments"]]
    assert shown == [door["on"], hood["on"], door["on"]]
    assert [answer["more"] for answer in (first, *rest)] == [True, True, False]


def test_a_panel_put_away_leaves_the_floor_and_comes_back_with_its_clock(shop, rnd):
    door = panel_of(rnd)
    kept(shop, [door, putty_on(rnd, door, 5 * MINUTE_MS)])
    before = reader.floor(shop, NOW_MS)
    kept(shop, [tap(rnd, door["on"], "panel_put_away", 3, x=0)])
    assert reader.floor(shop, NOW_MS) == {"hands": "No panel yet. Add the first one.", "cards": [], "curing": []}
    kept(shop, [tap(rnd, door["on"], "panel_brought_back", 2, x=0)])
    assert reader.floor(shop, NOW_MS) == before


def test_a_product_put_away_or_written_anew_leaves_the_clock_of_a_film_that_runs(shop, rnd):
    on, door = f"product:{PUTTY['id']}", panel_of(rnd)
    kept(shop, [tap(rnd, on, "sheet_written", DAY_MS, doc=PUTTY), door, putty_on(rnd, door, 5 * MINUTE_MS)])
    before = reader.floor(shop, NOW_MS)
    slower = {**PUTTY, "gates": {"sand": [[200, 60 * MINUTE_MS, 90 * MINUTE_MS]]}}
    kept(shop, [tap(rnd, on, "sheet_written", 2, doc=slower), tap(rnd, on, "sheet_put_away", 1, x=0)])
    assert state_of(shop, on)["away_at"] == NOW_MS - 1
    assert reader.floor(shop, NOW_MS) == before
