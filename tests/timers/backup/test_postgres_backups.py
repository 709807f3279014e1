"""Backups of a PostgreSQL under load, and the move from SQLite to it."""

import json
import os
import subprocess
import sys

import pytest
from django.core.management import call_command

from shop.models import Shop
from shop.security import access
from tests import postgres
from tests.browser.conftest import Server
from tests.conftest import ROOT
from tests.support.at_postgres import ended, started
from tests.support.by_file import Wired
from tests.timers.log.test_durability import begin, heard, sync, tap
from tests.timers.log.test_postgres import here
from timers.backup import dump
from timers.models import Act, ThingState

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]
WRITERS = 3


def test_backups_taken_while_others_write_are_each_of_one_moment(tmp_path):
    shop = access.new_shop("Any garage", "UTC", 0)
    writers = [started(here(), "write", str(shop.pk), "4", str(n)) for n in range(WRITERS)]
    counts = []
    while any(one.poll() is None for one in writers) or len(counts) < 3:
        counts.append(dump.write(tmp_path / "kept", 0).counts["timers.act"])  # counts and numbers of taps must agree
    for one in writers:
        ended(one, 60)
    assert counts == sorted(counts)
    assert counts[-1] > counts[0]
    assert dump.write(tmp_path / "kept", 0).counts["timers.act"] == Act.objects.count()


def test_a_restore_while_others_write_leaves_a_whole_shop_that_they_go_on_with(tmp_path):
    shop = access.new_shop("Any garage", "UTC", 0)
    ended(started(here(), "write", str(shop.pk), "0", "9"), 60)
    before = set(Act.objects.values_list("act_id", flat=True))
    call_command("backup", tmp_path / "kept")
    writers = [started(here(), "write", str(shop.pk), "4", str(n)) for n in range(WRITERS)]
    while Act.objects.count() < len(before) + 10:
        pass
    call_command("restore", tmp_path / "kept", replace=True)
    written = [ended(one, 60) for one in writers]
    assert all(written)
    now = Shop.objects.get()
    assert now.epoch != shop.epoch
    seqs = list(Act.objects.order_by("seq").values_list("seq", flat=True))
    assert seqs == list(range(1, now.seq + 1))
    assert before <= set(Act.objects.values_list("act_id", flat=True))
    assert dump.write(tmp_path / "later", 0).counts["timers.act"] == now.seq


def test_a_base_backup_that_takes_the_place_of_the_database_loses_no_tap_for_good(tmp_path):
    server = Server(tmp_path / "data", "--one-shop")
    try:
        with postgres.running() as before:
            server.start(DATABASE_URL=before)
            one, two = Wired(server.address), Wired(server.address)
            one.taps(2)
            two.asks()
            with postgres.running(copy_of=before) as after:
                (lost,) = one.taps()
                server.stop()
                server.start(DATABASE_URL=after)
                later = two.taps(2)
                assert two.cursor > one.cursor
                for phone in (one, two):
                    phone.asks()
                    phone.asks()
                for phone in (one, two):
                    phone.asks()
                    assert {lost, *later} <= phone.knows()
                server.stop()
    finally:
        server.stop()


# --- the move ---


def manage(folder, url: str, *words: str) -> subprocess.CompletedProcess:
    env = {**os.environ, "SANDTIME_DATA": str(folder), "DATABASE_URL": url}
    command = [sys.executable, "manage.py", *words]
    return subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, check=False)


def rows_of(folder, url: str, file) -> list[dict]:
    """All rows of a database as a backup says them, without the memory, which is new after a move."""
    assert manage(folder, url, "backup", str(file)).returncode == 0
    rows = list(dump.read(file))
    for row in rows:
        row["fields"].pop("epoch", None)
    return sorted(rows, key=lambda row: json.dumps(row, sort_keys=True))


def test_a_shop_moves_from_sqlite_to_postgresql_in_one_command_and_works_on(tmp_path):
    server = Server(tmp_path / "data", "--demo").start(DATABASE_URL="")
    try:
        token = begin(server.address)
        sync(server.address, token, [tap() for _ in range(3)], 0)
        old = heard(server.address, token)
        cursor = sync(server.address, token, [], 0)["cursor"]
        server.stop()
        with postgres.fresh(os.environ["DATABASE_URL"]) as there:
            result = manage(server.folder, "", "move", "--to", there)
            assert "Moved 1 shop, 1 phone" in result.stdout, result.stderr
            assert rows_of(server.folder, "", tmp_path / "one") == rows_of(server.folder, there, tmp_path / "two")
            again = manage(server.folder, "", "move", "--to", there)
            assert again.returncode == 1
            assert "holds 1 shop. Say --replace" in again.stderr
            server.start(DATABASE_URL=there)
            assert sorted(heard(server.address, token)) == sorted(old)
            (fresh,) = sync(server.address, token, [tap()], cursor)["verdicts"]
            assert (fresh["verdict"], fresh["seq"]) == ("kept", cursor + 1)
            begin(server.address)
            server.stop()
    finally:
        server.stop()


@pytest.mark.parametrize(
    ("to", "words"),
    [
        ("sqlite:///other", "DATABASE_URL must name a PostgreSQL database"),
        ("postgresql://ann:hunter2@/clock?host=/nowhere", "Nothing was moved"),
    ],
)
def test_a_move_to_where_no_database_is_says_so_in_words(tmp_path, to, words):
    manage(tmp_path, "", "migrate", "-v0")
    result = manage(tmp_path, "", "move", "--to", to)
    assert result.returncode == 1
    assert words in result.stderr
    assert "Traceback" not in result.stderr
    assert "hunter2" not in result.stderr


def test_what_was_put_back_is_numbered_on_behind_what_is_there(tmp_path):
    """PostgreSQL numbers rows by counters of their own, which a restore has to move on."""
    shop = access.new_shop("Any garage", "UTC", 0)
    ended(started(here(), "write", str(shop.pk), "0", "1"), 60)
    call_command("backup", tmp_path / "kept")
    with postgres.fresh(os.environ["DATABASE_URL"]) as there:
        assert manage(tmp_path, there, "migrate", "-v0").returncode == 0
        assert manage(tmp_path, there, "restore", str(tmp_path / "kept")).returncode == 0
        seqs = ended(started(there, "write", str(shop.pk), "0", "2"), 60)
        assert min(seqs.values()) == Act.objects.count() + 1
    assert ThingState.objects.exists()
