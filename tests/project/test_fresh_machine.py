"""What a host types where nothing is yet: it works, or one line says what to do, and no database is left behind."""

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.conftest import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```sh\n(.*?)```", README, re.DOTALL)
HOST = next(block for block in BLOCKS if "/etc/sandtime.env" in block)
BACKUPS = next(block for block in BLOCKS if "manage.py verify" in block)
LINES = re.findall(r"`([^`\n]*manage\.py [^`\n]*)`", README) + [
    line for block in BLOCKS for line in block.splitlines() if "manage.py" in line
]


def sh(words: str, folder: Path, data: Path) -> subprocess.CompletedProcess:
    env = {"PATH": os.environ["PATH"], "SANDTIME_DATA": str(data)}
    return subprocess.run(["sh", "-ec", words], cwd=folder, env=env, capture_output=True, text=True, check=False)


@pytest.fixture
def checkout(tmp_path) -> Path:
    """A checkout with its .venv, as README makes it."""
    folder = tmp_path / "opt"
    folder.mkdir()
    for name in ("manage.py", "shop", "timers", "static", "templates"):
        (folder / name).symlink_to(ROOT / name)
    (folder / ".venv").symlink_to(sys.prefix)
    return folder


@pytest.fixture(scope="module")
def backup(tmp_path_factory) -> Path:
    """A backup of an empty server."""
    folder = tmp_path_factory.mktemp("backup")
    made = sh(f"{sys.executable} manage.py migrate -v0; {sys.executable} manage.py backup {folder}/kept", ROOT, folder)
    assert made.returncode == 0, made.stderr
    return folder / "kept"


@pytest.mark.parametrize(
    "words", ["backup {0}/kept", "letin", "ringer --once", "move --to postgresql:///sandtime?host=/nowhere"]
)
def test_a_command_that_finds_no_database_says_so_in_one_line_and_makes_none(tmp_path, words):
    result = sh(f"{sys.executable} manage.py {words.format(tmp_path)}", ROOT, tmp_path / "data")
    assert result.returncode == 1
    assert result.stderr.startswith("CommandError: No Sandtime database is in ")
    assert "SANDTIME_DATA=" in result.stderr
    assert result.stderr.count("\n") == 1
    assert not list(tmp_path.rglob("*.sqlite3*"))


def test_a_database_of_an_older_version_is_said_in_one_line(tmp_path):
    python = f"{sys.executable} manage.py"
    result = sh(f"{python} migrate -v0 timers 0001; {python} letin", ROOT, tmp_path / "data")
    assert result.returncode == 1
    assert result.stderr.startswith("CommandError: This database is of an older Sandtime.")
    assert result.stderr.count("\n") == 1


def test_a_backup_is_verified_where_no_database_is_and_none_is_made(tmp_path, backup):
    result = sh(f"{sys.executable} manage.py verify {backup}", ROOT, tmp_path / "data")
    assert (result.returncode, result.stderr) == (0, "")
    assert not list(tmp_path.rglob("*.sqlite3*"))


def test_a_restore_on_a_fresh_machine_makes_the_database_itself(tmp_path, backup):
    python = f"{sys.executable} manage.py"
    result = sh(f"{python} restore {backup}; {python} letin", ROOT, tmp_path / "data")
    assert result.returncode == 0, result.stderr
    assert result.stdout.startswith("Put back 0 shops")


def test_a_restore_of_a_file_that_is_none_makes_no_database(tmp_path):
    (tmp_path / "odd").write_text("odd")
    result = sh(f"{sys.executable} manage.py restore {tmp_path}/odd", ROOT, tmp_path / "data")
    assert (result.returncode, result.stderr.count("\n")) == (1, 1)
    assert not list(tmp_path.rglob("*.sqlite3*"))


def test_without_its_packages_the_command_line_says_how_to_start_it(tmp_path):
    result = sh(f"{sys.executable} -I -S manage.py check", ROOT, tmp_path)
    assert result.returncode == 1
    assert result.stderr == (
        "This Python does not have what Sandtime needs.  In its folder say: .venv/bin/python manage.py ...\n"
    )


# --- the lines of README, played ---


def test_readme_names_the_python_that_has_the_packages_in_each_line():
    assert len(LINES) > 8
    assert [line for line in LINES if ".venv/bin/python manage.py" not in line and "docker compose" not in line] == []


def test_the_lines_about_backups_work_as_they_stand(checkout, tmp_path):
    (tmp_path / "backups").mkdir()
    words = BACKUPS.replace("/backups/", f"{tmp_path}/backups/")
    result = sh(f".venv/bin/python manage.py migrate -v0\n{words}", checkout, tmp_path / "data")
    assert (result.returncode, result.stderr) == (0, "")
    assert [line.split()[0] for line in result.stdout.splitlines()] == [
        "Backed",
        f"{tmp_path}/backups/sandtime-monday",
        "Put",
    ]


def test_the_daily_backup_finds_the_data_of_the_service_and_keeps_thirty(checkout, tmp_path):
    data, kept = tmp_path / "var", tmp_path / "backups"
    kept.mkdir()
    for day in range(1, 35):
        (kept / f"sandtime-2001-01-{day:02d}").write_text("old")
        os.utime(kept / f"sandtime-2001-01-{day:02d}", (day, day))
    (tmp_path / "env").write_text("SANDTIME_HOSTS=clock.example.org\n")
    places = {
        "/opt/sandtime": checkout,
        "/etc/sandtime.env": tmp_path / "env",
        "/var/lib/sandtime": data,
        "/backups/": f"{kept}/",
    }
    words = HOST
    for there, here in places.items():
        assert there in words
        words = words.replace(there, str(here))
    assert sh(".venv/bin/python manage.py migrate -v0", checkout, data).returncode == 0
    result = sh(words, checkout, tmp_path / "elsewhere")
    assert result.returncode == 0, result.stderr
    assert "Backed up 0 shops" in result.stdout
    assert len(list(kept.glob("sandtime-*"))) == 30
    assert not (kept / "sandtime-2001-01-05").exists()
    assert (kept / "secret").read_bytes() == (data / "secret").read_bytes()


# --- the tests' own PostgreSQL ---


@pytest.mark.postgres
def test_a_postgresql_of_the_tests_ends_with_the_command_that_started_it(tmp_path):
    output = tmp_path / "said"
    command = [sys.executable, "-m", "tests.postgres", "sh", "-c", f"echo $DATABASE_URL >{output}; exec sleep 60"]
    program = subprocess.Popen(command, cwd=ROOT)
    end = time.monotonic() + 60
    while not (output.exists() and output.read_text().endswith("\n")) and time.monotonic() < end:
        time.sleep(0.05)
    folder = Path(output.read_text().strip().partition("host=")[2])
    assert folder.is_dir()
    program.send_signal(signal.SIGTERM)
    assert program.wait(timeout=30) == 128 + signal.SIGTERM
    assert not folder.exists()
