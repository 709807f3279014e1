"""Web push: a message to one phone through its browser's push service (RFC 8030), and what became of it.

Endpoints are addresses that strangers give us: only known push services are asked, over https, without redirects.
"""

import hashlib
import http.client
import json
import re
import urllib.error
import urllib.request
from dataclasses import dataclass
from datetime import UTC
from email.utils import parsedate_to_datetime
from urllib.parse import urlsplit

from django.conf import settings

from . import seal

# The push services of today's browsers, from their makers' open documentation.
HOSTS = ("fcm.googleapis.com", "updates.push.services.mozilla.com")
HOST_ENDS = (".push.apple.com", ".notify.windows.com")
ADDRESS = re.compile(r"[!-\[\]-~]{1,1000}\Z")  # printable, no space, no backslash
HOST = re.compile(r"[a-z0-9.-]+\Z")
TIMEOUT_S = 10
LATER_MS = 15_000
LONGEST_WAIT_MS = 300_000
TOLD, GONE, LATER, REFUSED = "told", "gone", "later", "refused"


@dataclass(frozen=True)
class Address:
    """Where a message goes, as the browser gave it; `home` is the address at which this phone opens Sandtime."""

    endpoint: str
    p256dh: str
    auth: str
    home: str = ""


@dataclass(frozen=True)
class Answer:
    """What became of a message: told, the subscription gone, to be tried later, refused; and why, in words."""

    became: str
    why: str = ""
    wait_ms: int = 0


def is_known(endpoint: str) -> bool:
    """Whether an endpoint is one of a known push service, or of a host that the settings name (for tests)."""
    try:
        there = urlsplit(endpoint)
        port, host = there.port, there.hostname or ""
    except ValueError:
        return False
    if not ADDRESS.match(endpoint) or "@" in there.netloc or not HOST.match(host):
        return False
    if there.netloc in settings.PUSH_HOSTS:
        return there.scheme in ("http", "https")
    return there.scheme == "https" and port in (None, 443) and (host in HOSTS or host.endswith(HOST_ENDS))


def send(to: Address, said: dict, ttl_s: int, now_ms: int, tries: int = 1) -> Answer:
    """Tell one phone.  `said` is {"title", "body", "tag", "at"} and, where it is not English, "lang"; what is too long
    is sent once more, short."""
    answer = _post(to, payload(to, said), said["tag"], ttl_s, now_ms, tries)
    if answer.why.startswith("413"):
        short = {**said, "title": said["title"][:60], "body": ""}
        answer = _post(to, payload(to, short), said["tag"], ttl_s, now_ms, tries)
    return answer


def payload(to: Address, said: dict) -> bytes:
    """One body for both kinds of browser: those that show it by themselves and those that wake our service worker.
    Always visible: a browser takes the subscription away from one that is not."""
    shown = {
        "title": said["title"],
        "body": said["body"],
        "navigate": f"{to.home}{said['at']}",
        "tag": said["tag"],
        "lang": said.get("lang", "en"),
        "silent": False,
    }
    return json.dumps({"web_push": 8030, "notification": shown}, ensure_ascii=False, separators=(",", ":")).encode()


def topic(tag: str) -> str:
    """A message of the same topic that still waits is replaced: at most 32 letters (RFC 8030, section 5.4); one push
    service wants them to be whole base64url, so all 32 are used."""
    return hashlib.sha256(tag.encode()).hexdigest()[:32]


def _post(to: Address, said: bytes, tag: str, ttl_s: int, now_ms: int, tries: int) -> Answer:
    if not is_known(to.endpoint):
        return Answer(REFUSED, "its push service is none that Sandtime knows")
    try:
        body = seal.sealed(said, seal.octets(to.p256dh), seal.octets(to.auth))
    except ValueError as why:
        return Answer(REFUSED, str(why))
    there = urlsplit(to.endpoint)
    subject = settings.PUSH_SUBJECT or (to.home if to.home.startswith("https://") else "")
    headers = {
        "Authorization": seal.signed_word(f"{there.scheme}://{there.netloc}", subject, now_ms),
        "Content-Encoding": "aes128gcm",
        "Content-Type": "application/octet-stream",
        "TTL": str(ttl_s),
        "Urgency": "high",
        "Topic": topic(tag),
    }
    try:
        request = urllib.request.Request(to.endpoint, body, headers, method="POST")
        with _road.open(request, timeout=TIMEOUT_S) as answer:
            return _read(answer.status, "", now_ms, tries)
    except urllib.error.HTTPError as answer:
        with answer:
            return _read(answer.code, answer.headers.get("Retry-After") or "", now_ms, tries)
    except (OSError, http.client.HTTPException) as why:
        return Answer(LATER, f"no answer: {why}", _backing_off(tries))


def _read(status: int, retry_after: str, now_ms: int, tries: int) -> Answer:
    if status in (200, 201, 202, 204):
        return Answer(TOLD)
    if status in (404, 410):
        return Answer(GONE, f"{status}: the push service does not know this phone any more")
    if status == 429 or status >= 500:
        wait = _asked_wait(retry_after, now_ms)
        return Answer(LATER, f"{status}: the push service asks to wait", _backing_off(tries) if wait is None else wait)
    return Answer(REFUSED, f"{status}: the push service does not take this message")


def _asked_wait(retry_after: str, now_ms: int) -> int | None:
    """Retry-After as ms from now: seconds, or a date (RFC 9110, section 10.2.3); None where it is neither."""
    if re.fullmatch(r"[0-9]{1,9}", retry_after):
        return int(retry_after) * 1000
    try:
        at = parsedate_to_datetime(retry_after)
    except ValueError:
        return None
    return max(0, int((at if at.tzinfo else at.replace(tzinfo=UTC)).timestamp() * 1000) - now_ms)


def _backing_off(tries: int) -> int:
    return min(LONGEST_WAIT_MS, LATER_MS * 2 ** min(max(tries, 1) - 1, 10))


class _NoRedirect(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *args):
        """None: a push service that sends us elsewhere is answered as a refusal."""


_road = urllib.request.build_opener(_NoRedirect)
