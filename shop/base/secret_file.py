"""Creates a file with a secret once."""

import contextlib
import os
from pathlib import Path


def make(path: Path, content: bytes) -> None:
    """Create the file atomically and privately; of two processes that start at the same time the first one wins.  An
    empty file, left by a process that was killed while writing, is replaced."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.exists() and not path.stat().st_size:
        path.unlink(missing_ok=True)
    temporary = path.with_name(f"{path.name}.{os.getpid()}.{os.urandom(4).hex()}")
    with open(os.open(temporary, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    with contextlib.suppress(FileExistsError):
        os.link(temporary, path)
    temporary.unlink()
