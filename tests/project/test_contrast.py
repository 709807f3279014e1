"""Text stands out 7:1 and digits 12:1 from what is behind them, in both themes, by the tokens themselves."""

import re

import pytest

from tests.conftest import ROOT

THEMES = ("sun", "dark")
TOKEN = re.compile(r"--([\w-]+): light-dark\(#([0-9a-f]{6}), #([0-9a-f]{6})\);")
USED = re.compile(r"(?<![\w-])(color|background|--button-ink|--button-fill|--tone): var\(--([\w-]+)\)")
PAPERS = ("paper", "sheet")
# What is written in which token, and on what; a card's tone colours its word only.
TEXT = {
    "ink": PAPERS,
    "faint": PAPERS,
    "stop": PAPERS,
    "wait": ("sheet",),
    "go": ("sheet",),
    "soon": ("sheet",),
    "try": ("sheet",),
    "key-ink": ("key",),
    "paper": ("stop",),
    "code": ("code-paper",),
    "code-paper": ("code",),
}
DIGITS = {"ink": PAPERS}
SIGNS = ("wait", "go", "soon", "stop", "try", "ink", "line")  # strips, edges, the ring of the focus


def tokens(theme: str) -> dict[str, str]:
    text = (ROOT / "static/css/tokens.css").read_text("utf-8")
    return {name: (sun, dark)[THEMES.index(theme)] for name, sun, dark in TOKEN.findall(text)}


def luminance(colour: str) -> float:
    """Source: WCAG 2.2, "relative luminance" (0.04045: its note, and IEC 61966-2-1)."""
    parts = (int(colour[at : at + 2], 16) / 255 for at in (0, 2, 4))
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Source: WCAG 2.2, "contrast ratio"."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def pairs(wanted: dict) -> list:
    return [(text, behind) for text, papers in wanted.items() for behind in papers]


def test_the_formula_gives_what_the_standard_says():
    assert contrast("000000", "ffffff") == pytest.approx(21)
    assert contrast("777777", "777777") == 1
    assert contrast("767676", "ffffff") >= 4.5 > contrast("777777", "ffffff")  # the known edge of 4.5:1 on white


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("text", "behind"), pairs(TEXT))
def test_text_stands_out_seven_to_one(theme, text, behind):
    found = tokens(theme)
    assert contrast(found[text], found[behind]) >= 7


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("text", "behind"), pairs(DIGITS))
def test_digits_stand_out_twelve_to_one(theme, text, behind):
    found = tokens(theme)
    assert contrast(found[text], found[behind]) >= 12


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("sign", "behind"), pairs(dict.fromkeys(SIGNS, PAPERS)))
def test_what_is_no_text_stands_out_three_to_one(theme, sign, behind):
    """Source: WCAG 2.2, 1.4.11."""
    found = tokens(theme)
    assert contrast(found[sign], found[behind]) >= 3


def test_no_style_writes_in_a_colour_or_on_one_that_is_not_looked_at_here():
    written = {"ink", *TEXT}
    behind = {"transparent", *(paper for papers in TEXT.values() for paper in papers)}
    tones = {"tone", "button-ink", "button-fill"}  # names for the ones above
    for path in (ROOT / "static/css").rglob("*.css"):
        for what, name in USED.findall(path.read_text("utf-8")):
            allowed = behind if what in ("background", "--button-fill") else written
            strip = path.name == "strip.css" or (path.name, name) == ("top.css", "ink")
            assert strip or name in allowed | tones, f"{path.name}: {what} {name}"
    assert set(TEXT) | set(SIGNS) | behind - {"transparent"} <= set(tokens("sun")) | {"transparent"}


def test_no_colour_stands_outside_of_the_tokens():
    for path in (ROOT / "static/css").rglob("*.css"):
        if path.name != "tokens.css":
            assert re.findall(r"#[0-9a-f]{3,8}\b(?=[;, )])|\b(?:rgb|hsl)a?\(", path.read_text("utf-8")) == [], path.name
