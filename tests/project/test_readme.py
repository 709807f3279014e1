"""README.md shows the tool as it is: every picture is there, is named, and shows a screen that there is."""

import re

import pytest

from tests.conftest import ROOT
from tests.look_readme import FOLDER, SHOTS

README = (ROOT / "README.md").read_text(encoding="utf-8")
NAMED = re.findall(r"<img [^>]*src=\"([^\"]+)\"", README)
SHELL = "".join(path.read_text(encoding="utf-8") for path in sorted((ROOT / "templates/timers").glob("*.html")))


def test_readme_names_each_picture_that_there_is_and_no_other():
    kept = {path.relative_to(ROOT).as_posix() for path in FOLDER.iterdir()}
    assert set(NAMED) == kept == {f"tests/readme/{name}.webp" for name in SHOTS}


@pytest.mark.parametrize("name", SHOTS)
def test_a_picture_is_small_and_is_one(name):
    said = (FOLDER / f"{name}.webp").read_bytes()
    assert (said[:4], said[8:12]) == (b"RIFF", b"WEBP")  # RFC 9649, 2.4
    assert 2_000 < len(said) < 60_000


@pytest.mark.parametrize("screen", SHOTS.values())
def test_the_screen_of_a_picture_is_still_in_the_shell(screen):
    assert f'id="screen-{screen}"' in SHELL


def test_every_picture_says_in_words_what_it_shows():
    words = re.findall(r"<img [^>]*alt=\"([^\"]+)\"", README)
    assert len(words) == len(NAMED) == len(set(words))
