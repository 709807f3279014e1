"""The default routes are whole for every job they may be chosen for: products, papers, windows, and an end."""

from itertools import pairwise, product

import pytest

from tests.support.each import each
from timers.core.clock.clock_step import ALWAYS_SANDED, need_of
from timers.core.fold import finishing, shelf
from timers.core.fold.route import COLOURS, FINISHES, asks, steps_for, usual
from timers.defaults.products import PRODUCTS
from timers.defaults.routes import METALS, ROUTES, numbered

LAYS = ("fill", "coat")
ROOM_DC = 200
NUMBERS = {number: numbered(number)["name"] for number in range(1, 13)}


def jobs(route):
    """The steps of a route for every job that it may be chosen for."""
    for finish, colour, under in product(FINISHES, COLOURS, [*route.get("substrates", []), "unknown"]):
        yield steps_for(route, {"finish": finish, "colour": colour, "substrate": under})


def first_offer(step):
    offers = shelf.offers(PRODUCTS, step["cls"], "", ROOM_DC, step.get("use", ""))
    return next(one for one in PRODUCTS if offers and one["id"] == offers[0]["product"])


ALL = [(route["name"], steps) for route in ROUTES for steps in jobs(route)]


def test_a_dent_comes_first_and_the_old_numbers_stay():
    assert [route["rank"] for route in ROUTES] == list(range(1, 13))
    assert ROUTES[0]["name"] == NUMBERS[7] == "Dent, with filler"
    assert {route["name"] for route in ROUTES} == set(NUMBERS.values())
    assert (NUMBERS[1], NUMBERS[6]) == ("Chips and small dings, painted panel", "Touch-in of an edge")


@each("job", ALL)
def test_every_film_of_a_job_is_on_the_default_shelf_by_class_and_use(job):
    for step in job[1]:
        if step["do"] in LAYS:
            found = first_offer(step)
            assert found["cls"] == step["cls"], (job[0], step["words"])
            assert step.get("use", "") in ("", *found["uses"]), (job[0], step["words"])


@each("job", ALL)
def test_papers_only_get_finer_between_two_films(job):
    grits = []
    for step in job[1]:
        grits = [] if step["do"] in LAYS else grits + [step["grit"]] * bool(step["grit"])
        assert all(fine > coarse for coarse, fine in pairwise(grits)), (job[0], grits)


@each("job", ALL)
def test_fresh_filler_is_cut_with_p80_and_then_p120_before_p180(job):
    for nth, step in enumerate(job[1]):
        if step.get("use") == "filler":
            after = job[1][nth + 1 :]
            films = [at for at, one in enumerate(after) if one["do"] in LAYS]
            assert [one["grit"] for one in after[: films[0]] if one["grit"]] == [80, 120, 180], job[0]


@each("job", ALL)
def test_a_coat_on_a_coat_has_a_window_that_opens_and_shuts_and_what_is_sanded_says_from_when(job):
    laid = None
    for step in job[1]:
        need = need_of(step)
        if laid and need in ("sand", "flash") and step["do"] in ("sand", *LAYS):
            gates = set(first_offer(laid)["gates"])
            assert need in gates or "sand" in gates, (job[0], laid["words"], step["words"])
            wet = need == "flash" and laid["cls"] not in ALWAYS_SANDED
            assert not wet or "recoat_by" in gates, (job[0], laid["words"], step["words"])
        laid = step if step["do"] in LAYS else None if step["do"] == "sand" else laid


@each("job", ALL)
def test_a_job_begins_with_hands_and_ends_with_wash_and_wax(job):
    words = [step["words"] for step in job[1]]
    assert words[-5:] == [finishing.UNMASK, finishing.REFIT, finishing.POLISH, finishing.WASH, finishing.WAX]
    assert job[1][0]["do"] in ("clean", "check")
    ids = [step["id"] for step in job[1]]
    assert len(set(ids)) == len(ids)


def test_a_straight_job_has_guide_coat_and_feels_and_one_that_is_good_enough_has_neither_and_fewer_steps():
    for route in (one for one in ROUTES if asks(one)["finish"]):
        straight, enough = ([*steps_for(route, {"finish": finish})] for finish in FINISHES)
        assert "Guide coat" in [step["words"] for step in straight]
        assert "Guide coat" not in [step["words"] for step in enough]
        assert len(enough) < len(straight)


def test_an_effect_colour_has_a_drop_coat_between_base_and_clear_and_single_stage_neither():
    dent = numbered(7)
    effect = [step["cls"] + step.get("use", "") for step in steps_for(dent, {"colour": "effect"})]
    assert effect[effect.index("basebase") + 1] == "baseeffect"
    single = {step["cls"] for step in steps_for(dent, {"colour": "single"})}
    assert "topcoat" in single
    assert not single & {"base", "clear"}


@pytest.mark.parametrize("under", METALS[1:])
def test_on_aluminium_and_zinc_filler_lies_on_epoxy_and_the_paper_is_no_coarser_than_p120(under):
    steps = steps_for(numbered(7), {"substrate": under})
    films = [step["cls"] for step in steps if step["do"] in LAYS]
    assert films[:2] == ["epoxy", "putty"]
    before = steps[: [step["cls"] for step in steps].index("epoxy")]
    assert min(step["grit"] for step in before if step["grit"]) == 120


def test_what_is_under_it_is_asked_only_where_it_makes_a_difference():
    asked = {route["name"] for route in ROUTES if asks(route)["substrates"]}
    assert asked == {NUMBERS[number] for number in (7, 12, 2, 5)}
    assert usual(numbered(10))["substrate"] == usual(numbered(4))["substrate"] == "plastic"
    assert usual(numbered(8))["substrate"] == usual(numbered(3))["substrate"] == "factory"
