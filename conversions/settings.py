"""Settings, read from the environment; a bad or missing value stops the start."""

import locale
import os
from pathlib import Path

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

ROOT = Path(__file__).resolve().parent.parent


def text(name: str, default: str | None = None) -> str:
    value = os.environ.get(name, default)
    if not value:
        raise ImproperlyConfigured(f"Set the environment variable {name}.")
    return value


def flag(name: str) -> bool:
    value = os.environ.get(name, "0")
    if value not in ("0", "1"):
        raise ImproperlyConfigured(f"{name} must be 0 or 1, not {value!r}.")
    return value == "1"


def whole(name: str, default: int) -> int:
    value = os.environ.get(name) or str(default)
    if not value.isdigit():
        raise ImproperlyConfigured(f"{name} must be a whole number, not {value!r}.")
    return int(value)


def one_of(name: str, *allowed: str) -> str:
    value = os.environ.get(name) or allowed[0]
    if value not in allowed:
        raise ImproperlyConfigured(f"{name} must be {' or '.join(allowed)}, not {value!r}.")
    return value


def words(name: str, default: str = "") -> list[str]:
    return [w.strip() for w in os.environ.get(name, default).split(",") if w.strip()]


DEBUG = flag("DEBUG")
VAR = Path(os.environ.get("VAR_DIR", ROOT / "var"))
_key = VAR / "secret"  # made by ./dev, so that commands find the same key as the server
SECRET_KEY = _key.read_text().strip() if "SECRET_KEY" not in os.environ and _key.is_file() else text("SECRET_KEY")
LINK_KEY = os.environ.get("LINK_KEY") or SECRET_KEY  # signs the links of people without an account
ALLOWED_HOSTS = words("ALLOWED_HOSTS", "127.0.0.1,localhost")
CSRF_TRUSTED_ORIGINS = words("TRUSTED_ORIGINS")
REGISTRATION = one_of("REGISTRATION", "closed", "open")  # whether anybody may start a group, or only the operator
BASE_URL = os.environ.get("BASE_URL", "").rstrip("/")  # how the group's site is reached from outside, for printed links

INSTALLED_APPS = [
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "crispy_forms",
    "conversions.common",
    "conversions.groups",
    "conversions.people",
    "conversions.yards",
    "conversions.visits",
    "conversions.quotes",
    "conversions.builds",
    "conversions.care",
    "conversions.tally",
    "conversions.office",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "conversions.groups.tenancy.Door",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "conversions.urls"
WSGI_APPLICATION = "conversions.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "builtins": ["conversions.common.templatetags.dates"],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    }
]

# ---- database: SQLite in var/ unless DATABASE_URL names another
VAR.mkdir(parents=True, exist_ok=True)
DATABASES = {"default": dj_database_url.config(default=f"sqlite:///{VAR / 'tracker.sqlite3'}")}
_db = DATABASES["default"]
if _db["ENGINE"].endswith("sqlite3"):
    # IMMEDIATE: without it a transaction that reads before it writes loses out under load, whatever the timeout
    _db.setdefault("OPTIONS", {}).update(
        transaction_mode="IMMEDIATE",
        timeout=20,
        init_command="PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL; PRAGMA mmap_size=134217728;"
        "PRAGMA cache_size=-20000; PRAGMA temp_store=MEMORY;",
    )
    _db["CONN_MAX_AGE"] = 600
else:
    _db["CONN_MAX_AGE"] = 60
    _db["CONN_HEALTH_CHECKS"] = True
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# ---- the door
AUTH_USER_MODEL = "groups.User"
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "start"
LOGOUT_REDIRECT_URL = "sign-in"
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = 0.5  # hours
AXES_USERNAME_CALLABLE = "conversions.groups.throttling.whose"
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_TEMPLATE = "429.html"
AXES_VERBOSE = False

# ---- words
LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English"), ("en-us", "English (US)"), ("es", "Español")]  # each by its own name
locale.locale_alias["en"] = "en"  # else gettext takes plain "en" for en_US, and one place's words for everybody's
LOCALE_PATHS = [ROOT / "conversions" / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"  # every page shows times in the group's own zone

# ---- files
STATIC_URL = "static/"
STATIC_ROOT = VAR / "static"
STATICFILES_DIRS = [ROOT / "conversions" / "static"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage", "OPTIONS": {"location": VAR / "photos"}},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG or os.environ.get("PLAIN_STATIC") == "1"
        else "conversions.common.static.HashedFiles",
    },
}
WHITENOISE_USE_FINDERS = DEBUG
WHITENOISE_AUTOREFRESH = DEBUG or os.environ.get("PLAIN_STATIC") == "1"
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
FILE_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 3000

# ---- mail: without a server it lies as files in var/mail, and the pages say so
EMAIL_HOST = os.environ.get("EMAIL_HOST", "")
EMAIL_PORT = whole("EMAIL_PORT", 587 if flag("EMAIL_USE_TLS") else 25)
EMAIL_HOST_USER = os.environ.get("EMAIL_HOST_USER", "")
EMAIL_HOST_PASSWORD = os.environ.get("EMAIL_HOST_PASSWORD", "")
EMAIL_USE_TLS = flag("EMAIL_USE_TLS")
EMAIL_TIMEOUT = 20  # seconds: a silent mail server must not hold a page
EMAIL_BACKEND = f"django.core.mail.backends.{'smtp' if EMAIL_HOST else 'filebased'}.EmailBackend"
EMAIL_FILE_PATH = VAR / "mail"
DEFAULT_FROM_EMAIL = (
    text("DEFAULT_FROM_EMAIL") if EMAIL_HOST else os.environ.get("DEFAULT_FROM_EMAIL", "group@localhost")
)
SERVER_EMAIL = DEFAULT_FROM_EMAIL

# ---- forms
CRISPY_TEMPLATE_PACK = "forms"
CRISPY_ALLOWED_TEMPLATE_PACKS = ["forms"]
CRISPY_FAIL_SILENTLY = not DEBUG

# ---- headers
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
if flag("HTTPS"):
    SECURE_SSL_REDIRECT = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_HSTS_SECONDS = 31536000
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True
SESSION_COOKIE_AGE = 60 * 60 * 24 * 60
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"masked": {"()": "conversions.common.logs.Masked"}},  # no key of a link, no e-mail in any log
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "masked"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {
        "django": {"handlers": [], "level": "WARNING"},  # without handlers of its own: all goes through the mask
        "django.server": {"handlers": ["console"], "level": "INFO", "propagate": False},
    },
}
