"""Random logs through both twins, compared as JSON text."""

import pytest

from tests.browser.twins import a_zone, rnd_for, same, some_surfaces, zone_of
from tests.random_logs import logs
from tests.random_logs.areas import areas_log
from tests.random_logs.growing import Log
from tests.random_logs.sheets import NOW_MS, gates, product
from timers.core.base.units import DAY_MS, MINUTE_MS
from timers.core.card import floor_order, lane_cards, panel_card
from timers.core.clock import air, film, lanes
from timers.core.clock.clock_step import is_curing
from timers.core.fold import finishing, order, panel, shelf, top_films

pytestmark = pytest.mark.browser

MOMENTS = ("opens_at", "shuts_at", "ask_at")


def resent(rnd, acts: list) -> list:
    """A log in which some acts arrive twice."""
    twice = acts + rnd.sample(acts, min(len(acts), rnd.choice([0, 1, 5])))
    rnd.shuffle(twice)
    return twice


def edges(rnd, state: dict, times: dict) -> list[int]:
    """Moments to look at a panel: just before, at and just after each of its own, and some others."""
    opens, shuts, laid = times["opens_at"], times["shuts_at"], times["laid_at"]
    own = [opens, shuts, times["ask_at"], laid]
    if laid is not None:
        own.append(laid - MINUTE_MS)
    if opens is not None and shuts is not None:
        own += [shuts - film.lead_ms(opens, shuts), film.closing_at(state, times)]
    own += [lane[key] for lane in times.get("lanes", []) for key in MOMENTS]
    near = [moment + by for moment in own if moment is not None for by in (-1, 0, 1)]
    return [*near, NOW_MS - rnd.randint(0, 20 * DAY_MS), NOW_MS, NOW_MS + rnd.randint(0, 9 * DAY_MS)]


def panel_case(rnd) -> dict:
    make = rnd.choice([logs.panel_log, logs.panel_log, areas_log])
    acts = resent(rnd, make(rnd, rnd.choice([1, 6, 15, 40])))
    readings = logs.air_log(rnd, rnd.randint(0, 12))
    surfaces = some_surfaces(rnd, readings)
    state = panel.fold(acts)
    times = film.times(state, air.trace(air.fold(readings), surfaces))
    case = {"acts": acts, "readings": readings, "surfaces": surfaces, "zone": a_zone(rnd)}
    return {**case, "nows": edges(rnd, state, times)}


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
        "under": [top_films.under(state, area) for area in ["", *(one["area"] for one in state["films"])]],
        "after": {"steps": finishing.steps(state), "curing": is_curing(state)},
        "lanes": lanes.lanes(state),
        "nows": [
            {
                "face": lane_cards.card(state, times, trace, now, zone),
                "next": panel_card.next_at(state, times, now),
                "ask": film.ask_again_at(now if laid is None else laid, opens, now),
            }
            for now in case["nows"]
        ],
    }


def test_a_panel_folds_and_shows_alike(core_page):
    rnd = rnd_for("panel")
    answers = same(core_page, "panel", [panel_case(rnd) for _ in range(900)], panel_answer)
    seen = {now["face"]["state"] for answer in answers for now in answer["nows"]}
    assert seen == set(panel_card.STATE_WORDS), "the logs bring a panel into every state"
    parts = [part for answer in answers for now in answer["nows"] for part in now["face"].get("lanes", [])]
    assert {part["waits"] != "" for part in parts} == {True, False}, "and to lanes that go on, and that wait for others"


def finished_case(rnd) -> dict:
    """A panel whose last coat is clear, of any sheet, with some of what follows it done, dropped or sanded away."""
    log = Log(rnd, "panel", rnd.randint(MINUTE_MS, 20 * DAY_MS))
    steps = [{"id": "c", "do": "coat", "words": "Clear", "cls": "clear", "coats": 1}]
    steps += rnd.sample([{"id": "l", "do": "check", "words": "Look"}, {"id": "s", "do": "sand", "words": "Sand"}], 1)
    log.add("panel_added", name="Door", steps=steps[: rnd.randint(1, 2)])
    sheet = {"name": "Clear", "cls": "clear", "gates": gates(rnd), "typical": rnd.random() < 0.5}
    for nth in range(rnd.randint(1, 2)):
        log.add("film_laid", film=f"f{nth}", step="c", product="p.1", coat=1, sheet=sheet)
    for _ in range(rnd.randint(0, 6)):
        kind = rnd.choice(["step_done", "step_done", "step_done", "step_dropped"])
        log.add(kind, step=rnd.choice([*finishing.IDS, *finishing.IDS, "l", "s"]))
    readings = logs.air_log(rnd, rnd.randint(0, 4))
    case = {"acts": log.acts, "readings": readings, "surfaces": some_surfaces(rnd, readings), "zone": a_zone(rnd)}
    state = panel.fold(log.acts)
    return {**case, "nows": edges(rnd, state, film.times(state, air.trace(air.fold(readings), case["surfaces"])))}


def test_what_follows_the_last_coat_is_reckoned_alike(core_page):
    rnd = rnd_for("finished")
    answers = same(core_page, "panel", [finished_case(rnd) for _ in range(300)], panel_answer)
    assert {answer["after"]["curing"] for answer in answers} == {True, False}
    assert max(len(answer["after"]["steps"]) for answer in answers) > 4


def test_acts_stand_in_the_same_order(core_page):
    rnd = rnd_for("order")
    cases = [resent(rnd, logs.panel_log(rnd, rnd.randint(0, 30))) for _ in range(400)]

    def answer(acts):
        return {
            "order": [act["id"] for act in order.in_order(acts)],
            "out": sorted(order.taken_out(acts)),
            "standing": [act["id"] for act in order.standing(acts)],
        }

    assert any(answer["out"] for answer in same(core_page, "order", cases, answer))


def test_the_air_folds_and_is_traced_alike(core_page):
    rnd = rnd_for("air")
    cases = []
    for _ in range(600):
        acts = resent(rnd, logs.air_log(rnd, rnd.randint(0, 30)))
        nows = [NOW_MS - rnd.randint(0, 25 * DAY_MS) for _ in range(3)]
        nows += [act["at"] + by for act in acts[:3] for by in (-1, 0, air.STALE_MS, air.STALE_MS + 1)]
        cases.append({"acts": acts, "surfaces": some_surfaces(rnd, acts), "nows": nows})

    def answer(case):
        folded = air.fold(case["acts"])
        trace = air.trace(folded, case["surfaces"])
        nows = [[air.at(trace, now), air.last_read(folded, now), air.stale(folded, now)] for now in case["nows"]]
        return {"folded": folded, "trace": trace, "bare": air.trace(folded), "nows": nows}

    same(core_page, "air", cases, answer)


def test_the_floor_stands_in_the_same_order_and_hands_hear_the_same_line(core_page):
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
        rows = [row for one in case["panels"] for row in rows_of(one, trace, now, zone)]
        return {"rows": floor_order.floor_order(rows), "hands": floor_order.hands_line(rows, now, zone)}

    hands = {answer["hands"].split(" ")[0] for answer in same(core_page, "floor", cases, answer)}
    assert hands == {"No", "Now:", "Hands", "Nothing"}


def test_rows_of_every_kind_stand_in_the_same_order(core_page):
    rnd = rnd_for("rows")

    def a_row(mode: str) -> dict:
        row = {key: rnd.choice([None, NOW_MS, NOW_MS + rnd.randint(-DAY_MS, DAY_MS)]) for key in ("added_at", *MOMENTS)}
        if mode in (panel_card.WAITS, panel_card.ASKED):
            row |= {key: NOW_MS + rnd.choice([1, 1, rnd.randint(1, DAY_MS)]) for key in ("opens_at", "ask_at")}
        return {**row, "id": f"panel:{logs.new_id(rnd)}", "mode": mode, "name": mode, "step": "Sand", "say": "Sand now"}

    cases = []
    for _ in range(400):
        modes = rnd.choices(list(panel_card.STATE_WORDS), k=rnd.choice([1, 2, 3, 12]))
        cases.append({"rows": [a_row(mode) for mode in modes], "now": NOW_MS, "zone": a_zone(rnd)})

    def answer(case):
        zone, now, rows = zone_of(case["zone"]), case["now"], case["rows"]
        return {"rows": floor_order.floor_order(rows), "hands": floor_order.hands_line(rows, now, zone)}

    firsts = {answer["rows"][0]["mode"] for answer in same(core_page, "rows", cases, answer)}
    assert firsts == set(panel_card.STATE_WORDS)


def rows_of(one: dict, trace: list, now: int, zone) -> list[dict]:
    state = panel.fold(one["acts"])
    times = film.times(state, trace)
    shown = lane_cards.card(state, times, trace, now, zone)
    return lane_cards.rows(one["id"], state["added_at"], times, shown, is_curing(state))


def test_the_shelf_folds_alike(core_page):
    rnd = rnd_for("shelf")
    same(core_page, "shelf", [resent(rnd, logs.product_log(rnd, rnd.randint(0, 12))) for _ in range(400)], shelf.fold)


def test_a_film_keeps_the_same_sheet(core_page):
    rnd = rnd_for("laid")
    cases = [{"product": product(rnd), "variant": rnd.choice(["", "0", "1", "3", "gone"])} for _ in range(400)]
    same(core_page, "laid", cases, lambda case: shelf.laid_sheet(case["product"], case["variant"]))


def test_products_are_offered_in_the_same_order(core_page):
    rnd = rnd_for("offers")
    cases = []
    for _ in range(300):
        products = [product(rnd) for _ in range(rnd.randint(0, 14))]
        last = rnd.choice([one["id"] for one in products] + [""])
        wanted = rnd.choice(["", "putty", "clear", *(one["cls"] for one in products)])
        cases.append({"products": products, "wanted": wanted, "last": last, "temp": rnd.randint(-100, 400)})

    def answer(case):
        return shelf.offers(case["products"], case["wanted"], case["last"], case["temp"])

    same(core_page, "offers", cases, answer)
