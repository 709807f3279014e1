"""A file of secrets that is made once."""

import contextlib
import os
from pathlib import Path


def make(path: Path, content: bytes) -> None:
    """The file appears whole and once, readable for its owner only, also when two processes start at the same moment:
    the first link stays.  An empty one, as a process left it that was killed while it wrote, is taken away first."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.exists() and not path.stat().st_size:
        path.unlink(missing_ok=True)
    made = path.with_name(f"{path.name}.{os.getpid()}.{os.urandom(4).hex()}")
    with open(os.open(made, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    with contextlib.suppress(FileExistsError):
        os.link(made, path)
    made.unlink()
