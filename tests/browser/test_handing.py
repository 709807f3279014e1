"""One phone hands its taps to another with no network at all: by link, by paste, in parts, twice, and both heal."""

import pytest
from playwright.sync_api import expect

from tests.support import packs

from .conftest import card, deed, heard, put_panel, ready, with_our_clock
from .handed import at_server, away, back, follow, links, meta, outbox, paste, show, take, wait_until
from .test_screens import go

pytestmark = pytest.mark.browser


def pair(one_shop, phones, **options):
    """Two phones of one shop that know a door; then no signal."""
    one = phones(one_shop.address, **options)
    heard(one)
    put_panel(one, "Left door", "Chips and small dings")
    heard(one)
    two = phones(one_shop.address, **options)
    expect(card(two, "Left door")).to_be_visible()
    return away(one), away(two)


def three_taps(page):
    """Three steps of the door done."""
    for _ in range(3):
        said = card(page, "Left door").locator("[data-text=step]").text_content()
        deed(card(page, "Left door"), "done")
        expect(card(page, "Left door").locator("[data-text=step]")).not_to_have_text(said)


def test_three_taps_and_a_panel_go_by_link_and_the_server_keeps_each_once(one_shop, phones):
    one, two = pair(one_shop, phones)
    three_taps(one)
    put_panel(one, "Tailgate", "Empty")
    show(one, "Left door")
    expect(one.locator("#hand-what")).to_have_text("5 taps on 2 panels.")
    made = links(one)
    assert all(link.startswith(f"{one_shop.address}#take=") for link in made)
    given = packs.opened([link.partition("#take=")[2] for link in made], meta(one)["key"], meta(one)["shop"])
    assert {act["id"] for act in given} >= {act["id"] for act in outbox(one)}
    for link in made:
        follow(two, link)
    expect(two.locator(".set h2")).to_have_text("In these codes")
    expect(two.locator(".set .say")).to_contain_text("5 taps on 2 panels, made on another phone ")
    expect(two.locator(".set")).to_contain_text("1 tap of it is here already.")
    expect(two.locator(".set")).to_contain_text("Left door. Done: ")
    expect(two.locator(".set")).to_contain_text("Panel added: Tailgate")
    take(two)
    go(two, "Floor")
    expect(card(two, "Tailgate")).to_be_visible()
    expect(card(two, "Left door").locator("[data-text=step]")).to_have_text("Glazing putty")
    back(two)
    back(one)
    assert outbox(one) == outbox(two) == []
    log = [act["id"] for act in at_server(one)]
    assert len(log) == len(set(log))
    assert {act["id"] for act in given} <= set(log)
    kept = {act["id"]: act for act in at_server(one)}
    assert all(kept[act["id"]] == act for act in given)


def test_the_first_to_come_online_may_also_be_the_one_that_gave(one_shop, phones):
    one, two = pair(one_shop, phones)
    three_taps(one)
    show(one)
    for link in links(one):
        paste(two, link)
    take(two)
    back(one)
    back(two)
    assert outbox(one) == outbox(two) == []
    assert len(at_server(one, "step_done")) == 3


def test_taken_twice_it_changes_nothing(one_shop, phones):
    one, two = pair(one_shop, phones)
    three_taps(one)
    show(one)
    made = links(one)
    for link in made:
        follow(two, link)
    take(two)
    before = outbox(two)
    for link in made:
        follow(two, link)
    expect(two.locator(".set")).to_contain_text("All of it is here already. Nothing to take.")
    expect(two.locator("[data-do=take-take]")).to_be_hidden()
    two.locator("[data-do=take-leave]").tap()
    expect(two.locator("#take-sets li")).to_have_count(0)
    back(two)
    for link in made:
        follow(two, link)
    expect(two.locator(".set")).to_contain_text("All of it is here already. Nothing to take.")
    assert len(before) == 3
    assert outbox(two) == []


def test_codes_come_in_any_order_and_over_a_reload(one_shop, phones):
    one, two = pair(one_shop, phones)
    for n in range(12):
        put_panel(one, f"Panel number {n} of the long van", "Chips and small dings")
    show(one)
    made = links(one)
    assert len(made) >= 3
    follow(two, made[-1])
    expect(two.locator("#take-told")).to_have_text(f"Code {len(made)} of {len(made)} is in.")
    expect(two.locator(".set h2")).to_have_text(f"1 of {len(made)} codes are here")
    wait_until(two, "async () => (await import('/static/joined/floor.js')).$data_state.meta.taking?.length === 1")
    two.reload()
    ready(two)
    expect(two.locator(".set h2")).to_have_text(f"1 of {len(made)} codes are here")
    page = two.context.new_page()  # a link may open a page of its own
    page.goto(made[0])
    ready(page)
    expect(page.locator(".set h2")).to_have_text(f"2 of {len(made)} codes are here")
    missing = ", ".join(str(no) for no in range(2, len(made)))
    expect(page.locator(".set .say")).to_have_text(f"Still to come: {missing}.")
    for link in made[1:-1]:
        follow(page, link)
    expect(page.locator(".set .say")).to_contain_text("12 taps on 12 panels")
    page.reload()
    ready(page)
    expect(page.locator(".set .say")).to_contain_text("12 taps on 12 panels")
    take(page)
    go(page, "Floor")
    expect(page.locator("#floor .card")).to_have_count(13)


def test_codes_that_are_thrown_away_are_gone_over_a_reload_too(one_shop, phones):
    one, two = pair(one_shop, phones)
    three_taps(one)
    show(one)
    for link in links(one):
        follow(two, link)
    two.locator("[data-do=take-leave]").tap()
    expect(two.locator("#take-sets li")).to_have_count(0)
    wait_until(two, "async () => (await import('/static/joined/floor.js')).$data_state.meta.taking?.length === 0")
    two.reload()
    ready(two)
    expect(two.locator("#take-ways")).to_be_visible()
    expect(two.locator("#take-sets li")).to_have_count(0)
    assert outbox(two) == []


def test_a_tap_on_a_panel_that_is_not_here_is_said_and_shows_when_the_panel_comes(one_shop, phones):
    one, two = pair(one_shop, phones)
    put_panel(one, "Roof", "Chips and small dings")
    deed(card(one, "Roof"), "done")
    expect(card(one, "Roof").locator("[data-text=step]")).not_to_have_text("Wash and degrease")
    key, shop = meta(one)["key"], meta(one)["shop"]
    taps = [{name: value for name, value in act.items() if name != "why"} for act in outbox(one)]
    paste(two, packs.made(taps[1:], key, shop)[0])
    expect(two.locator(".set .why")).to_contain_text("One panel in it is not on this phone yet")
    take(two)
    paste(two, packs.made(taps[:1], key, shop)[0])
    expect(two.locator(".set .why")).to_be_empty()
    take(two)
    go(two, "Floor")
    step = card(one, "Roof").locator("[data-text=step]").text_content()
    expect(card(two, "Roof").locator("[data-text=step]")).to_have_text(step)


def test_no_clock_moves_a_tap_that_was_shown_or_taken(one_shop, phones):
    one, two = pair(one_shop, phones)
    for page, hours in ((one, 1), (two, 3)):
        with_our_clock(page)
        page.clock.set_system_time(page.evaluate("Date.now()") / 1000 + hours * 3600)
    three_taps(one)
    show(one)
    made = {act["id"]: act["at"] for act in outbox(one)}
    for link in links(one):
        follow(two, link)
    take(two)
    go(two, "Floor")
    put_panel(two, "Tailgate", "Empty")
    back(two)
    kept = {act["id"]: act["at"] for act in at_server(two)}
    assert {act_id: kept[act_id] for act_id in made} == made
    assert max(made.values()) - at_server(two, "panel_added")[-1]["at"] > 1_800_000  # its own tap was put right
    back(one)
    assert outbox(one) == []
    assert len(at_server(one, "step_done")) == 3


STRIPPED = """async () => { const { $data_state: shop } = await import('/static/joined/floor.js');
  const taken = shop.rows();
  const marked = taken.filter((row) => /^[0-9a-f]{32}$/.test(row.mark)).length;
  await shop.mark(taken.slice(0, 1), { mark: undefined });
  return marked; }"""


def test_what_was_handed_on_is_its_makers_and_without_the_mark_the_book_says_who_told_it(one_shop, phones):
    one, two = pair(one_shop, phones)
    three_taps(one)
    show(one)
    for link in links(one):
        follow(two, link)
    take(two)
    assert two.evaluate(STRIPPED) == 3
    back(two)
    go(two, "Book")
    lines = two.locator("#book li", has_text="Done: ")
    expect(lines).to_have_count(3)
    maker, teller = meta(one)["phone"][:4], "this phone"
    expect(lines.filter(has_text=f"by Phone {maker}")).to_have_count(3)
    expect(lines.filter(has_text=f"by Phone {maker}, told by {teller}")).to_have_count(1)
