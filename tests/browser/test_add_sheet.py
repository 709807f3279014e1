"""The sheet that adds a panel asks what changes its route; a colour that does not hide, and a fault, on that panel."""

import pytest
from playwright.sync_api import expect

from .conftest import card, deed, heard, lay
from .test_screens import fits, go

pytestmark = pytest.mark.browser
NAME = "Right quarter panel"


def steps(page) -> list[str]:
    return page.locator("#steps .steprow [data-text=words]").all_inner_texts()


def says(page, key: str, wanted: str):
    expect(card(page, NAME).locator(f"[data-text='{key}']").first).to_contain_text(wanted)


def test_a_dent_in_aluminium_good_enough_in_a_metallic_from_the_sheet_to_a_fault_in_its_base(server, phones):
    page = phones(server.address)
    heard(page)
    page.tap("[data-do=add]")
    fits(page)
    page.locator("#add-routes button", has_text="Dent, with filler").tap()
    expect(page.locator("#add-error")).to_have_text("Say the name of the panel first.")
    page.get_by_label(NAME).tap()
    page.locator("#dialog-add summary").tap()
    page.fill("#add-job", "Grey estate")
    page.locator("#add-finish button", has_text="Good enough").tap()
    page.locator("#add-colour button", has_text="Metallic").tap()
    page.locator("#add-routes button", has_text="Dent, with filler").tap()
    expect(page.locator("#ground-name")).to_have_text(f"{NAME}. Dent, with filler")
    fits(page)
    page.locator("#ground-choices button", has_text="Aluminium").tap()
    says(page, "step", "Look over")
    for _ in range(3):
        deed(card(page, NAME), "done")
    says(page, "step", "Strip and feather P120")
    says(page, "ground", "Aluminium: paper of its own")

    # Another panel of that job is as straight, in the same kind of colour; what it is made of is asked anew.
    page.tap("[data-do=add]")
    expect(page.locator("#add-finish [aria-pressed=true]")).to_have_text("Straight for paint")
    page.locator("#dialog-add summary").evaluate("(node) => { node.parentNode.open = true; }")
    page.fill("#add-job", "Grey estate")
    expect(page.locator("#add-finish [aria-pressed=true]")).to_have_text("Good enough")
    expect(page.locator("#add-colour [aria-pressed=true]")).to_have_text("Metallic, pearl")
    page.locator("#dialog-add button[value=cancel]").tap()

    card(page, NAME).locator("h2 button").tap()
    expect(page.locator("#steps .steprow", has_text="First wax")).to_be_visible()
    told = steps(page)
    assert told.index("Epoxy primer") < told.index("Body filler") < told.index("Shape P80")
    assert "Guide coat" not in told
    assert told.index("Base, coat 1 of 2") + 1 == told.index("Drop coat")

    # Bare, it is seen to be galvanised: said with its name, and minded from then on.
    page.tap("#screen-panel [data-do=rename]")
    expect(page.locator("#rename-ground [aria-pressed=true]")).to_have_text("Aluminium")
    page.locator("#rename-ground button", has_text="Galvanised").tap()
    fits(page)
    page.tap("[data-do=tell-name]")
    expect(page.locator("#panel-card [data-text=ground]").first).to_contain_text("Zinc: paper of its own")

    # Two coats of base do not hide: one more, before the drop coat.
    page.locator(".steprow", has_text="Base, coat").locator("[data-do=step-here]").tap()
    go(page, "Floor")
    lay(page, NAME)
    lay(page, NAME)
    says(page, "step", "Drop coat")
    deed(card(page, NAME), "more")
    says(page, "step", "Base")
    lay(page, NAME)
    says(page, "step", "Drop coat")

    # Fisheyes: what is put in, and why, is said before it is done.
    card(page, NAME).locator("h2 button").tap()
    page.tap("#panel-back")
    page.locator("#back-whys button", has_text="dust").tap()
    page.locator("#back-whys button", has_text="fisheyes").tap()
    page.locator("#back-wheres button", has_text="upper edge").tap()
    expect(page.locator("#back-why")).to_contain_text("Silicone, wax or oil")
    expect(page.locator("#back-put")).to_have_text("Puts in: Sand out P600, Blow off, clean, mask, Base")
    fits(page)
    page.locator("#back-plan button", has_text="Back to Base").tap()
    go(page, "Floor")
    says(page, "step", "Sand out P600 (fisheyes, upper edge)")
    says(page, "why", "Silicone, wax or oil")
