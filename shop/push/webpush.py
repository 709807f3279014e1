"""Web Push: sends a message to one phone through its browser's push service (RFC 8030).

Endpoints come from clients: only known push services are contacted, over https, without redirects.
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

from . import webpush_crypto

# The push services of today's browsers, from their makers' open documentation.
HOSTS = ("fcm.googleapis.com", "updates.push.services.mozilla.com")
HOST_ENDS = (".push.apple.com", ".notify.windows.com")
ADDRESS = re.compile(r"[!-\[\]-~]{1,1000}\Z")  # printable, no space, no backslash
HOST = re.compile(r"[a-z0-9.-]+\Z")
TIMEOUT_S = 10
LATER_MS = 15_000
LONGEST_WAIT_MS = 300_000
SENT, GONE, LATER, REFUSED = "sent", "gone", "later", "refused"


@dataclass(frozen=True)
class Address:
    """A push subscription as the browser gave it; `home` is the URL at which this phone opens Sandtime."""

    endpoint: str
    p256dh: str
    auth: str
    home: str = ""


@dataclass(frozen=True)
class Answer:
    """The outcome of a message, and why, for the log.

    SENT; GONE: the subscription does not exist any more; LATER: try again after `wait_ms`; REFUSED."""

    outcome: str
    why: str = ""
    wait_ms: int = 0


def is_known(endpoint: str) -> bool:
    """Whether an endpoint belongs to a known push service, or to a host named in PUSH_HOSTS (for tests)."""
    try:
        url = urlsplit(endpoint)
        port, host = url.port, url.hostname or ""
    except ValueError:
        return False
    if not ADDRESS.match(endpoint) or "@" in url.netloc or not HOST.match(host):
        return False
    if url.netloc in settings.PUSH_HOSTS:
        return url.scheme in ("http", "https")
    return url.scheme == "https" and port in (None, 443) and (host in HOSTS or host.endswith(HOST_ENDS))


def send(address: Address, message: dict, ttl_s: int, now_ms: int, tries: int = 1) -> Answer:
    """Send one message: `message` is {"title", "body", "tag", "at"} and, where it is not English, "lang".  One that is
    too long for the push service is sent again, shortened."""
    answer = _post(address, payload(address, message), message["tag"], ttl_s, now_ms, tries)
    if answer.why.startswith("413"):
        short = {**message, "title": message["title"][:60], "body": ""}
        answer = _post(address, payload(address, short), message["tag"], ttl_s, now_ms, tries)
    return answer


def payload(address: Address, message: dict) -> bytes:
    """One body for both kinds of browsers: those that show it themselves and those that wake our service worker.

    Always visible: browsers cancel subscriptions that send silent messages."""
    shown = {
        "title": message["title"],
        "body": message["body"],
        "navigate": f"{address.home}{message['at']}",
        "tag": message["tag"],
        "lang": message.get("lang", "en"),
        "silent": False,
    }
    return json.dumps({"web_push": 8030, "notification": shown}, ensure_ascii=False, separators=(",", ":")).encode()


def topic(tag: str) -> str:
    """The Topic header, at most 32 characters (RFC 8030, section 5.4): replaces a waiting message of the same topic.

    One push service wants valid base64url, so all 32 are used."""
    return hashlib.sha256(tag.encode()).hexdigest()[:32]


def _post(address: Address, payload: bytes, tag: str, ttl_s: int, now_ms: int, tries: int) -> Answer:
    if not is_known(address.endpoint):
        return Answer(REFUSED, "its push service is none that Sandtime knows")
    try:
        body = webpush_crypto.encrypt(
            payload, webpush_crypto.b64url_decode(address.p256dh), webpush_crypto.b64url_decode(address.auth)
        )
    except ValueError as why:
        return Answer(REFUSED, str(why))
    url = urlsplit(address.endpoint)
    subject = settings.PUSH_SUBJECT or (address.home if address.home.startswith("https://") else "")
    headers = {
        "Authorization": webpush_crypto.vapid_header(f"{url.scheme}://{url.netloc}", subject, now_ms),
        "Content-Encoding": "aes128gcm",
        "Content-Type": "application/octet-stream",
        "TTL": str(ttl_s),
        "Urgency": "high",
        "Topic": topic(tag),
    }
    try:
        request = urllib.request.Request(address.endpoint, body, headers, method="POST")
        with _opener.open(request, timeout=TIMEOUT_S) as answer:
            return _answer_of(answer.status, "", now_ms, tries)
    except urllib.error.HTTPError as answer:
        with answer:
            return _answer_of(answer.code, answer.headers.get("Retry-After") or "", now_ms, tries)
    except (OSError, http.client.HTTPException) as why:
        return Answer(LATER, f"no answer: {why}", _backoff_ms(tries))


def _answer_of(status: int, retry_after: str, now_ms: int, tries: int) -> Answer:
    if status in (200, 201, 202, 204):
        return Answer(SENT)
    if status in (404, 410):
        return Answer(GONE, f"{status}: the push service does not know this phone any more")
    if status == 429 or status >= 500:
        wait = _retry_after_ms(retry_after, now_ms)
        return Answer(LATER, f"{status}: the push service asks to wait", _backoff_ms(tries) if wait is None else wait)
    return Answer(REFUSED, f"{status}: the push service does not take this message")


def _retry_after_ms(retry_after: str, now_ms: int) -> int | None:
    """Retry-After in ms from now: seconds, or a date (RFC 9110, section 10.2.3); None where it is neither."""
    if re.fullmatch(r"[0-9]{1,9}", retry_after):
        return int(retry_after) * 1000
    try:
        at = parsedate_to_datetime(retry_after)
    except ValueError:
        return None
    return max(0, int((at if at.tzinfo else at.replace(tzinfo=UTC)).timestamp() * 1000) - now_ms)


def _backoff_ms(tries: int) -> int:
    return min(LONGEST_WAIT_MS, LATER_MS * 2 ** min(max(tries, 1) - 1, 10))


class _NoRedirect(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *args):
        """Never follow redirects: a 3xx counts as refused."""


_opener = urllib.request.build_opener(_NoRedirect)
