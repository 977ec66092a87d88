"""Django settings. Everything a deployment may change comes from HARVESTLOG_* in the environment."""

import os
from pathlib import Path

from platformdirs import user_data_path

from harvestlog import __version__, postgresql, sqlite

DATABASE_URL = os.environ.get("HARVESTLOG_DATABASE_URL", "")
if not DATABASE_URL:
    sqlite.choose()  # before Django's SQLite backend is imported

PACKAGE = Path(__file__).resolve().parent
CHECKOUT = PACKAGE.parent

DATA = Path(os.environ.get("HARVESTLOG_DATA") or user_data_path("harvestlog", appauthor=False))
KEY_FILE = Path(os.environ.get("HARVESTLOG_SECRET_KEY_FILE") or DATA / "secret-key")

VERSION = __version__
DEBUG = os.environ.get("HARVESTLOG_DEBUG") == "1"
HTTPS = os.environ.get("HARVESTLOG_HTTPS") == "1"
# `harvestlog up` makes the key file. Without one nothing can be signed, so Django refuses to serve.
SECRET_KEY = KEY_FILE.read_text().strip() if KEY_FILE.exists() else ""
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"] + [
    host.strip() for host in os.environ.get("HARVESTLOG_HOSTS", "").split(",") if host.strip()
]

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "harvestlog.accounts",
    "harvestlog.blocks",
    "harvestlog.harvests",
    "harvestlog.keeping",
    "harvestlog.photos",
    "harvestlog.sync",
    "harvestlog.reports",
]

MIDDLEWARE = [
    # Above WhiteNoise, or the page itself would carry no Content-Security-Policy.
    "harvestlog.security.headers",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
]

ROOT_URLCONF = "harvestlog.urls"
WSGI_APPLICATION = "harvestlog.wsgi.application"
APPEND_SLASH = False


def _database(url: str) -> dict[str, object]:
    if not url:
        return {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": DATA / "harvestlog.sqlite3",
            "OPTIONS": {
                # A transaction that will write says so at once; otherwise two writers can deadlock.
                "transaction_mode": "IMMEDIATE",
                "timeout": 20,
                # A phone forgets a record once the server acknowledged it: FULL keeps that true through a power cut.
                "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
            },
        }
    return postgresql.connection(url)


DATABASES = {"default": _database(DATABASE_URL)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "accounts.Person"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in ("MinimumLengthValidator", "CommonPasswordValidator", "UserAttributeSimilarityValidator")
]

# A phone away in a shed for weeks should still be signed in when it is back.
SESSION_COOKIE_AGE = 45 * 24 * 3600
SESSION_SAVE_EVERY_REQUEST = False
# Over TLS the names themselves promise that no other host and no plain page has set them (ASVS 3.3.1).
_COOKIES = "__Host-" if HTTPS else ""
SESSION_COOKIE_NAME, CSRF_COOKIE_NAME = f"{_COOKIES}sessionid", f"{_COOKIES}csrftoken"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Strict"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
CSRF_COOKIE_SAMESITE = "Strict"
CSRF_FAILURE_VIEW = "harvestlog.security.csrf_refused"
SECURE_SSL_REDIRECT = False
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "no-referrer"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
BEHIND_PROXY = os.environ.get("HARVESTLOG_BEHIND_PROXY") == "1"
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
SILENCED_SYSTEM_CHECKS = [
    "security.W002",  # harvestlog.security sends X-Frame-Options itself
    "security.W005",  # other names under the same domain are not ours to decide about
    # `harvestlog up` with a certificate speaks nothing but TLS. A proxy in front has to send http on to https itself:
    # Django would send the proxy's own plain requests round in a circle wherever X-Forwarded-Proto is not set.
    "security.W008",
    "security.W021",  # nor is the browsers' preload list
]

USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en-gb"

# The compiled phone app is served from the root by WhiteNoise: /, /sw.js and the manifest need no view.
_PWA_PLACES = (PACKAGE / "pwa", CHECKOUT / "static" / "dist")
PWA = next((place for place in _PWA_PLACES if (place / "index.html").exists()), _PWA_PLACES[0])
STATIC_URL = "/static/"
WHITENOISE_ROOT = PWA if PWA.exists() else None
WHITENOISE_INDEX_FILE = True
WHITENOISE_ALLOW_ALL_ORIGINS = False
WHITENOISE_MIMETYPES = {".webmanifest": "application/manifest+json"}
WHITENOISE_MAX_AGE = 0  # "/" and /sw.js must be asked for anew every time
WHITENOISE_IMMUTABLE_FILE_TEST = r"^/assets/.+-[0-9A-Za-z]{8}\.\w+$"

PHOTOS = DATA / "photos"
STORAGES = {
    "default": {"BACKEND": "harvestlog.photos.storage.PhotoFolder", "OPTIONS": {"location": PHOTOS}},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
DATA_UPLOAD_MAX_MEMORY_SIZE = 4 * 1024 * 1024

# "always" lets visitors open the demo farm even when there is a real one; by default only before it.
HARVESTLOG_DEMO = os.environ.get("HARVESTLOG_DEMO", "")
DEMO_MAKER = "harvestlog.sync.demo.open_demo"  # accounts stands beneath sync and may not import it
_DEMO_PLACES = (PACKAGE / "demo_farm", CHECKOUT / "fixtures" / "demo")
DEMO_FARM = next((place for place in _DEMO_PLACES if (place / "farm.json").exists()), _DEMO_PLACES[0])

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"no_tokens": {"()": "harvestlog.security.NoTokens"}},
    "formatters": {"line": {"()": "harvestlog.security.LogLine"}},
    "handlers": {
        "console": {"class": "logging.StreamHandler", "filters": ["no_tokens"], "formatter": "line"}
    },
    "root": {"handlers": ["console"], "level": "WARNING"},
    # Whoever scans the internet for servers sends wrong names all day: that is no fault to trace.
    "loggers": {"django.security.DisallowedHost": {"level": "CRITICAL"}},
}
