"""Settings: a bare checkout runs by default; everything else comes from the environment."""

import os
from pathlib import Path

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured
from django.utils.translation import gettext_lazy as _

from grower.home import data_folder, secret_key

ROOT = Path(__file__).resolve().parent.parent
HOME = data_folder(ROOT)


def _yes(name: str) -> bool:
    given = os.environ.get(name, "").strip().lower()
    if given not in {"", "0", "1"}:
        raise ImproperlyConfigured(f"{name} must be 1 or 0, not {given!r}.")
    return given == "1"


HTTPS = _yes("LEDGER_HTTPS")
DEBUG = _yes("LEDGER_DEBUG")
SECRET_KEY = secret_key(HOME)
ADDRESS = os.environ.get("LEDGER_ADDRESS", "").rstrip("/")
ALLOWED_HOSTS = os.environ.get("LEDGER_HOSTS", "*" if not HTTPS else "localhost").split(",")

INSTALLED_APPS = [
    "ledger.facts",
    "ledger.daybook",
    "ledger.growing",
    "ledger.drying",
    "ledger.stock",
    "ledger.costing",
    "ledger.pricing",
    "ledger.sales",
    "ledger.books",
    "grower.apps.GrowerConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_tables2",
    "django_filters",
    "django_htmx",
    "template_partials",
    "csp",
    "axes",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "grower.middleware.LedToMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "csp.middleware.CSPMiddleware",
    "grower.middleware.HoldingTimeMiddleware",
    "grower.middleware.KnownNumbersMiddleware",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "grower.urls"
WSGI_APPLICATION = "grower.wsgi.application"
FORM_RENDERER = "grower.lean.LeanRenderer"
DATA_UPLOAD_MAX_NUMBER_FIELDS = 10_000  # a count sheet has two fields a row, and a store many rows
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "grower.context.site",
            ],
            "builtins": ["grower.templatetags.ledger"],
        },
    }
]
DATABASES = {"default": dj_database_url.config(default=f"sqlite:///{HOME / 'ledger.sqlite3'}")}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 30,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
    }
elif DATABASES["default"]["ENGINE"] == "django.db.backends.postgresql":
    # Compiling a question costs it a second and more, and none here runs long enough to earn that back.
    DATABASES["default"].setdefault("OPTIONS", {}).setdefault("options", "-c jit=off")

AUTH_USER_MODEL = "facts.User"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "sign_in"
LOGIN_REDIRECT_URL = "today"
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 1
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_TEMPLATE = "site/locked_out.html"

LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", _("English"))]
LOCALE_PATHS = [ROOT / "grower" / "locale"]
USE_TZ = True
TIME_ZONE = "UTC"
FORMAT_MODULE_PATH = ["grower.formats"]

STATIC_URL = "static/"
STATICFILES_DIRS = [ROOT / "grower" / "static"]
STATIC_ROOT = HOME / "static"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "grower.static_files.StaticFiles"},
}
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_CONTENT_TYPE_NOSNIFF = True
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
if HTTPS:
    SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = True
    SECURE_SSL_REDIRECT = True
    SECURE_HSTS_SECONDS = 31_536_000
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS]

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"numbered": {"()": "grower.faults.Numbered"}},
    "formatters": {"line": {"format": "{asctime} {levelname} number {fault} {name}: {message}", "style": "{"}},
    "handlers": {
        "kept": {
            "class": "logging.handlers.RotatingFileHandler",
            "filename": HOME / "errors.log",
            "maxBytes": 1_000_000,
            "backupCount": 5,
            "encoding": "utf-8",
            "delay": True,
            "level": "ERROR",
            "filters": ["numbered"],
            "formatter": "line",
        }
    } if HOME.is_dir() else {},
    "root": {"handlers": ["kept"] if HOME.is_dir() else [], "level": "INFO"},
}

DJANGO_TABLES2_TEMPLATE = "site/table.html"
