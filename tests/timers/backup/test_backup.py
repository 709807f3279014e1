"""Backups: the same from both databases, whole or refused in words, of one moment while others write."""

import hashlib
import json
import stat

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command

from shop.models import Phone, Shop, Subscription
from shop.security import access
from tests.support.bell import NOW_MS
from timers.alarm import ringer
from timers.backup import dump
from timers.log import writer
from timers.models import Act, Alert, Delivery, ThingState

pytestmark = pytest.mark.django_db
TABLES = (Shop, Phone, Subscription, Act, Alert, Delivery)


@pytest.fixture
def full(bell, tmp_path):
    """A shop with a door that rang and is still owed to its phones, and a backup of it."""
    on = bell.door("Tür 🚪 \u2028")
    bell.at(NOW_MS)
    ringer.look(bell.opening(on))
    call_command("backup", tmp_path / "kept")
    return tmp_path / "kept"


def rows(model) -> list:
    fields = [field.attname for field in model._meta.concrete_fields if field.name != "epoch"]
    return list(model.objects.order_by("pk").values_list(*fields))


def rewritten(path, change) -> None:
    """A backup with its rows changed, and its end made to fit, as no damage but only a hand would do it."""
    head, *lines, _ = path.read_bytes().splitlines(keepends=True)
    rows = change([json.loads(line) for line in lines])
    lines = [json.dumps(row).encode() + b"\n" for row in rows]
    digest = hashlib.sha256(b"".join([head, *lines])).hexdigest()
    end = {"end": True, "rows": len(lines), "sha256": digest}
    path.write_bytes(b"".join([head, *lines, json.dumps(end).encode() + b"\n"]))


def test_what_is_put_back_is_what_was_there(full):
    before = {model: rows(model) for model in TABLES}
    states = list(ThingState.objects.order_by("shop", "on").values_list("shop", "on", "seq", "state"))
    memory = Shop.objects.get().epoch
    assert all(before.values())
    Phone.objects.create(shop=Shop.objects.get(), token_digest="later", made_ms=1, seen_ms=1)
    Act.objects.first().delete()
    call_command("restore", full, replace=True)
    assert {model: rows(model) for model in TABLES} == before
    assert list(ThingState.objects.order_by("shop", "on").values_list("shop", "on", "seq", "state")) == states
    assert Shop.objects.get().epoch != memory


def test_the_shop_works_on_after_it_was_put_back(full, bell):
    call_command("restore", full, replace=True)
    seqs = [Shop.objects.get().seq]
    bell.door("Hood")
    Alert.objects.create(shop=Shop.objects.get(), on="trial", key="one", at_ms=1, claimed_ms=1)
    ringer.trial(Subscription.objects.first(), NOW_MS)
    assert Shop.objects.get().seq == seqs[0] + 2


def test_a_backup_is_for_the_eyes_of_its_owner_and_holds_no_token(full):
    assert stat.S_IMODE(full.stat().st_mode) == 0o600
    assert "Tür 🚪" in full.read_text(encoding="utf-8")
    assert [path.name for path in full.parent.glob("kept*")] == ["kept"]
    shop = Shop.objects.get()
    tokens = [access.new_phone(shop, "painter", NOW_MS)[1], access.new_device(shop.thermometers, "Gauge", NOW_MS)[1]]
    call_command("backup", full.parent / "again")
    text = (full.parent / "again").read_text(encoding="utf-8")
    assert "Gauge" in text
    assert [token for token in [*tokens, settings.SECRET_KEY] if token in text] == []


def test_a_whole_backup_is_found_whole(full, capsys):
    call_command("verify", full)
    assert capsys.readouterr().out.endswith("is whole: 1 shop, 2 phones, 2 taps\n")


def without(model: str):
    """All rows but the last one of a table."""

    def change(rows: list) -> list:
        last = max(at for at, row in enumerate(rows) if row["model"] == model)
        return rows[:last] + rows[last + 1 :]

    return change


def with_fields(model: str, **fields):
    def change(rows: list) -> list:
        row = next(row for row in rows if row["model"] == model)
        row["fields"] |= fields
        return rows

    return change


DAMAGE = {
    "cut off in a line": (lambda path: path.write_bytes(path.read_bytes()[:-100]), "cannot be read|cut off"),
    "cut off at a line": (lambda path: path.write_bytes(b"".join(path.open("rb").readlines()[:-1])), "cut off"),
    "a letter changed": (
        lambda path: path.write_bytes(path.read_bytes().replace(b"Any", b"Amy")),
        "changed or damaged",
    ),
    "something after its end": (lambda path: path.write_bytes(path.read_bytes() + b"{}\n"), "follows the end"),
    "empty": (lambda path: path.write_bytes(b""), "no backup"),
    "another file": (lambda path: path.write_bytes(b"\x89PNG\r\n\x1a\n"), "no backup"),
    "a later version": (
        lambda path: path.write_bytes(path.read_bytes().replace(b"timers/0001_initial", b"timers/9999_initial")),
        "later version",
    ),
    "a tap missing": (lambda path: rewritten(path, without("timers.act")), "are missing: 1 of 2"),
    "a shop missing": (lambda path: rewritten(path, without("shop.shop")), "not in this backup"),
    "an unknown field": (lambda path: rewritten(path, with_fields("shop.phone", colour="red")), "cannot be read"),
    "an unknown table": (lambda path: rewritten(path, lambda rows: [*rows, {"model": "shop.x"}]), "cannot be read"),
    "a tap of another number": (
        lambda path: rewritten(path, with_fields("timers.act", body={})),
        "not what its number",
    ),
}


@pytest.mark.parametrize("what", DAMAGE)
def test_a_damaged_backup_is_refused_in_words_and_changes_nothing(full, what):
    damage, words = DAMAGE[what]
    damage(full)
    before = {model: rows(model) for model in TABLES}
    with pytest.raises(CommandError, match=words):
        call_command("verify", full)
    with pytest.raises(CommandError, match=rf"(?:{words}).* Nothing was changed"):
        call_command("restore", full, replace=True)
    assert {model: rows(model) for model in TABLES} == before


def test_a_backup_that_cannot_be_written_leaves_the_one_before(full, monkeypatch):
    before = full.read_bytes()

    def breaks(on, acts):
        raise KeyError("wet")

    monkeypatch.setattr(writer, "folded", breaks)
    with pytest.raises(CommandError, match=r"cannot reckon with the taps on panel:.* Nothing was written"):
        call_command("backup", full)
    assert full.read_bytes() == before
    assert [path.name for path in full.parent.glob("kept*")] == ["kept"]


def test_a_folder_that_is_not_there_is_said(tmp_path):
    with pytest.raises(CommandError, match="No such file"):
        call_command("backup", tmp_path / "none/kept")


def test_every_table_but_the_folded_states_is_in_a_backup():
    models = set(dump.models())
    assert set(TABLES) <= models
    assert ThingState not in models
