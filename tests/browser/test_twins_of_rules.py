"""Single rules through both twins: what is refused, ids, waits, words; and that every rule has a twin."""

import inspect
import json
import re
from typing import is_typeddict

import pytest

from tests.browser.twins import MODULES, a_zone, ask, rnd_for, same, some_surfaces, text_of, zone_of
from tests.random_logs import logs
from tests.random_logs.sheets import NOW_MS, new_id, points
from tests.support import core_modules
from tests.support.each import each
from timers.core.acts import act_schema, envelope, figures, product_schema, relations
from timers.core.base import check, words
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.clock import air, cure

pytestmark = pytest.mark.browser


def why_not(act: object) -> str:
    return envelope.refusal(act, NOW_MS)


def test_an_act_is_kept_or_refused_in_the_same_words(core_page):
    rnd = rnd_for("refusal")
    good = [act for _ in range(60) for act in logs.panel_log(rnd, 12) + logs.air_log(rnd, 2) + logs.product_log(rnd, 4)]
    twisted = [logs.twisted_act(rnd) for _ in range(3000)] + [logs.broken_act(rnd) for _ in range(1000)]
    odd = [None, True, 1, "", [], [good[0]], {}, {"__proto__": good[0]}]
    answers = same(core_page, "refusal", good + twisted + odd, why_not)
    assert not any(answers[: len(good)]), "good acts are kept"
    assert all(answers[-1000 - len(odd) :]), "broken ones are not"
    assert len({why.split(" (you ")[0] for why in answers}) > 60, "and for many reasons"


def test_an_act_as_large_as_can_be_is_kept_and_one_sign_more_is_not(core_page):
    blank = {"id": new_id(rnd_for("large")), "at": NOW_MS, "on": "air", "kind": "later", "said": ""}
    room = envelope.LARGEST - len(text_of(blank))
    cases = [{**blank, "said": sign * (room + by)} for sign in ("x", "🚙", "é") for by in (0, 1)]
    answers = same(core_page, "refusal", cases, why_not)
    assert [bool(why) for why in answers] == [False, True] * 3


def test_a_moment_is_kept_from_2020_on_and_up_to_two_days_ahead(core_page):
    act = {"id": new_id(rnd_for("moment")), "on": "air", "kind": "later"}
    first, last = envelope.EARLIEST_MS, NOW_MS + envelope.AHEAD_MS
    answers = same(core_page, "refusal", [{**act, "at": at} for at in (first - 1, first, last, last + 1)], why_not)
    assert [bool(why) for why in answers] == [True, False, False, True]


def test_what_is_just_allowed_and_what_is_just_not_are_the_same(core_page):
    here = new_id(rnd_for("edge"))
    blank = {"id": here, "at": NOW_MS, "on": f"panel:{here}"}

    def laid(sand=(200, 60_000, 60_000), more=0, coat=1, **limits):
        lines = [list(sand), *([sand[0] + nth, 60_000, 60_000] for nth in range(1, more + 1))]
        sheet = {"name": "Clear", "cls": "clear", "gates": {"sand": lines}, **limits}
        return {"kind": "film_laid", "film": "f", "product": "p", "coat": coat, "sheet": sheet}

    def added(name=1, steps=1, coats=1):
        route = [{"id": str(nth), "do": "coat", "words": "x", "coats": coats} for nth in range(steps)]
        return {"kind": "panel_added", "name": "🚙" * name, "steps": route}

    def found(films=1, ask_in=0):
        return {"kind": "found_not_ready", "films": ["f"] * films, "gate": "sand", "ask_at": NOW_MS + ask_in}

    pairs = [
        (laid(coat=99), laid(coat=100)),
        (laid(coat=1), laid(coat=0)),
        (laid(more=11), laid(more=12)),
        (laid(sand=(200, 1_000, 60_000)), laid(sand=(200, 999, 60_000))),
        (laid(sand=(200, 60_000, 365 * DAY_MS)), laid(sand=(200, 60_000, 365 * DAY_MS + 1))),
        (laid(sand=(-400, 60_000, 60_000)), laid(sand=(-401, 60_000, 60_000))),
        (laid(sand=(1500, 60_000, 60_000)), laid(sand=(1501, 60_000, 60_000))),
        (laid(lowest_dc=150, highest_dc=151), laid(lowest_dc=150, highest_dc=150)),
        (laid(double_dc=30), laid(double_dc=29)),
        (laid(double_dc=300), laid(double_dc=301)),
        (added(name=200), added(name=201)),
        (added(steps=100), added(steps=101)),
        (added(coats=20), added(coats=21)),
        (found(films=50), found(films=51)),
        (found(ask_in=act_schema.ASK_MS), found(ask_in=act_schema.ASK_MS + 1)),
    ]
    cases = [{**blank, **act} for pair in pairs for act in pair]
    answers = same(core_page, "refusal", cases, why_not)
    assert [bool(why) for why in answers] == [False, True] * len(pairs)


def test_a_cup_with_nothing_in_it_and_a_ring_of_another_thing_are_refused(core_page):
    here = new_id(rnd_for("between"))
    sheet = {"name": "Clear", "cls": "clear", "gates": {}}
    mixed = {"on": f"cup:{here}", "kind": "cup_mixed", "product": "p", "sheet": sheet, "by": "weight"}
    mixed["names"] = ["A", "B"]
    silenced = {"on": f"panel:{here}", "kind": "ring_silenced"}
    acts_of_both = [
        *({**mixed, "amounts": amounts} for amounts in ([0, 1], [0, 0])),
        *({**silenced, "ring": f"panel:{ring}"} for ring in (f"{here} x", f"{here}x")),
    ]
    answers = same(core_page, "refusal", [{"id": here, "at": NOW_MS, **act} for act in acts_of_both], why_not)
    assert [bool(why) for why in answers] == [False, True] * 2


@pytest.mark.parametrize("gate", ["__proto__", "constructor", "hasOwnProperty", "0"])
def test_a_sheet_with_a_time_named_like_something_every_object_has_is_refused(core_page, gate):
    sheet = {"name": "Clear", "cls": "clear", "gates": {"sand": [[200, 60_000, 60_000]], gate: [[200, 60_000, 60_000]]}}
    act = {"id": new_id(rnd_for(gate)), "at": NOW_MS, "kind": "film_laid", "film": "f", "product": "p", "coat": 1}
    act |= {"on": f"panel:{act['id']}", "sheet": sheet}
    (why,) = same(core_page, "refusal", [act], why_not)
    assert why.startswith("A time on the sheet is none of: pot")


def test_a_number_too_large_for_either_side_is_refused(core_page):
    act = {"id": new_id(rnd_for("far")), "at": NOW_MS, "on": "air", "kind": "later"}
    cases = [{**act, "far": [far]} for far in (2**53 - 1, -(2**53), 2**53, 1e300, 10**400)]
    answers = same(core_page, "refusal", cases, why_not)
    assert [bool(why) for why in answers] == [False, True, True, True, True]


def test_signs_that_are_blank_or_cannot_be_kept_are_the_same(core_page):
    def answer(point):
        try:
            check.text("It", chr(point), 1, 200)
        except check.Refused as why:
            return str(why)
        return ""

    same(core_page, "sign", [*range(0x10000), *range(0x10000, 0x110000, 509)], answer)


def test_ids_are_the_same(core_page):
    rnd = rnd_for("ids")
    moments = [0, 1, 2**48 - 1, NOW_MS, *(rnd.randrange(2**48) for _ in range(300))]
    cases = [{"at": at, "bytes": list(rnd.randbytes(10))} for at in moments]
    for made in same(core_page, "new_id", cases, lambda case: envelope.new_id(case["at"], bytes(case["bytes"]))):
        assert envelope.is_id(made)


def a_sheet(rnd) -> dict:
    limits = {"lowest_dc": rnd.choice([None, 100]), "highest_dc": rnd.choice([None, 350])}
    double = rnd.choice([None, 30, 100, rnd.randint(30, 300)])
    return {**limits, "double_dc": double, "gates": {"sand": points(rnd)}}


def or_cold(reckon):
    try:
        return reckon()
    except cure.TooCold as why:
        return f"too cold: {why}"


def test_a_wait_is_the_same_to_the_millisecond(core_page):
    rnd = rnd_for("wait")
    cases = [
        {"sheet": a_sheet(rnd), "gate": "sand", "temps": [rnd.randint(-400, 600) for _ in range(12)]}
        for _ in range(1000)
    ]

    def answer(case):
        sides = cure.opening(case["sheet"], "sand"), cure.closing(case["sheet"], "sand")
        return [[or_cold(lambda t=temp, s=side: cure.wait_ms(s, t)) for temp in case["temps"]] for side in sides]

    same(core_page, "wait", cases, answer)


def test_a_gate_is_reached_at_the_same_millisecond(core_page):
    rnd = rnd_for("reach")
    cases = []
    for _ in range(1500):
        start = NOW_MS - rnd.randint(0, 20 * DAY_MS)
        readings = logs.air_log(rnd, rnd.choice([0, 1, 5, 40]))
        trace = air.trace(air.fold(readings), some_surfaces(rnd, readings))
        cases.append({"sheet": a_sheet(rnd), "gate": "sand", "start": start, "trace": trace})

    def answer(case):
        start, trace = case["start"], case["trace"]
        opening, closing = cure.opening(case["sheet"], "sand"), cure.closing(case["sheet"], "sand")
        reached = cure.opens_at(opening, start, trace), cure.closes_at(closing, start, trace)
        return [*reached, cure.beyond(opening, start, start + 3_600_000, trace, cure.COLD), opening, closing]

    same(core_page, "reach", cases, answer)


def test_durations_are_said_alike(core_page):
    rnd = rnd_for("span")
    round_ones = [size * count for size in (MINUTE_MS, HOUR_MS, DAY_MS) for count in (0, 1, 2, 23, 24, 59, 60, 1440)]
    cases = [one + by for one in round_ones for by in (-1, 0, 1)]
    cases += [rnd.randint(-10, 10 ** rnd.randint(3, 14)) for _ in range(2000)]
    same(core_page, "span", cases, words.span)


def test_clock_times_are_said_alike(core_page):
    rnd = rnd_for("clock")
    cases = []
    for _ in range(4000):
        now = rnd.choice([NOW_MS, rnd.randint(-(10**12), 253_402_300_799_999), rnd.randint(0, DAY_MS)])
        by = rnd.choice([rnd.randint(-8 * DAY_MS, 8 * DAY_MS), rnd.randint(-(10**12), 10**12), DAY_MS, 0])
        at = rnd.choice([now + by, (now + by) // DAY_MS * DAY_MS + rnd.choice([-1, 0, 1])])
        cases.append({"at": at, "now": now, "zone": a_zone(rnd)})

    def answer(case):
        return [
            said(case["at"], case["now"], zone_of(case["zone"])) for said in (words.clock, words.opens, words.shuts)
        ]

    same(core_page, "clock", cases, answer)


def test_degrees_and_scaled_numbers_are_said_alike(core_page):
    rnd = rnd_for("plain")
    same(core_page, "degrees", list(range(-1500, 1501)), words.degrees)
    cases = [
        [rnd.randint(-(10 ** (size := rnd.randint(1, 15))), 10**size), rnd.choice([1, 10, 60_000])] for _ in range(2000)
    ]
    same(core_page, "plain", cases, lambda case: check.plain(*case))


# What air, heat and practice offer beside their rules differs between the sides.
NOT_COMPARED = ("relations", "air", "heat", "practice")


@each("name", [name for name in MODULES if name not in NOT_COMPARED])
def test_every_rule_has_a_twin_and_no_twin_has_a_rule_of_its_own(core_page, name):
    module = core_modules.module(name)
    public = {key: value for key, value in vars(module).items() if not key.startswith("_")}
    ours = [key for key, value in public.items() if getattr(value, "__module__", "") == module.__name__]
    made = [key for key in ours if not is_typeddict(public[key])]
    (said,) = ask(core_page, "exports", [name])
    twin = json.loads(said)
    assert "missing" not in twin["held"], twin
    assert twin["made"] == sorted(re.sub(r"_(\w)", lambda sign: sign[1].upper(), key) for key in made)
    assert all(inspect.isfunction(public[key]) or inspect.isclass(public[key]) for key in made)
    for key, value in twin["held"].items():
        assert value == ("pattern" if isinstance(public[key], re.Pattern) else json.loads(json.dumps(public[key]))), key


def test_both_sides_have_the_same_relations_by_name(core_page):
    theirs = core_page.evaluate("async () => Object.keys((await import('/js/core/acts/relations.js')).RULES)")
    assert theirs == list(relations.RULES)


ROWS = """async () => {
  const { KINDS, FIGURES, FORM } = await import('/js/core/acts/schema.js');
  return [{ ...KINDS }, FIGURES, FORM];
}"""


def test_the_phone_reads_the_rows_that_the_server_reads(core_page):
    assert core_page.evaluate(ROWS) == json.loads(json.dumps([act_schema.KINDS, figures.FIGURES, product_schema.FORM]))
