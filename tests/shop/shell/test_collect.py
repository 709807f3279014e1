"""Static files are collected when one of them is new, and left when none is."""

import functools

import brotli
import pytest

from shop.shell import bundle, collect


@pytest.fixture
def folder(tmp_path, settings, monkeypatch):
    monkeypatch.setattr(brotli, "compress", functools.partial(brotli.compress, quality=1))  # quick, a little larger
    settings.DATA_DIR, settings.STATIC_ROOT = tmp_path, tmp_path / "static"
    return settings.STATIC_ROOT


def test_files_are_compressed_once_and_again_when_one_is_new(folder, monkeypatch):
    assert collect.collect()
    assert (folder / "joined/floor.js.br").exists()
    assert not collect.collect()
    made = bundle.build()
    monkeypatch.setattr(bundle, "build", lambda: {**made, "joined/floor.js": "another"})
    assert collect.collect()
    assert (folder / "joined/floor.js").read_text() == "another"
    assert not collect.collect()


def test_a_collection_that_was_stopped_halfway_is_made_anew(folder):
    collect.collect()
    (folder / collect.STAMP).unlink()
    assert collect.collect()
