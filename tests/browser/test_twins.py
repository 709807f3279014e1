"""Random logs through both twins, compared as JSON text.

TWINS_SEED=7 gives other logs.  A failure names the seed, the case and the place where the two texts part.
"""

import importlib
import inspect
import json
import os
import pkgutil
import random
import re
from pathlib import Path

import pytest

import timers.core
from tests import logs
from timers.core import acts as acts_rules
from timers.core import air, check, cure, face, film, order, panel, ring, shelf, words
from timers.core.units import DAY_MS, HOUR_MS, MINUTE_MS

pytestmark = pytest.mark.browser

SEED = os.environ.get("TWINS_SEED", "1")
NOW_MS = logs.NOW_MS
MODULES = sorted(module.name for module in pkgutil.iter_modules(timers.core.__path__))

JS = Path(__file__).with_name("twins.js").read_text("utf-8")


@pytest.fixture(scope="module")
def ask(core_page):
    """Both twins loaded once; a function that gives the JavaScript side's answers as JSON texts."""
    core_page.evaluate(JS, [MODULES, NOW_MS])

    def ask_page(name: str, cases: list) -> list[str]:
        said = []
        for at in range(0, len(cases), 500):
            said += core_page.evaluate("ask", [name, json.dumps(cases[at : at + 500])]).split("\n")
        return said

    return ask_page


def same(ask, name: str, cases: list, answer) -> list:
    """Every case answered alike by both sides; the Python side's answers."""
    answers = [answer(case) for case in cases]
    for nth, (given, ours, theirs) in enumerate(zip(cases, map(text_of, answers), ask(name, cases), strict=True)):
        if ours != theirs:
            parts = next((at for at, (a, b) in enumerate(zip(ours, theirs, strict=False)) if a != b), 0)
            at = max(0, parts - 80)
            pytest.fail(
                f"seed {SEED}: case {nth} of {len(cases)} of {name!r} differs at character {parts}\n"
                f"python      ...{ours[at : at + 240]}\njavascript  ...{theirs[at : at + 240]}\n"
                f"case        {json.dumps(given)[:8000]}",
                pytrace=False,
            )
    return answers


def text_of(value: object) -> str:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def rnd_for(name: str) -> random.Random:
    return random.Random(f"{SEED} {name}")


def zone_of(spec: list):
    return lambda ms: next((minutes for begin, minutes in reversed(spec) if begin <= ms), spec[0][1])


def a_zone(rnd) -> list:
    """A zone as steps [from_ms, minutes east]: fixed, or with clocks that change near the logs' moments."""
    east = rnd.choice([0, 60, -300, 345, 330, 840, -720, -210, rnd.randint(-840, 840)])
    turns = sorted(NOW_MS - rnd.randint(0, 20 * DAY_MS) // HOUR_MS * HOUR_MS for _ in range(rnd.choice([0, 1, 2])))
    return [[0, east], *([at, east + rnd.choice([60, -60, 30])] for at in turns)]


def some_surfaces(rnd) -> list:
    surfaces = []
    for _ in range(rnd.choice([0, 0, 1, 2])):
        begin = NOW_MS - rnd.randint(0, 20 * DAY_MS)
        surfaces.append([begin, rnd.choice([None, begin, begin + rnd.randint(1, DAY_MS)]), rnd.randint(-100, 600)])
    return surfaces


def resent(rnd, acts: list) -> list:
    """A log in which some acts arrive twice."""
    twice = acts + rnd.sample(acts, min(len(acts), rnd.choice([0, 1, 5])))
    rnd.shuffle(twice)
    return twice


def edges(rnd, times: dict) -> list[int]:
    """Moments to look at a panel: just before, at and just after each of its own, and some others."""
    opens, shuts = times["opens_at"], times["shuts_at"]
    own = [opens, shuts, times["ask_at"], times["laid_at"]]
    if opens is not None and shuts is not None:
        own.append(shuts - film.lead_ms(opens, shuts))
    near = [moment + by for moment in own if moment is not None for by in (-1, 0, 1)]
    return [*near, NOW_MS - rnd.randint(0, 20 * DAY_MS), NOW_MS, NOW_MS + rnd.randint(0, 9 * DAY_MS)]


def panel_case(rnd) -> dict:
    acts = resent(rnd, logs.panel_log(rnd, rnd.choice([1, 6, 15, 40])))
    readings, surfaces = logs.air_log(rnd, rnd.randint(0, 12)), some_surfaces(rnd)
    times = film.times(panel.fold(acts), air.trace(air.fold(readings), surfaces))
    case = {"acts": acts, "readings": readings, "surfaces": surfaces, "zone": a_zone(rnd)}
    return {**case, "nows": edges(rnd, times)}


def panel_answer(case: dict) -> dict:
    zone = zone_of(case["zone"])
    state = panel.fold(case["acts"])
    trace = air.trace(air.fold(case["readings"]), case["surfaces"])
    times = film.times(state, trace)
    laid, opens = times["laid_at"], times["opens_at"]
    return {
        "state": state,
        "trace": trace,
        "times": times,
        "under": [panel.under(state, area) for area in ["", *(one["area"] for one in state["films"])]],
        "nows": [
            {
                "face": face.face(state, times, trace, now, zone),
                "next": face.next_at(times, now),
                "ask": film.ask_again_at(now if laid is None else laid, opens, now),
            }
            for now in case["nows"]
        ],
    }


def test_a_panel_folds_and_shows_alike(ask):
    rnd = rnd_for("panel")
    answers = same(ask, "panel", [panel_case(rnd) for _ in range(900)], panel_answer)
    seen = {now["face"]["state"] for answer in answers for now in answer["nows"]}
    assert seen == set(face.STATE_WORDS), "the logs bring a panel into every state"


def test_acts_stand_in_the_same_order(ask):
    rnd = rnd_for("order")
    cases = [resent(rnd, logs.panel_log(rnd, rnd.randint(0, 30))) for _ in range(400)]

    def answer(acts):
        return {
            "order": [act["id"] for act in order.in_order(acts)],
            "out": sorted(order.taken_out(acts)),
            "standing": [act["id"] for act in order.standing(acts)],
        }

    assert any(answer["out"] for answer in same(ask, "order", cases, answer))


def test_the_air_folds_and_is_traced_alike(ask):
    rnd = rnd_for("air")
    cases = [
        {
            "acts": resent(rnd, logs.air_log(rnd, rnd.randint(0, 30))),
            "surfaces": some_surfaces(rnd),
            "nows": [NOW_MS - rnd.randint(0, 25 * DAY_MS) for _ in range(5)],
        }
        for _ in range(600)
    ]

    def answer(case):
        folded = air.fold(case["acts"])
        trace = air.trace(folded, case["surfaces"])
        nows = [[air.at(trace, now), air.last_read(folded, now), air.stale(folded, now)] for now in case["nows"]]
        return {"folded": folded, "trace": trace, "bare": air.trace(folded), "nows": nows}

    same(ask, "air", cases, answer)


def test_the_floor_stands_in_the_same_order_and_hands_hear_the_same_line(ask):
    rnd = rnd_for("floor")
    cases = []
    for _ in range(150):
        panels = [
            {"id": f"panel:{logs.new_id(rnd)}", "acts": logs.panel_log(rnd, rnd.choice([3, 12]))}
            for _ in range(rnd.choice([0, 1, 2, 6, 12]))
        ]
        now = NOW_MS - rnd.randint(0, 10 * DAY_MS)
        cases.append({"panels": panels, "readings": logs.air_log(rnd, 4), "now": now, "zone": a_zone(rnd)})

    def answer(case):
        zone, now, trace = zone_of(case["zone"]), case["now"], air.trace(air.fold(case["readings"]))
        rows = [row_of(one, trace, now, zone) for one in case["panels"]]
        return {"rows": ring.floor_order(rows), "hands": ring.hands_line(rows, now, zone)}

    hands = {answer["hands"].split(" ")[0] for answer in same(ask, "floor", cases, answer)}
    assert hands == {"No", "Now:", "Hands", "Nothing"}


def row_of(one: dict, trace: list, now: int, zone) -> dict:
    state = panel.fold(one["acts"])
    times = film.times(state, trace)
    shown = face.face(state, times, trace, now, zone)
    moments = {key: times[key] for key in ("opens_at", "shuts_at", "ask_at")}
    named = {"id": one["id"], "name": state["name"], "added_at": state["added_at"]}
    return {**named, **moments, "mode": shown["state"], "step": shown["step"], "say": shown["say"]}


def test_the_shelf_folds_alike(ask):
    rnd = rnd_for("shelf")
    same(ask, "shelf", [resent(rnd, logs.product_log(rnd, rnd.randint(0, 12))) for _ in range(400)], shelf.fold)


def test_a_film_keeps_the_same_sheet(ask):
    rnd = rnd_for("laid")
    cases = [{"product": logs.product(rnd), "variant": rnd.choice(["", "0", "1", "3", "gone"])} for _ in range(400)]
    same(ask, "laid", cases, lambda case: shelf.laid_sheet(case["product"], case["variant"]))


def test_products_are_offered_in_the_same_order(ask):
    rnd = rnd_for("offers")
    cases = []
    for _ in range(300):
        products = [logs.product(rnd) for _ in range(rnd.randint(0, 14))]
        last = rnd.choice([one["id"] for one in products] + [""])
        wanted = rnd.choice(["", "putty", "clear", *(one["cls"] for one in products)])
        cases.append({"products": products, "wanted": wanted, "last": last, "temp": rnd.randint(-100, 400)})

    def answer(case):
        return shelf.offers(case["products"], case["wanted"], case["last"], case["temp"])

    same(ask, "offers", cases, answer)


def test_an_act_is_kept_or_refused_in_the_same_words(ask):
    rnd = rnd_for("refusal")
    good = [act for _ in range(60) for act in logs.panel_log(rnd, 12) + logs.air_log(rnd, 2) + logs.product_log(rnd, 4)]
    twisted = [logs.twisted_act(rnd) for _ in range(3000)] + [logs.broken_act(rnd) for _ in range(1000)]
    odd = [None, True, 1, "", [], [good[0]], {}, {"__proto__": good[0]}]
    answers = same(ask, "refusal", good + twisted + odd, lambda act: acts_rules.refusal(act, NOW_MS))
    assert not any(answers[: len(good)]), "good acts are kept"
    assert all(answers[-1000 - len(odd) :]), "broken ones are not"
    assert len({why.split(" (you ")[0] for why in answers}) > 60, "and for many reasons"


def test_an_act_as_large_as_can_be_is_kept_and_one_sign_more_is_not(ask):
    blank = {"id": logs.new_id(rnd_for("large")), "at": NOW_MS, "on": "air", "kind": "later", "said": ""}
    room = acts_rules.LARGEST - len(text_of(blank))
    cases = [{**blank, "said": sign * (room + by)} for sign in ("x", "🚙", "é") for by in (0, 1)]
    answers = same(ask, "refusal", cases, lambda act: acts_rules.refusal(act, NOW_MS))
    assert [bool(why) for why in answers] == [False, True] * 3


@pytest.mark.parametrize("gate", ["__proto__", "constructor", "hasOwnProperty", "0"])
def test_a_sheet_with_a_time_named_like_something_every_object_has_is_refused(ask, gate):
    sheet = {"name": "Clear", "cls": "clear", "gates": {"sand": [[200, 60_000, 60_000]], gate: [[200, 60_000, 60_000]]}}
    act = {"id": logs.new_id(rnd_for(gate)), "at": NOW_MS, "kind": "film_laid", "film": "f", "product": "p", "coat": 1}
    act |= {"on": f"panel:{act['id']}", "sheet": sheet}
    (why,) = same(ask, "refusal", [act], lambda act: acts_rules.refusal(act, NOW_MS))
    assert why.startswith("A time on the sheet is none of: pot")


def test_a_number_too_large_for_either_side_is_refused(ask):
    act = {"id": logs.new_id(rnd_for("far")), "at": NOW_MS, "on": "air", "kind": "later"}
    cases = [{**act, "far": [far]} for far in (2**53 - 1, -(2**53), 2**53, 1e300, 10**400)]
    answers = same(ask, "refusal", cases, lambda act: acts_rules.refusal(act, NOW_MS))
    assert [bool(why) for why in answers] == [False, True, True, True, True]


def test_signs_that_are_blank_or_cannot_be_kept_are_the_same(ask):
    def answer(point):
        try:
            check.text("It", chr(point), 1, 200)
        except check.Refused as why:
            return str(why)
        return ""

    same(ask, "sign", [*range(0x10000), *range(0x10000, 0x110000, 509)], answer)


def test_ids_are_the_same(ask):
    rnd = rnd_for("ids")
    moments = [0, 1, 2**48 - 1, NOW_MS, *(rnd.randrange(2**48) for _ in range(300))]
    cases = [{"at": at, "bytes": list(rnd.randbytes(10))} for at in moments]
    for made in same(ask, "new_id", cases, lambda case: acts_rules.new_id(case["at"], bytes(case["bytes"]))):
        assert acts_rules.is_id(made)


def a_sheet(rnd) -> dict:
    limits = {"lowest_dc": rnd.choice([None, 100]), "highest_dc": rnd.choice([None, 350])}
    double = rnd.choice([None, 30, 100, rnd.randint(30, 300)])
    return {**limits, "double_dc": double, "gates": {"sand": logs.points(rnd)}}


def or_cold(reckon):
    try:
        return reckon()
    except cure.TooCold as why:
        return f"too cold: {why}"


def test_a_wait_is_the_same_to_the_millisecond(ask):
    rnd = rnd_for("wait")
    cases = [
        {"sheet": a_sheet(rnd), "gate": "sand", "temps": [rnd.randint(-400, 600) for _ in range(12)]}
        for _ in range(1000)
    ]

    def answer(case):
        sides = cure.opening(case["sheet"], "sand"), cure.closing(case["sheet"], "sand")
        return [[or_cold(lambda t=temp, s=side: cure.wait_ms(s, t)) for temp in case["temps"]] for side in sides]

    same(ask, "wait", cases, answer)


def test_a_gate_is_reached_at_the_same_millisecond(ask):
    rnd = rnd_for("reach")
    cases = []
    for _ in range(1500):
        start = NOW_MS - rnd.randint(0, 20 * DAY_MS)
        trace = air.trace(air.fold(logs.air_log(rnd, rnd.choice([0, 1, 5, 40]))), some_surfaces(rnd))
        cases.append({"sheet": a_sheet(rnd), "gate": "sand", "start": start, "trace": trace})

    def answer(case):
        start, trace = case["start"], case["trace"]
        opening, closing = cure.opening(case["sheet"], "sand"), cure.closing(case["sheet"], "sand")
        reached = cure.opens_at(opening, start, trace), cure.closes_at(closing, start, trace)
        return [*reached, cure.beyond(opening, start, start + 3_600_000, trace, 1)]

    same(ask, "reach", cases, answer)


def test_durations_are_said_alike(ask):
    rnd = rnd_for("span")
    round_ones = [size * count for size in (MINUTE_MS, HOUR_MS, DAY_MS) for count in (0, 1, 2, 23, 24, 59, 60, 1440)]
    cases = [one + by for one in round_ones for by in (-1, 0, 1)]
    cases += [rnd.randint(-10, 10 ** rnd.randint(3, 14)) for _ in range(2000)]
    same(ask, "span", cases, words.span)


def test_clock_times_are_said_alike(ask):
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

    same(ask, "clock", cases, answer)


def test_degrees_and_scaled_numbers_are_said_alike(ask):
    rnd = rnd_for("plain")
    same(ask, "degrees", list(range(-1500, 1501)), words.degrees)
    cases = [
        [rnd.randint(-(10 ** (size := rnd.randint(1, 15))), 10**size), rnd.choice([1, 10, 60_000])] for _ in range(2000)
    ]
    same(ask, "plain", cases, lambda case: check.plain(*case))


@pytest.mark.parametrize("name", MODULES)
def test_every_rule_has_a_twin_and_no_twin_has_a_rule_of_its_own(ask, name):
    module = importlib.import_module(f"timers.core.{name}")
    public = {key: value for key, value in vars(module).items() if not key.startswith("_")}
    made = [key for key, value in public.items() if getattr(value, "__module__", "") == module.__name__]
    (said,) = ask("exports", [name])
    twin = json.loads(said)
    assert twin["made"] == sorted(re.sub(r"_(\w)", lambda sign: sign[1].upper(), key) for key in made)
    assert all(inspect.isfunction(public[key]) or inspect.isclass(public[key]) for key in made)
    for key, value in twin["held"].items():
        ours = public[key]
        assert value == ("pattern" if isinstance(ours, re.Pattern) else json.loads(json.dumps(ours))), key
