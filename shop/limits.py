"""How much one server process holds out.  Each figure is an environment variable; README.md lists them."""

from dataclasses import dataclass, fields
from functools import cache

from django.core.exceptions import ImproperlyConfigured

try:
    import resource
except ImportError:  # Windows knows no limit of open files that could be asked for
    resource = None

OWN_FILES = 128  # the database, static files being sent, the log, the loop itself


@dataclass(frozen=True)
class Limits:
    """`body_s` is SANDTIME_BODY_S, and so on: seconds, bytes, or how many at once."""

    threads: int = 8  # that answer requests
    waiting: int = 500  # requests that wait for a thread
    body_bytes: int = 4 * 1024 * 1024
    body_s: float = 20
    bodies_from_address: int = 16  # that are on their way at once
    held_bytes: int = 128 * 1024 * 1024  # bodies and answers in memory
    held_for_address: int = 32 * 1024 * 1024
    head_bytes: int = 64 * 1024
    head_s: float = 10
    idle_s: float = 5  # between two requests of one connection
    stall_s: float = 30  # in which a phone must take STALL_BYTES_S of what is sent to it
    connections: int = 10_000  # fewer where the system gives fewer files
    streams_of_phone: int = 12  # tabs and ghosts of tabs
    streams_of_shop: int = 200
    streams_from_address: int = 250  # a carrier may have many phones behind one address


STALL_BYTES_S = 1024


def given(environment) -> Limits:
    """The limits, with what the host has set."""
    said = {field.name: environment.get(f"SANDTIME_{field.name.upper()}") for field in fields(Limits)}
    return Limits(**{name: _number(name, value) for name, value in said.items() if value})


def raise_files() -> tuple[int, int] | None:
    """Take as many open files as the system lets us have; how many there were and are, None where it does not say.

    Debian and systemd begin a process with 1,024, of which each open stream holds one.
    """
    if resource is None:
        return None
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    try:
        resource.setrlimit(resource.RLIMIT_NOFILE, (hard, hard))
    except (OSError, ValueError):  # some systems say "no limit" and mean less
        hard = soft
    return soft, hard


@cache
def most_connections(wanted: int) -> int:
    """How many connections are taken, so that the system never runs out of files for us: then accept() would fail again
    and again, and nobody could be told so."""
    if resource is None:
        return wanted
    soft = resource.getrlimit(resource.RLIMIT_NOFILE)[0]
    if soft == resource.RLIM_INFINITY:
        return wanted
    return max(1, min(wanted, soft - min(OWN_FILES, soft // 4)))


def most_streams(wanted: int) -> int:
    """Streams of all phones together: a quarter of the connections stays for questions."""
    return max(1, most_connections(wanted) * 3 // 4)


def _number(name: str, said: str) -> float:
    kind = Limits.__annotations__[name]
    try:
        found = kind(said)
    except ValueError:
        found = 0
    if found <= 0 or found == float("inf"):
        raise ImproperlyConfigured(f"SANDTIME_{name.upper()} must be a number above 0, not {said!r}.")
    return found
