"""Log formatters that hide secrets: text, or JSON, one object a line, for log collectors."""

import json
import logging
import re
from datetime import UTC, datetime

HIDDEN = "[hidden]"
SECRETS = re.compile(
    r"(?P<name>sandtime_phone=|\b(?:bearer|vapid|basic)\s+|\b(?:authorization|cookie|set-cookie|token|password|secret)"
    r"[\"']?\s*[:=]\s*[\"']?)(?P<secret>[^\s\"',;]+)",
    re.IGNORECASE,
)
ADDRESS = re.compile(
    r"(?P<origin>\b[a-z][a-z0-9+.-]*://)(?:[^\s/@\"']*@)?(?P<host>[^\s/?#\"']*)(?P<rest>[^\s\"'<>)]*)", re.IGNORECASE
)
QUERY = re.compile(r"(?P<path>/[^\s?\"']*)\?[^\s\"']+")
LONG = re.compile(r"(?<![\w./-])[\w-]{43,}(?![\w./-])")  # as long as a token, or a key of a push subscription


def without_secrets(text: str) -> str:
    """Hide tokens, cookies and keys; of a URL only the host stays, since push endpoints are secrets."""
    text = QUERY.sub(r"\g<path>?…", ADDRESS.sub(_host_only, text))
    return LONG.sub(HIDDEN, SECRETS.sub(lambda match: f"{match['name']}{HIDDEN}", text))


def _host_only(match: re.Match) -> str:
    return f"{match['origin']}{match['host']}{'' if match['rest'] in ('', '/') else '/…'}"


class Plain(logging.Formatter):
    """A line of text."""

    def format(self, record: logging.LogRecord) -> str:
        return without_secrets(super().format(record))


class Json(logging.Formatter):
    """{"at", "level", "logger", "message", "trouble"?, "path"?, "status"?}: the time in UTC.  Lines of the security log
    also have the parts of their message by name: "what", "from", "shop", "phone" and the like."""

    def format(self, record: logging.LogRecord) -> str:
        at = datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds")
        fields = {"at": at, "level": record.levelname, "logger": record.name, "message": record.getMessage()}
        if record.exc_info:
            fields["trouble"] = self.formatException(record.exc_info)
        if path := getattr(getattr(record, "request", None), "path", ""):
            fields["path"] = path
        if status := getattr(record, "status_code", None):
            fields["status"] = status
        fields |= getattr(record, "parts", {})
        safe = {key: without_secrets(value) if isinstance(value, str) else value for key, value in fields.items()}
        return json.dumps(safe, ensure_ascii=False)


def logging_config(form: str) -> dict:
    """Django's LOGGING: `json`, or text for a person."""
    kind = "shop.base.logs.Json" if form == "json" else "shop.base.logs.Plain"
    handler = {"class": "logging.StreamHandler", "formatter": "ours"}
    once = {
        "class": "logging.StreamHandler",
        "formatter": "ours",
        "filters": ["once"],
    }  # lines that strangers can cause
    often = {"handlers": ["once"], "level": "WARNING", "propagate": False}
    asked = {**often, "handlers": ["asked"]}  # refusals once, errors always
    timed = {**handler, "formatter": "timed"}  # programs that ban addresses want the time in the line
    security = {"handlers": ["security"], "level": "INFO", "propagate": False}
    quiet = {"handlers": ["console"], "level": "WARNING", "propagate": False}
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"ours": {"()": kind}, "timed": {"()": kind, "fmt": "%(asctime)s %(name)s %(message)s"}},
        "filters": {
            "once": {"()": "shop.base.throttled_log.Once"},
            "warnings": {"()": "shop.base.throttled_log.Once", "always": logging.ERROR},
        },
        "handlers": {"console": handler, "once": once, "security": timed, "asked": {**once, "filters": ["warnings"]}},
        "loggers": {name: dict(quiet) for name in ("django", "django.server", "uvicorn")}
        | {"django.request": asked, "uvicorn.error": asked}
        | {"django.security.DisallowedHost": often, "sandtime.security": security},
        "root": {"handlers": ["console"], "level": "WARNING"},
    }
