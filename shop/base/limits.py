"""Limits of one server process.  Each is an environment variable; README.md lists them."""

from dataclasses import dataclass, fields
from functools import cache

from django.core.exceptions import ImproperlyConfigured

try:
    import resource
except ImportError:  # Windows has no such limit
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


def from_environment(environment) -> Limits:
    """The limits, with the values that the environment sets; ImproperlyConfigured for one that is no number above 0."""
    values = {field.name: environment.get(f"SANDTIME_{field.name.upper()}") for field in fields(Limits)}
    return Limits(**{name: _number(name, value) for name, value in values.items() if value})


def raise_open_files() -> tuple[int, int] | None:
    """Raise the limit of open files as far as the system allows: (before, after), None where there is no such limit.

    Debian and systemd start a process with 1,024, of which each open stream takes one.
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
    """How many connections are accepted, so that the process never runs out of files: then accept() would keep failing,
    and clients would get no answer."""
    if resource is None:
        return wanted
    soft = resource.getrlimit(resource.RLIMIT_NOFILE)[0]
    if soft == resource.RLIM_INFINITY:
        return wanted
    return max(1, min(wanted, soft - min(OWN_FILES, soft // 4)))


def most_streams(wanted: int) -> int:
    """Streams of all phones together: a quarter of the connections stays free for requests."""
    return max(1, most_connections(wanted) * 3 // 4)


def _number(name: str, text: str) -> float:
    kind = Limits.__annotations__[name]
    try:
        number = kind(text)
    except ValueError:
        number = 0
    if number <= 0 or number == float("inf"):
        raise ImproperlyConfigured(f"SANDTIME_{name.upper()} must be a number above 0, not {text!r}.")
    return number
