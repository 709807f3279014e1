"""The Dockerfile, as far as it can be looked at without building it: what it copies is there and is enough to serve."""

import json
import os
import re
import shutil
import subprocess
import sys
import time
import tomllib

import pytest

from tests.conftest import ROOT, free_port
from tests.support import ready_made

HOSTING = ROOT / "shop/hosting"
DOCKERFILE = (HOSTING / "Dockerfile").read_text().replace("\\\n", " ")
LINES = [line.split(None, 1) for line in DOCKERFILE.splitlines() if line.strip() and not line.startswith("#")]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
PATIENCE_S = 120  # nothing is measured; a machine may be slow


def said(word: str) -> list[str]:
    """What stands behind each line of one kind."""
    return [rest for first, rest in LINES if first == word]


COPIES = [(source, copy.split()[-1]) for copy in said("COPY") for source in copy.split()[:-1]]
ENV = dict(pair.split("=", 1) for line in said("ENV") for pair in line.split())


def command(line: str) -> list[str]:
    """The words of a command in its JSON form."""
    return json.loads(line[line.index("[") :])


@pytest.mark.parametrize("source", [source for source, _ in COPIES])
def test_what_is_copied_is_in_the_checkout_and_is_let_into_the_build(source):
    assert (ROOT / source).exists()
    assert f"!{source}" in (HOSTING / "Dockerfile.dockerignore").read_text().splitlines()


def test_what_the_project_names_for_its_own_installing_is_copied():
    copied = {source for source, _ in COPIES}
    assert {"pyproject.toml", PROJECT["readme"], "LICENSE"} <= copied
    (install,) = re.findall(r"pip install -e '\.\[(\w+)\]'", *said("RUN"))
    assert install in PROJECT["optional-dependencies"]


def test_the_python_of_the_image_is_new_enough_and_its_data_lie_on_the_volume():
    have = tuple(map(int, re.match(r"python:(\d+)\.(\d+)", *said("FROM")).groups()))
    assert have >= tuple(map(int, PROJECT["requires-python"].removeprefix(">=").split(".")))
    assert said("VOLUME") == [ENV["SANDTIME_DATA"]]
    assert f"--home-dir {ENV['SANDTIME_DATA']}" in said("RUN")[0]
    assert said("USER")[0] in said("RUN")[0].split()


def test_what_is_copied_alone_serves_by_the_command_and_the_check_of_the_image_finds_it_ready(tmp_path):
    place = tmp_path / "image"
    place.mkdir()
    for source, goes in COPIES:
        whole = shutil.copytree if (ROOT / source).is_dir() else shutil.copy
        whole(ROOT / source, place / (source if goes == "./" else goes))
    port = str(free_port())
    shutil.copytree(ready_made.static(), tmp_path / "static")  # stays where the image has the same files, else is made
    own = {"SANDTIME_DATA": str(tmp_path / "data"), "SANDTIME_STATIC": str(tmp_path / "static"), "SANDTIME_PORT": port}
    env = {**os.environ, **ENV, **own, "DATABASE_URL": "", "SANDTIME_HOSTS": "clock.example.org"}
    serve, check = command(said("CMD")[0]), command(said("HEALTHCHECK")[0])
    assert (serve[0], check[0]) == ("python", "python")
    server = subprocess.Popen([sys.executable, *serve[1:], "--port", port], cwd=place, env=env)
    try:
        end, ready = time.monotonic() + PATIENCE_S, 1
        while ready and server.poll() is None and time.monotonic() < end:
            ran = subprocess.run([sys.executable, *check[1:]], cwd=place, env=env, capture_output=True, check=False)
            ready = ran.returncode
        assert (ready, server.poll()) == (0, None), ran.stderr[-2_000:]
        assert (tmp_path / "data/sandtime.sqlite3").exists()
    finally:
        server.terminate()
        server.wait(timeout=PATIENCE_S)


def test_the_image_says_the_port_that_its_command_serves_and_its_check_asks():
    assert said("EXPOSE") == ["8000"]
    assert '"SANDTIME_PORT", "8000"' in (HOSTING / "healthy.py").read_text()
    assert "--port" not in command(said("CMD")[0])  # so it serves at serve's own, which is 8000
