"""A product's sheet typed on a phone: read forgivingly, checked while typed, drawn, kept as a draft, saved."""

import pytest
from playwright.sync_api import expect

from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.base.words import span
from timers.core.clock import cure

from .conftest import furnished, heard, kept_offline, ready

pytestmark = pytest.mark.browser
# An invented surfacer: no product of anybody's.
SAND = [("10", "6 h"), ("15", "4-5 h"), ("20", "2.5-3 h"), ("30", "75-90 min")]
SAND_POINTS = [[100, 360], [150, 300], [200, 180], [300, 90]]
RECOAT = [("15", "4 days"), ("20", "2-3 days")]
FORM = """async (texts) => (await import('/static/joined/product.js')).$product_parse.readTime(texts)"""


def write_new(page, cls: str = "Surfacer"):
    page.locator(".bar a", has_text="Shelf").tap()
    page.tap(".new summary")
    page.locator("#shelf-classes button", has_text=cls).tap()
    expect(page.locator("#sheet-form")).to_be_visible()


def type_gate(page, gate: str, lines: list, inside: str = "#sheet-gates"):
    for at, (temp, time) in enumerate(lines):
        row = page.locator(f"{inside} .gate[data-gate={gate}] .line").nth(at)
        row.locator("[data-part=temp]").fill(temp)
        row.locator("[data-part=time]").fill(time)


def type_surfacer(page, name: str = "Invented surfacer"):
    page.fill("#sheet-name", name)
    page.fill("#sheet-ratio", "2 : 1 : 0,5")
    page.fill("#sheet-lowest_dc", "5")
    type_gate(page, "pot", [("20", "45-60 min")])
    type_gate(page, "sand", SAND)
    type_gate(page, "recoat_by", RECOAT)


def save(page):
    page.tap("[data-do=sheet-save]")


def docs(page) -> dict:
    """Every product that is on the phone, by name."""
    return page.evaluate("""async () => {
      const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
      return Object.fromEntries(queries.docs('product').map(({ doc, on }) => [doc.name, { ...doc, on }])); }""")


def dial_to(page, degrees: int):
    for _ in range(60):
        shown = int(page.inner_text("#sheet-curve-temp").split()[0].replace("−", "-"))
        if shown == degrees:
            return
        page.tap(f"[data-do=sheet-dial][data-by='{1 if shown < degrees else -1}']")
        expect(page.locator("#sheet-curve-temp")).not_to_have_text(f"{shown} °C".replace("-", "−"))


def says(page, words: str):
    expect(page.locator("#sheet-curve-words")).to_have_text(words)


def fault(page, field: str):
    if field.startswith("gates."):
        return page.locator(f"#sheet-gates .gate[data-gate={field[6:]}] > .error")
    return page.locator(f"[data-fault='{field}']:visible")


def test_a_whole_sheet_is_typed_with_no_signal_and_its_curve_said_between_and_beyond_the_lines(server, phones):
    page = phones(server.address)
    heard(page)
    kept_offline(page)
    page.context.set_offline(True)
    write_new(page)
    type_surfacer(page)
    page.locator("#sheet-curve-gates button", has_text="Dry to sand").tap()
    sheet = {"points": [[temp, minutes * MINUTE_MS] for temp, minutes in SAND_POINTS], "lowest_dc": 50}
    for degrees, beyond in ((12, ""), (17, ""), (25, ""), (33, ", beyond the sheet"), (7, ", beyond the sheet")):
        dial_to(page, degrees)
        says(page, f"At {degrees} °C: {span(cure.wait_ms(sheet, degrees * 10))}{beyond}")
    dial_to(page, 4)
    says(page, "At 4 °C: stands still, the sheet's lowest is 5 °C")
    assert page.get_attribute("[data-curve=still]", "width") != "0"
    assert page.get_attribute("[data-curve=marks]", "d").count("Z") == 2 * len(SAND)
    page.locator("#sheet-curve-gates button", has_text="Last moment").tap()
    closes = {"points": [[150, 4 * DAY_MS], [200, 2 * DAY_MS]]}
    dial_to(page, 18)
    says(page, f"At 18 °C: {span(cure.wait_ms(closes, 180) // HOUR_MS * HOUR_MS)}")
    save(page)
    expect(page.locator("#products .product", has_text="Invented surfacer")).to_be_visible()
    doc = docs(page)["Invented surfacer"]
    assert doc["ratio"] == {"by": "volume", "parts": [4, 2, 1]}
    assert doc["gates"]["sand"] == [
        [temp, low * MINUTE_MS, high * MINUTE_MS]
        for (temp, high), low in zip(SAND_POINTS, (360, 240, 150, 75), strict=True)
    ]
    assert doc["on"] == f"product:{doc['id']}"
    assert doc["typical"] is False
    page.context.set_offline(False)
    page.reload()
    ready(page)
    heard(page)
    assert docs(page)["Invented surfacer"] == doc


NONSENSE = [
    ("gates.recoat_by", {"flash": [("20", "30 min")], "recoat_by": [("20", "20 min")]}, "closes before it opens"),
    ("gates.sand", {"sand": [("10", "20 min"), ("20", "40 min")]}, "On this sheet warmer is slower. Check the lines."),
    ("gates.sand", {"sand": [("20", "soon")]}, 'The time could not be read (you typed "soon")'),
    ("gates.sand", {"sand": [("20", "20-10 min")]}, "The shorter time is longer than the longer one"),
    ("gates.sand", {"sand": [("warm", "20 min")]}, "The temperature could not be read"),
    ("gates.sand", {"sand": [("20", "2 h"), ("20", "1 h")]}, "There are two lines for 20 °C"),
    ("ratio", {"ratio": "4:0:1"}, "A part of the ratio must be from 1 to 100000 (you gave 0)"),
    ("ratio", {"ratio": "some"}, "The ratio could not be read"),
    ("highest_dc", {"lowest_dc": "25", "highest_dc": "20"}, "The lowest temperature must be below the highest"),
]


def test_nonsense_is_said_while_it_is_typed_and_is_not_saved(server, phones):
    page = phones(server.address)
    heard(page)
    write_new(page)
    for field, typed, words in NONSENSE:
        nonsense(page, field, typed, words)
        page.tap("[data-do=sheet-throw]")
        expect(page.locator("#sheet-name")).to_have_value("")


def nonsense(page, field: str, typed: dict, words: str):
    page.fill("#sheet-name", "Nonsense")
    type_gate(page, "pot", [("20", "30 min")])
    for key, told in typed.items():
        if isinstance(told, str):
            page.fill(f"#sheet-{key}", told)
        else:
            type_gate(page, key, told)
    expect(fault(page, field)).to_contain_text(words)
    expect(fault(page, field)).to_contain_text("Nothing was saved.")
    save(page)
    expect(page.locator("#sheet-fault")).to_contain_text(words)
    assert "Nonsense" not in docs(page)
    assert page.input_value("#sheet-name") == "Nonsense"


def test_twenty_percent_of_hardener_is_refused_in_words(server, phones):
    page = phones(server.address)
    heard(page)
    write_new(page, "Putty, filler")
    page.fill("#sheet-name", "Invented putty")
    type_gate(page, "sand", [("20", "20 min")])
    page.fill("#sheet-hardener", "20")
    page.fill("#sheet-span_from", "1")
    page.fill("#sheet-span_to", "3")
    words = "Hardener must be from 1 to 3 % of the putty (you typed 20). Nothing was saved."
    expect(fault(page, "ratio")).to_have_text(words)
    save(page)
    assert "Invented putty" not in docs(page)
    page.fill("#sheet-hardener", "2")
    save(page)
    expect(page.locator("#products .product", has_text="Invented putty")).to_be_visible()
    doc = docs(page)["Invented putty"]
    assert (doc["ratio"], doc["hardener_span_pm"]) == ({"by": "weight", "parts": [100, 2]}, [10, 30])


def test_what_is_missing_is_said_only_when_the_sheet_is_to_be_saved(server, phones):
    page = phones(server.address)
    heard(page)
    write_new(page)
    page.locator(".gate[data-gate=sand] [data-part=temp]").first.fill("20")
    page.wait_for_timeout(500)
    expect(fault(page, "gates.sand")).to_be_empty()
    save(page)
    expect(fault(page, "name")).to_have_text("The name is empty. Nothing was saved.")
    expect(fault(page, "gates.sand")).to_have_text("At 20 degrees there is no time yet. Nothing was saved.")


@pytest.mark.parametrize(
    ("typed", "low", "high"),
    [
        ("10-15 min", 10, 15),
        ("10 – 15", 10, 15),
        ("2 h", 120, 120),
        ("1,5 hours", 90, 90),
        ("1½h", 90, 90),
        ("about 1-7 days", 1440, 10080),
        ("30 min to 4 h", 30, 240),
        ("1 h 30 min", 90, 90),
        ("1:30", 90, 90),
        ("90 s", 1.5, 1.5),
    ],
)
def test_a_time_is_read_as_people_write_it(server, phones, typed, low, high):
    page = phones(server.address)
    furnished(page)
    assert page.evaluate(FORM, typed) == [low * MINUTE_MS, high * MINUTE_MS]


def test_a_draft_survives_a_reload_and_can_be_thrown_away_and_brought_back(server, phones):
    page = phones(server.address)
    heard(page)
    write_new(page)
    type_surfacer(page, "Half a sheet")
    page.locator("summary", has_text="Variants").tap()
    page.locator("[data-do=sheet-variant]", has_text="fast").tap()
    expect(page.locator("#sheet-variants-count")).to_have_text("(1)")
    page.reload()
    ready(page)
    expect(page.locator("#sheet-name")).to_have_value("Half a sheet")
    rows = page.locator("#sheet-gates .gate[data-gate=sand] .line")
    expect(rows).to_have_count(len(SAND) + 1)
    expect(rows.nth(3).locator("[data-part=time]")).to_have_value("75-90")
    expect(rows.nth(3).locator("[data-part=unit]")).to_have_value("min")
    expect(page.locator("#sheet-variants-count")).to_have_text("(1)")
    page.tap("[data-do=sheet-throw]")
    expect(page.locator("#sheet-name")).to_have_value("")
    page.tap("[data-do=sheet-unthrow]")
    expect(page.locator("#sheet-name")).to_have_value("Half a sheet")
    save(page)
    expect(page.locator("#products .product", has_text="Half a sheet")).to_be_visible()
    doc = docs(page)["Half a sheet"]
    assert [one["name"] for one in doc["variants"]] == ["hardener fast"]
    write_new(page)
    expect(page.locator("#sheet-name")).to_have_value("")
