"""Settings.  Every setting a host may want is an environment variable; README.md lists them."""

import os
import secrets
from pathlib import Path

from .base import database, limits, logs, secret_file

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(os.environ.get("SANDTIME_DATA") or BASE_DIR / ".var").absolute()


def _secret() -> str:
    """The secret from the environment, or one made once and kept beside the data."""
    if given := os.environ.get("SANDTIME_SECRET"):
        return given
    path = DATA_DIR / "secret"
    if not path.exists() or not path.stat().st_size:
        secret_file.make(path, secrets.token_urlsafe(64).encode())
    return path.read_text()


def _on(name: str) -> bool:
    return os.environ.get(name) == "1"


SECRET_KEY = _secret()
DEBUG = os.environ.get("SANDTIME_DEBUG") == "1"
HTTPS = os.environ.get("SANDTIME_HTTPS") == "1"
HOSTS = [host for host in os.environ.get("SANDTIME_HOSTS", "").split(",") if host]
ALLOWED_HOSTS = HOSTS or ["localhost", "127.0.0.1", "[::1]"]
BEHIND_PROXY = os.environ.get("SANDTIME_BEHIND_PROXY") == "1"
OPEN_SHOP = os.environ.get("SANDTIME_OPEN_SHOP") == "1"  # every phone that opens this address joins the one shop

INSTALLED_APPS = ["django.contrib.staticfiles", "django_htmx", "shop", "timers"]
MIDDLEWARE = [
    "shop.security.csp.content_policy",
    "shop.security.https_only.refuse_plain_http",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "shop.security.errors.ErrorMiddleware",
]
ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.asgi.wsgi"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": False,
    }
]

DATABASES = {"default": database.configured(os.environ.get("DATABASE_URL", ""), DATA_DIR)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English"), ("es", "Español"), ("de", "Deutsch")]
LANGUAGE_COOKIE_NAME = "sandtime_tongue"  # written by the page; without it the browser's own languages rule
LOCALE_PATHS = [Path(os.environ.get("SANDTIME_LOCALE") or BASE_DIR / "shop" / "locale")]  # another one in tests
SIGNUP = os.environ.get("SANDTIME_SIGNUP") != "closed"  # whether a phone that opens the address may make a shop
BEGINS_PER_ADDRESS = int(os.environ.get("SANDTIME_BEGINS_PER_ADDRESS") or 20)  # phones that begin in ten minutes
BEGINS_PER_HOUR = int(os.environ.get("SANDTIME_BEGINS_PER_HOUR") or 600)  # from everywhere
UNUSED_HOURS = int(os.environ.get("SANDTIME_UNUSED_HOURS") or 24)  # then a shop in which nothing was done is forgotten
TRIALS_PER_PHONE = int(os.environ.get("SANDTIME_TRIALS_PER_PHONE") or 3)  # trials of push in a minute
TRIALS_PER_SHOP = int(os.environ.get("SANDTIME_TRIALS_PER_SHOP") or 20)  # in ten minutes
RELEASE = os.environ.get("SANDTIME_RELEASE", "")  # a host's own name for a release: a new one offers itself to phones
SHOP_ZONE = os.environ.get("SANDTIME_ZONE") or "UTC"  # for shops made by `serve`; a phone gives its own
PUSH_HOSTS = tuple(host for host in os.environ.get("SANDTIME_PUSH_HOSTS", "").split(",") if host)  # for tests
PUSH_SUBJECT = os.environ.get("SANDTIME_PUSH_SUBJECT", "")  # mailto: or https:, whom a push service may ask
THING_ACTS = int(os.environ.get("SANDTIME_THING_ACTS") or 2_000)  # a panel takes about 20
THING_BYTES = int(os.environ.get("SANDTIME_THING_BYTES") or 2_000_000)
AIR_ACTS = int(os.environ.get("SANDTIME_AIR_ACTS") or 10_000)  # that clocks need: one every 5 min for 14 days is 4,032
SHOP_ACTS = int(os.environ.get("SANDTIME_SHOP_ACTS") or 1_500_000)  # two busy years with a thermometer: 270,000
SHOP_BYTES = int(os.environ.get("SANDTIME_SHOP_BYTES") or 500_000_000)
SYNC_SECONDS = float(os.environ.get("SANDTIME_SYNC_SECONDS") or 30)  # of work for one phone at once; 0: no limit
SYNC_SHARE = 0.1  # of a second of work that comes back to a phone each second
FREE_BYTES = int(os.environ.get("SANDTIME_FREE_BYTES") or 100_000_000)  # less is a full disk, to whoever watches

STATIC_URL = "/static/"
STATIC_ROOT = Path(os.environ.get("SANDTIME_STATIC") or DATA_DIR / "static")
STATICFILES_DIRS = [BASE_DIR / "static"]
STATICFILES_FINDERS = [
    "django.contrib.staticfiles.finders.FileSystemFinder",
    "django.contrib.staticfiles.finders.AppDirectoriesFinder",
    "shop.shell.bundle.Finder",
]
MADE_SCRIPTS = {"core/acts/schema.js": "timers.web.schema_script.text"}  # name under js/: what gives its text
STORAGES = {"staticfiles": {"BACKEND": "whitenoise.storage.CompressedStaticFilesStorage"}}
WHITENOISE_USE_FINDERS = WHITENOISE_AUTOREFRESH = DEBUG
WHITENOISE_ALLOW_ALL_ORIGINS = False
WHITENOISE_MAX_AGE = 0  # plain names: the service worker owns the version, so the network must always revalidate

LIMITS = limits.from_environment(os.environ)
DATA_UPLOAD_MAX_MEMORY_SIZE = LIMITS.body_bytes
FILE_UPLOAD_HANDLERS = []  # no view takes a file
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CSRF_COOKIE_SECURE = SESSION_COOKIE_SECURE = HTTPS
SECURE_SSL_REDIRECT = HTTPS
SECURE_REDIRECT_EXEMPT = [r"^(healthz|readyz)$"]  # asked from beside the server, where there is no https
SECURE_HSTS_SECONDS = int(os.environ.get("SANDTIME_HSTS_S") or 31_536_000) if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = HTTPS and _on("SANDTIME_HSTS_SUBDOMAINS")  # binds all else under the host's name too
SECURE_HSTS_PRELOAD = HTTPS and _on("SANDTIME_HSTS_PRELOAD")  # browsers keep such a list: a way back takes months
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]  # they ask for those two, which the host decides
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

LOGGING = logs.logging_config(os.environ.get("SANDTIME_LOG", ""))
