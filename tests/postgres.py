"""A PostgreSQL of the tests' own: made in a temporary folder, reached by a socket in it, gone when they are done.

    python -m tests.postgres COMMAND ...     runs a command with DATABASE_URL naming it; ends as the command ends

Nothing is asked of a PostgreSQL that may run on this machine, and the programs of its Debian package are enough.
"""

import contextlib
import os
import pwd
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import uuid
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

USER = "sandtime"
QUICK = ("fsync=off", "synchronous_commit=off", "full_page_writes=off")  # a test's data need not outlive the machine
MOST_CONNECTIONS = 80


def programs() -> Path:
    """The folder with initdb and postgres: the newest that Debian installed, else that of the first one on the path."""
    newest = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]))
    found = str(newest[-1]) if newest else shutil.which("initdb")
    assert found, "PostgreSQL is not installed: sh tests/run installs it"
    return Path(found).parent


@contextlib.contextmanager
def running(quick: bool = True, copy_of: str = "") -> Iterator[str]:
    """A database server; its address.  One that is not quick puts on the disk what it acknowledges.  With the address
    of another it begins as a base backup of that."""
    folder = Path(tempfile.mkdtemp(prefix="sandtime-pg-"))
    who = _someone()
    if who:
        shutil.chown(folder, who["user"], who["group"])
    quiet = {"stdout": subprocess.DEVNULL, "cwd": folder, **who}
    data, bins = folder / "data", programs()
    asked = ["--no-sync", "--auth=trust", "--encoding=UTF8", "--locale=C.UTF-8", f"--username={USER}"]
    server = None
    try:
        begins = [bins / "pg_basebackup", "--checkpoint=fast", "--no-sync", "-d", copy_of]
        begins = begins if copy_of else [bins / "initdb", *asked]
        subprocess.run([*begins, "-D", data], check=True, **quiet)
        here = ("listen_addresses=", f"unix_socket_directories={folder}", f"max_connections={MOST_CONNECTIONS}")
        settings = [*here, *QUICK] if quick else here
        command = [bins / "postgres", "-D", data, *(word for one in settings for word in ("-c", one))]
        server = subprocess.Popen(command, stderr=(folder / "log").open("wb"), **quiet)
        address = f"postgresql://{USER}@/{USER}?host={folder}"
        _wait(server, address, folder / "log")
        if not copy_of:
            _ask(address, f"CREATE DATABASE {USER}")
        yield address
    finally:
        if server:
            server.send_signal(signal.SIGINT)
            server.wait(timeout=30)
        shutil.rmtree(folder, ignore_errors=True)


@contextlib.contextmanager
def fresh(address: str) -> Iterator[str]:
    """An empty database of its own on a server; its address."""
    name = f"fresh_{uuid.uuid4().hex}"
    _ask(address, f"CREATE DATABASE {name}")
    try:
        yield urlsplit(address)._replace(path=f"/{name}").geturl()
    finally:
        _ask(address, f"DROP DATABASE {name} WITH (FORCE)")


def _ask(address: str, words: str) -> None:
    import psycopg

    maintenance = urlsplit(address)._replace(path="/postgres").geturl()
    with psycopg.connect(maintenance, autocommit=True) as connection:
        connection.execute(words)


def _someone() -> dict:
    """PostgreSQL refuses to run as root: then as somebody who may do less."""
    if os.geteuid() != 0:
        return {}
    names = {one.pw_name for one in pwd.getpwall()}
    who = pwd.getpwnam("postgres" if "postgres" in names else "nobody")
    return {"user": who.pw_uid, "group": who.pw_gid, "extra_groups": []}


def _wait(server: subprocess.Popen, address: str, log: Path) -> None:
    import psycopg

    end = time.monotonic() + 60
    while time.monotonic() < end and server.poll() is None:
        with contextlib.suppress(psycopg.OperationalError):
            return _ask(address, "SELECT 1")
        time.sleep(0.05)
    raise AssertionError(f"PostgreSQL did not start:\n{log.read_text()}")


def main(command: list[str]) -> int:
    for name in (signal.SIGTERM, signal.SIGHUP):
        signal.signal(name, lambda number, _: sys.exit(128 + number))  # so that the database is stopped on the way out
    with running() as address, subprocess.Popen(command, env={**os.environ, "DATABASE_URL": address}) as program:
        try:
            return program.wait()
        finally:
            program.terminate()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
