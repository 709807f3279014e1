"""Log lines that hold no secret: as text, or as JSON, one object a line, for programs that gather logs."""

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
    """Tokens, cookies and keys hidden; of an address only the host stays, since a push endpoint is a secret itself."""
    text = QUERY.sub(r"\g<path>?…", ADDRESS.sub(_host_only, text))
    return LONG.sub(HIDDEN, SECRETS.sub(lambda found: f"{found['name']}{HIDDEN}", text))


def _host_only(found: re.Match) -> str:
    return f"{found['origin']}{found['host']}{'' if found['rest'] in ('', '/') else '/…'}"


class Plain(logging.Formatter):
    """A line as a person reads it."""

    def format(self, record: logging.LogRecord) -> str:
        return without_secrets(super().format(record))


class Json(logging.Formatter):
    """{"at", "level", "logger", "message", "trouble"?, "path"?, "status"?}: the time in UTC.  Lines of the security log
    also have the parts of their message by name: "what", "from", "shop", "phone" and the like."""

    def format(self, record: logging.LogRecord) -> str:
        at = datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds")
        said = {"at": at, "level": record.levelname, "logger": record.name, "message": record.getMessage()}
        if record.exc_info:
            said["trouble"] = self.formatException(record.exc_info)
        if path := getattr(getattr(record, "request", None), "path", ""):
            said["path"] = path
        if status := getattr(record, "status_code", None):
            said["status"] = status
        said |= getattr(record, "told", {})
        hidden = {key: without_secrets(value) if isinstance(value, str) else value for key, value in said.items()}
        return json.dumps(hidden, ensure_ascii=False)


def configured(form: str) -> dict:
    """Django's LOGGING: `json`, or text for a person."""
    kind = "shop.logs.Json" if form == "json" else "shop.logs.Plain"
    handler = {"class": "logging.StreamHandler", "formatter": "ours"}
    once = {"class": "logging.StreamHandler", "formatter": "ours", "filters": ["once"]}  # what any stranger can cause
    often = {"handlers": ["once"], "level": "WARNING", "propagate": False}
    asked = {**often, "handlers": ["asked"]}  # refusals once, troubles always
    timed = {**handler, "formatter": "timed"}  # programs that bar addresses want the time in the line
    security = {"handlers": ["security"], "level": "INFO", "propagate": False}
    quiet = {"handlers": ["console"], "level": "WARNING", "propagate": False}
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"ours": {"()": kind}, "timed": {"()": kind, "fmt": "%(asctime)s %(name)s %(message)s"}},
        "filters": {
            "once": {"()": "shop.seldom.Once"},
            "warnings": {"()": "shop.seldom.Once", "always": logging.ERROR},
        },
        "handlers": {"console": handler, "once": once, "security": timed, "asked": {**once, "filters": ["warnings"]}},
        "loggers": {name: dict(quiet) for name in ("django", "django.server", "uvicorn")}
        | {"django.request": asked, "uvicorn.error": asked}
        | {"django.security.DisallowedHost": often, "sandtime.security": security},
        "root": {"handlers": ["console"], "level": "WARNING"},
    }
