"""Settings, read from the environment once. Safe for production unless APIARY_DEBUG=1 opts into development.

Every variable read here is listed in README.md (a test compares the two).
"""

import os
from datetime import date
from pathlib import Path

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

BASE_DIR = Path(__file__).resolve().parent.parent


def text_setting(name: str, default: str = "") -> str:
    """The variable, or the content of the file named by NAME_FILE (for secrets kept in files)."""
    if path := os.environ.get(f"{name}_FILE"):
        try:
            return Path(path).read_text(encoding="utf-8").strip()
        except OSError as trouble:
            raise ImproperlyConfigured(f"{name}_FILE names {path}, which cannot be read: {trouble}.") from trouble
    return os.environ.get(name, default).strip()


def switch_setting(name: str, default: bool) -> bool:
    value = text_setting(name, "1" if default else "0")
    if value not in ("0", "1"):
        raise ImproperlyConfigured(f"{name} must be 0 or 1, got {value!r}.")
    return value == "1"


def number_setting(name: str, default: int) -> int:
    value = text_setting(name, str(default))
    if not value.isdigit():
        raise ImproperlyConfigured(f"{name} must be a whole number, got {value!r}.")
    return int(value)


def day_setting(name: str) -> date | None:
    value = text_setting(name)
    try:
        return date.fromisoformat(value) if value else None
    except ValueError:
        raise ImproperlyConfigured(f"{name} must be a day like 2027-06-09, got {value!r}.") from None


def list_setting(name: str) -> list[str]:
    return [part.strip() for part in text_setting(name).split(",") if part.strip()]


DEBUG = switch_setting("APIARY_DEBUG", default=False)
SECURE = switch_setting("APIARY_HTTPS", default=not DEBUG)

SECRET_KEY = text_setting("APIARY_SECRET_KEY", "for-development-only-" * 3 if DEBUG else "")
if not SECRET_KEY:
    raise ImproperlyConfigured(
        "APIARY_SECRET_KEY is missing. Set it (or APIARY_SECRET_KEY_FILE) to 50 or more random characters, "
        "or set APIARY_DEBUG=1 on your own machine."
    )
if not DEBUG and len(SECRET_KEY) < 50:
    raise ImproperlyConfigured("APIARY_SECRET_KEY is too short: it needs 50 or more random characters.")

ALLOWED_HOSTS = list_setting("APIARY_HOSTS") or ["localhost", "127.0.0.1", "[::1]"]
CSRF_TRUSTED_ORIGINS = [f"https://{host.lstrip('.')}" for host in ALLOWED_HOSTS] if SECURE else []

INSTALLED_APPS = [
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.humanize",
    "django.contrib.messages",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "django.forms",
    "axes",
    "csp",
    "django_filters",
    "django_tables2",
    "django_tasks",
    "django_tasks_db",
    "simple_history",
    "apiary_ops.core",
    "apiary_ops.people",
    "apiary_ops.business",
    "apiary_ops.sheets",
    "apiary_ops.fieldbook",
    "apiary_ops.yards",
    "apiary_ops.books",
    "apiary_ops.costs",
    "apiary_ops.queens",
    "apiary_ops.nucs",
    "apiary_ops.orders",
    "apiary_ops.billing",
    "apiary_ops.capacity",
    "apiary_ops.promise",
    "apiary_ops.allocation",
    "apiary_ops.pickups",
    "apiary_ops.margin",
    "apiary_ops.closing",
    "apiary_ops.desk",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "apiary_ops.core.middleware.NoNulMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "apiary_ops.people.middleware.AccessMiddleware",
    "apiary_ops.business.middleware.BusinessMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "apiary_ops.urls"
WSGI_APPLICATION = "apiary_ops.wsgi.application"
ASGI_APPLICATION = "apiary_ops.asgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "apiary_ops.business.context_processors.shell",
            ],
            "builtins": [
                "apiary_ops.core.templatetags.ledger",
                "apiary_ops.people.templatetags.access",
                "django.templatetags.i18n",
            ],
        },
    },
]
FORM_RENDERER = "django.forms.renderers.TemplatesSetting"

# --- The database: SQLite out of the box, PostgreSQL through DATABASE_URL.
DATABASE_URL = text_setting("DATABASE_URL") or f"sqlite:///{BASE_DIR / 'db.sqlite3'}"
DATABASES = {"default": dj_database_url.parse(DATABASE_URL, conn_max_age=600, conn_health_checks=True)}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # IMMEDIATE: a writer takes its turn at once instead of failing at commit. FULL: a receipt survives a power cut.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;",
    }
    # Threads of one test process share the database only when it is a file.
    DATABASES["default"]["TEST"] = {"NAME": text_setting("APIARY_TEST_SQLITE") or None}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# --- People and sign-in.
AUTH_USER_MODEL = "people.User"
LOGIN_URL = "people:sign-in"
LOGIN_REDIRECT_URL = "desk:home"
LOGOUT_REDIRECT_URL = "people:sign-in"
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
# Failures are rows in the database, so they count across workers and servers.
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25  # hours
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_TEMPLATE = "people/locked_out.html"
AXES_IPWARE_PROXY_COUNT = number_setting("APIARY_PROXIES", 0)
AXES_ENABLE_ADMIN = False
AXES_VERBOSE = False

# --- Cookies, HTTPS, content security (ASVS 5.0: 3.3.1-3.3.4, 3.4.1-3.4.8).
SESSION_COOKIE_NAME = "__Host-session" if SECURE else "session"
CSRF_COOKIE_NAME = "__Host-csrf" if SECURE else "csrf"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_AGE = 60 * 60 * 24 * 14
SECURE_SSL_REDIRECT = SECURE
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if number_setting("APIARY_PROXIES", 0) else None
SECURE_HSTS_SECONDS = 31_536_000 if SECURE else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = SECURE
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "object-src": [NONE],
        "frame-ancestors": [NONE],
    }
}

# --- Language, time, files.
LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English")]
USE_I18N = USE_TZ = True
TIME_ZONE = "UTC"  # Pages and commands work in the business's own time zone; see business.middleware.
PRETENDED_TODAY = day_setting("APIARY_TODAY")  # the demo's day; see core.clock
STATIC_URL = "static/"
STATIC_ROOT = BASE_DIR / "staticfiles"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},  # nothing is kept on an app server's disk
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = DEBUG
DATA_UPLOAD_MAX_MEMORY_SIZE = 2_500_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 3_000

# --- Slow work runs in `manage.py db_worker`.
TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend", "QUEUES": ["default"]}}

SIMPLE_HISTORY_HISTORY_CHANGE_REASON_USE_TEXT_FIELD = True
DJANGO_TABLES2_TEMPLATE = "components/_table.html"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "loggers": {"axes": {"level": "WARNING"}},  # a line for each sign-in says nothing; refusals are warnings
    "root": {"handlers": ["console"], "level": text_setting("APIARY_LOG_LEVEL", "INFO")},
}
