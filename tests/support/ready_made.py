"""What all servers of the tests would make alike, made once for a whole run: static files, a database up to date.

The folder goes to the worker processes of a run by an environment variable, and away with the process that made it.
"""

import fcntl
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

FOLDER = "SANDTIME_TESTS_FOLDER"
ROOT = Path(__file__).resolve().parents[2]
DATABASE = "sandtime.sqlite3"
# Compressed in a tenth of the time, a little larger: what is measured (tests/bench) is made as on a host.
QUICKLY = "import brotli, functools; brotli.compress = functools.partial(brotli.compress, quality=1)"
MAKE = """
import django
django.setup()
from django.core.management import call_command
from shop.shell import collect
call_command("migrate", interactive=False, verbosity=0)
collect.collect()
"""

if FOLDER not in os.environ:
    _owned = tempfile.TemporaryDirectory(prefix="sandtime-tests-")
    os.environ[FOLDER] = _owned.name


def static() -> str:
    """The folder of collected and compressed static files."""
    return str(_made() / "static")


def database(folder) -> None:
    """Puts a database with all migrations, and no shop, into a data folder that has none."""
    if not (folder / DATABASE).exists():
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        shutil.copy(_made() / "data" / DATABASE, folder / DATABASE)
        (folder / DATABASE).chmod(0o600)  # as the server makes its own


def _made() -> Path:
    here = Path(os.environ[FOLDER])
    with (here / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (here / "whole").exists():
            own = {"SANDTIME_DATA": str(here / "data"), "SANDTIME_STATIC": str(here / "static")}
            plain = {"DJANGO_SETTINGS_MODULE": "shop.settings", "SANDTIME_DEBUG": "", "DATABASE_URL": ""}
            make = f"{QUICKLY}\n{MAKE}" if "PYTEST_VERSION" in os.environ else MAKE
            subprocess.run([sys.executable, "-c", make], cwd=ROOT, env={**os.environ, **own, **plain}, check=True)
            (here / "whole").touch()
    return here
