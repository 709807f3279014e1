"""The mix at the bench with no signal: parts, marks, hardener, the cup's end; and what the air says before a coat."""

import pytest
from playwright.sync_api import expect

from .conftest import card, deed, heard, kept_offline, put_panel, tell_air
from .test_screens import fits, go, looks

pytestmark = pytest.mark.browser
CUT_DIGITS = """() => [...document.querySelectorAll('#screen-mix .digits')]
  .filter((node) => node.checkVisibility() && node.scrollWidth > node.clientWidth + 1).map((node) => node.id)"""


def mix(page, name: str):
    go(page, "Mix")
    page.select_option("#mix-product", label=name)


def parts(page):
    return page.locator("#mix-parts .part")


def offline(server, phones, **options):
    page = phones(server.address, **options)
    heard(page)
    kept_offline(page)
    page.context.set_offline(True)
    return page


def test_six_hundred_of_four_to_one_to_one_is_filled_to_400_500_and_600(server, phones):
    """Arithmetic: 4 + 1 + 1 parts of 600 ml."""
    page = offline(server, phones)
    mix(page, "Surfacer, 2K high build")
    expect(page.locator("#mix-total")).to_have_text("600 ml")
    expect(parts(page)).to_have_text(
        ["Paint 400 ml fill to 400 ml", "Hardener 100 ml fill to 500 ml", "Reducer 100 ml fill to 600 ml"]
    )
    expect(page.locator("#mix-drift")).to_have_text("4 : 1 : 1 by volume. Exact as poured.")
    expect(page.locator("#mix-pot")).to_contain_text("(30 min at 20 °C)")
    page.tap("[data-do=mix-dial][data-by='1']")
    expect(page.locator("#mix-total")).to_have_text("650 ml")
    assert sum(int(row.split()[1]) for row in parts(page).all_inner_texts()) == 650


def test_two_percent_of_250_g_of_putty_is_5_g_of_hardener(server, phones):
    """Arithmetic: 2 % by weight of the putty, 50 : 1."""
    page = offline(server, phones)
    mix(page, "Glazing putty, fine")
    expect(parts(page)).to_have_text(["Putty 250 g scale at 250 g", "Hardener 5 g scale at 255 g"])
    expect(page.locator("#mix-hardener-warning")).to_be_empty()
    for _ in range(4):
        page.tap("[data-do=mix-hardener][data-by='1']")
    expect(page.locator("#mix-hardener-warning")).to_contain_text("4 %")


def test_a_chip_of_hardener_changes_the_grams_and_the_clock(server, phones):
    """A cold shop is given 3 %, and 3 % of 250 g are 7.5 g; half way between two chips the slower clock is named."""
    page = offline(server, phones)
    tell_air(page, 12)
    mix(page, "Body filler, polyester")
    chips, pot = page.locator("#mix-variants"), page.locator("#mix-pot")
    expect(chips.locator("[aria-pressed=true]")).to_have_text("hardener 3 %, cold shop")
    expect(parts(page)).to_have_text(["Putty 250 g scale at 250 g", "Hardener 7.5 g scale at 257.5 g"])
    chips.locator("button", has_text="1.5 %").tap()
    expect(parts(page).last).to_have_text("Hardener 3.8 g scale at 253.8 g")
    expect(page.locator("#mix-hardener-warning")).to_be_empty()
    expect(pot).to_contain_text("(11 min at 12 °C)")  # 6 min at 20 °C x 2 ** 0.8 = 10.4, UFGS 09971, 3.7.1.3
    page.tap("[data-do=mix-hardener][data-by='-1']")
    expect(page.locator("#mix-hardener-warning")).to_contain_text("1 % hardener; the sheet says 1.5 to 3 %")
    for _ in range(4):
        page.tap("[data-do=mix-hardener][data-by='1']")
    expect(chips.locator("[aria-pressed=true]")).to_have_text("hardener 3 %, cold shop")
    page.tap("[data-do=mix-hardener][data-by='-1']")
    expect(chips.locator("[aria-pressed=true]")).to_have_text("hardener 2 %")
    expect(page.locator("#mix-drift")).to_have_text("The clock is the one of: hardener 2 %.")
    assert '"variant":"2"' in page.get_attribute("#mix-start", "hx-vals")


def test_a_colder_shop_gives_the_cup_longer(server, phones):
    page = offline(server, phones)
    tell_air(page, 15)
    mix(page, "Surfacer, 2K high build")
    page.locator("#mix-variants button", has_text="standard").tap()
    expect(page.locator("#mix-pot")).to_contain_text("(43 min at 15 °C)")  # 30 x 2 ** 0.5 = 42.4, UFGS 09971, 3.7.1.3


def test_how_much_for_an_area_is_taken_over_into_the_mix(server, phones):
    page = offline(server, phones)
    mix(page, "Surfacer, 2K high build")
    page.locator("#mix-sizes button", has_text="Door").tap()
    expect(page.locator("#mix-area")).to_have_text("1.2 m²")
    need = page.inner_text("#mix-need")
    ml = int(need.split()[1])
    page.tap("[data-do=mix-take]")
    expect(page.locator("#mix-total")).to_have_text(f"{-(-ml // 10) * 10} ml")


def test_the_reducer_of_a_base_counts_and_so_does_the_time_a_primer_must_stand(server, phones):
    """By hand: 1.2 m² x 10 um / 20 % / 60 % x 2 coats + 10 % = 220 ml of paint, and half as much reducer."""
    page = offline(server, phones)
    mix(page, "Base, solvent")
    page.locator("#mix-sizes button", has_text="Door").tap()
    expect(page.locator("#mix-need")).to_contain_text(
        "About 330 ml ready to spray: 13.3 % solids as sprayed, 10 µm dry"
    )
    page.tap("[data-do=mix-take]")
    expect(parts(page)).to_have_text(["Paint 220 ml fill to 220 ml", "Reducer 110 ml fill to 330 ml"])
    mix(page, "Epoxy primer, 2K")
    expect(page.locator("#mix-howmany")).to_contain_text("One cup does. Each cup stands 15 min before use. 2 coats")


def test_the_size_of_a_part_is_changed_to_ones_own_and_kept(server, phones):
    page = offline(server, phones)
    mix(page, "Surfacer, 2K high build")
    page.tap("[data-do=mix-sizing]")
    page.locator("#mix-sizes button", has_text="Hood").tap()
    expect(page.locator("#mix-area")).to_have_text("1.6 m²")
    page.tap("[data-do=mix-area][data-by='1']")
    page.tap("[data-do=mix-area][data-by='1']")
    expect(page.locator("#mix-sizes button[aria-pressed=true]")).to_have_text("Hood 1.8 m²")
    fits(page)
    page.tap("[data-do=mix-sizing]")
    expect(page.locator("#mix-area")).to_have_text("0 m²")
    page.reload()
    page.locator("#mix-sizes button", has_text="Hood").tap()
    expect(page.locator("#mix-area")).to_have_text("1.8 m²")


def test_the_mix_fits_a_phone(server, phones):
    page = offline(server, phones)
    for name in ("Surfacer, 2K high build", "Glazing putty, fine"):
        mix(page, name)
        fits(page)
    for look in looks(page):
        assert page.evaluate(CUT_DIGITS) == [], look


def test_too_near_the_dew_point_is_said_before_the_coat(server, phones):
    page = offline(server, phones)
    page.tap("[data-do=air]")
    for _ in range(9):
        page.tap("#dialog-air [data-dial=rh][data-by='1']")
    page.tap("[data-do=air-tell]")
    put_panel(page, "Hood")
    for _ in range(3):
        deed(card(page, "Hood"), "done")
    expect(card(page, "Hood").locator("[data-text=step]")).to_have_text("Glazing putty")
    deed(card(page, "Hood"), "lay")
    expect(page.locator("#lay-warning")).to_contain_text("above the dew point. Wait until it is at")


def test_a_big_step_between_papers_is_said_on_the_panel(server, phones):
    page = offline(server, phones)
    put_panel(page, "Hood", "Empty")
    card(page, "Hood").locator("h2 button").tap()
    for words in ("Strip P80", "Sand P180"):
        page.tap("#screen-panel [data-do=step]")
        page.fill("#step-words", words)
        page.locator("[data-do=add-step]:text('at the end')").tap()
    expect(page.locator("#steps .steprow", has_text="Sand P180").locator(".note")).to_contain_text(
        "P80 to P180 is a big step"
    )


def test_the_mix_of_another_use_changes_ratio_marks_and_pot_life_and_a_can_is_pierced(server, phones):
    """By hand: 600 ml of 4:1 are 480 and 120, of 4:1:1 400, 100 and 100; its own shorter pot life is an hour."""
    page = offline(server, phones)
    mix(page, "DTM primer, 2K")
    expect(parts(page)).to_have_text(["Paint 480 ml fill to 480 ml", "Hardener 120 ml fill to 600 ml"])
    page.locator("#mix-variants button", has_text="sealer wet on wet").tap()
    marks = ["Paint 400 ml fill to 400 ml", "Hardener 100 ml fill to 500 ml", "Reducer 100 ml fill to 600 ml"]
    expect(parts(page)).to_have_text(marks)
    expect(page.locator("#mix-pot")).to_contain_text("(1 h at 20 °C)")
    mix(page, "Clear, 2K, spray can")
    expect(page.locator("#mix-start")).to_have_text("Pierced: start its pot life")
    expect(page.locator("#mix-caution")).to_contain_text("isocyanates")
    expect(page.locator("#mix-caution")).to_contain_text("under pressure")
