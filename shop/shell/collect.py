"""Collects and compresses static files, which takes seconds, only when one of them changed."""

import hashlib

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command

STAMP = ".collected"


def collect() -> bool:
    """Bring STATIC_ROOT up to date; whether there was anything to do."""
    now, stamp = _fingerprint(), settings.STATIC_ROOT / STAMP
    if stamp.exists() and stamp.read_text() == now:
        return False
    call_command("collectstatic", interactive=False, clear=True, verbosity=0)
    stamp.write_text(now)
    return True


def _fingerprint() -> str:
    """One hash over every file to collect."""
    digest = hashlib.sha256()
    files = ((path, storage) for finder in get_finders() for path, storage in finder.list([]))
    for path, storage in sorted(files, key=lambda one: one[0]):
        with storage.open(path) as content:
            digest.update(f"{path}\0".encode() + hashlib.sha256(content.read()).digest())
    return digest.hexdigest()
