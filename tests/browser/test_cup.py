"""A cup on the floor with no signal: mixed, used, closing, over, emptied."""

import pytest
from playwright.sync_api import expect

from .conftest import card, deed, heard, in_hand, lay, put_panel, to_coat
from .test_screens import fits, go

pytestmark = pytest.mark.browser
DOOR = "Left front door"
SURFACER = "Surfacer, 2K high build"
NAME = f"Cup: {SURFACER} (600 ml)"
MIX = """async ([product, cup]) => {
  const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
  const { on } = queries.docs('product').find((one) => one.doc.name === product);
  const button = document.createElement('button');
  button.setAttribute('hx-post', '/sync');
  const said = { kind: 'cup_mixed', productOn: on, panels: queries.onFloor(), ...cup };
  button.setAttribute('hx-vals', JSON.stringify(said));
  document.body.append(button);
  button.click();
  button.remove();
}"""
POURED = {"variant": "std", "by": "volume", "amounts": [400, 100, 100], "names": ["Paint", "Hardener", "Reducer"]}


def mix(page, product: str = SURFACER, **more):
    """What the button of the Mix screen carries."""
    page.evaluate(MIX, [product, {**POURED, **more}])


def says(page, key: str, name: str = NAME):
    return expect(card(page, name).locator(f"[data-text='{key}']").first)


def stands(page, state: str, name: str = NAME):
    expect(card(page, name)).to_have_attribute("data-state", state)


def warmer(page, degrees: int):
    """The dial turned up, one tap after another."""
    page.tap("[data-do=air]")
    expect(page.locator("#dialog-air")).to_be_visible()
    begin = int(page.inner_text("#air-temp").split()[0])
    for by in range(1, degrees + 1):
        page.tap("#dialog-air [data-dial=temp][data-by='1']")
        expect(page.locator("#air-temp")).to_have_text(f"{begin + by} °C")
    page.tap("[data-do=air-tell]")


def test_a_cup_from_mixing_to_emptying_with_no_signal_and_then_on_a_second_phone(one_shop, phones):
    page = in_hand(phones(one_shop.address))
    to_coat(page, DOOR)
    mix(page)
    stands(page, "open")
    says(page, "left").to_have_text("30 min")
    says(page, "say").to_have_text("Good until " + card(page, NAME).locator("[data-text='strip.shuts']").text_content())
    says(page, "meant").to_have_text(f"For {DOOR}")
    says(page, "step").to_have_text("hardener standard")
    says(page, "laid").to_contain_text("Paint 400 ml, Hardener 100 ml, Reducer 100 ml")

    # Ten degrees warmer: the rest of the pot life at half the time and less, beyond the sheet.
    warmer(page, 15)
    expect(page.locator("#air-words")).to_contain_text("35 °C")
    says(page, "left").to_have_text("15 min")
    says(page, "note").to_have_text("beyond the sheet; typical, check your sheet")

    # A film of just its product and hardener comes from it, offered first; undoing the film takes that back too.
    lay(page, DOOR)
    says(page, "went").to_have_text(f"Went on {DOOR}")
    expect(page.locator("#undo-words")).to_have_text(f"Laid from the cup: {SURFACER}, hardener standard, coat 1")
    page.tap("[data-do=undo-last]")
    says(page, "went").to_be_empty()
    page.tap("[data-do=undo-last]")
    says(page, "went").to_have_text(f"Went on {DOOR}")

    page.clock.fast_forward("12:00")
    stands(page, "closing")
    says(page, "caution").to_contain_text("heats itself")
    page.clock.fast_forward("04:00")
    stands(page, "shut")
    says(page, "say").to_contain_text("Pot life over since")
    says(page, "caution").to_contain_text("Never back into the tin")
    expect(page.locator("#floor .card").first).to_have_attribute("data-state", "shut")

    # What is left, in two taps; undo brings the cup back; then by the dial.
    deed(card(page, NAME), "cup-empty")
    expect(page.locator("#cup-shares button")).to_have_text(
        ["Nothing", "A little: 60 ml", "A quarter: 150 ml", "Half: 300 ml"]
    )
    page.locator("#cup-shares button", has_text="A quarter").tap()
    expect(page.locator("#floor .card.cup")).to_have_count(0)
    expect(page.locator("#undo-words")).to_have_text(f"Cup of {SURFACER} emptied, 150 ml left over")
    page.tap("[data-do=undo-last]")
    stands(page, "shut")
    own_server_hears(page)

    other = phones(one_shop.address)
    heard(other)
    assert words_of(other) == words_of(page)
    deed(card(page, NAME), "cup-empty")
    page.tap("#dialog-cup [data-do=cup-dial][data-by='-1']")
    expect(page.locator("#cup-left")).to_have_text("50 ml")
    page.tap("#cup-this")
    expect(page.locator("#floor .card.cup")).to_have_count(0)
    heard(page)
    other.evaluate("() => dispatchEvent(new Event('online'))")
    expect(other.locator("#floor .card.cup")).to_have_count(0)
    go(other, "Book")
    expect(other.locator("#book")).to_contain_text(f"Cup of {SURFACER} emptied, 50 ml left over")
    expect(other.locator("#book")).to_contain_text(f"Cup of {SURFACER} went on {DOOR}")


def own_server_hears(page):
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    page.clock.run_for(2_000)
    heard(page)


def words_of(page) -> list[str]:
    """What the cup's card says, but for the time left."""
    return card(page, NAME).locator("[data-text]:not([data-text=left])").all_text_contents()


def test_an_induction_is_stirred_and_waited_for(server, phones):
    page = in_hand(phones(server.address))
    mix(page, "Epoxy primer, 2K", variant="", amounts=[300, 300], names=["Epoxy", "Hardener"])
    epoxy = "Cup: Epoxy primer, 2K (600 ml)"
    stands(page, "wait", epoxy)
    says(page, "say", epoxy).to_contain_text("(induction). Good until")
    page.clock.fast_forward("30:01")
    stands(page, "open", epoxy)


def test_cups_and_panels_stand_in_one_order(server, phones):
    page = in_hand(phones(server.address))
    to_coat(page, DOOR)
    mix(page, "Base, waterborne", variant="")
    mix(page, "Glazing putty, fine", variant="2", by="weight", amounts=[2500, 50], names=["Putty", "Hardener"])
    mix(page)
    stands(page, "open")
    page.clock.fast_forward("02:00")
    page.wait_for_timeout(1_600)  # cards keep their places for a moment after a touch
    page.clock.run_for(1_000)
    expect(page.locator("#floor h2")).to_have_text(
        ["Cup: Glazing putty, fine (255 g)", NAME, "Cup: Base, waterborne (600 ml)", DOOR]
    )
    expect(page.locator("#hands")).to_contain_text("Now: Cup: Glazing putty, fine (255 g). Good only until")


def test_a_mix_that_will_not_do_is_refused_in_words_and_changes_nothing(server, phones):
    page = in_hand(phones(server.address))
    mix(page, amounts=[0, 0, 0])
    expect(page.locator("#notice-words")).to_have_text("Nothing was poured into the cup. Nothing was saved.")
    expect(page.locator("#floor .card")).to_have_count(0)


def test_a_cup_and_the_sheet_that_asks_what_is_left_fit_a_phone(server, phones):
    page = in_hand(phones(server.address))
    put_panel(page, "Quarter panel with the very long name " * 4)
    mix(page)
    fits(page)
    page.clock.fast_forward("31:00")
    stands(page, "shut")
    fits(page)
    deed(card(page, NAME), "cup-empty")
    expect(page.locator("#dialog-cup")).to_be_visible()
    fits(page)


OLD = """async () => { const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
  const act = shop.actsOf(queries.cups()[0]).find((one) => one.kind === 'cup_mixed');
  const { $data_acts: acts } = await import('/static/joined/actions.js');
  const { id, at, on, kind, who, ...fields } = act;
  const old = acts.born(acts.thingId('cup'), 'cup_mixed', fields);
  await shop.keep(acts.born(on, 'cup_emptied', { left: 0 }));
  await shop.keep({ ...old, at: old.at - 7200000 }); }"""


def test_a_coat_is_not_taken_to_come_from_a_cup_whose_pot_life_is_over(one_shop, phones):
    page = phones(one_shop.address)
    heard(page)
    to_coat(page, DOOR)
    mix(page)
    card(page, NAME)
    page.evaluate(OLD)
    expect(card(page, NAME)).to_have_attribute("data-state", "shut")
    card(page, DOOR).locator("[data-do=lay]").tap()
    expect(page.locator("#lay-warning")).to_contain_text("is over its pot life: do not use it.")
    page.locator("#lay-offers button").first.tap()
    expect(page.locator("#undo-words")).to_contain_text("Laid: ")
    expect(card(page, NAME).locator("[data-text=went]")).to_be_empty()
