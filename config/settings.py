"""Settings, all of them from the environment with defaults that suit one small machine.

DATABASE_URL   default: one SQLite file beside manage.py, in WAL with immediate transactions
SECRET_KEY     default: made once and kept in var/secret_key, readable by its owner only
ALLOWED_HOSTS  comma separated, default: this machine
SITE_URL       where customers and factories reach the desk; links in mail begin with it
DEBUG          1 for development
EMAIL_HOST, EMAIL_PORT, EMAIL_HOST_USER, EMAIL_HOST_PASSWORD, EMAIL_USE_TLS, DEFAULT_FROM_EMAIL
               default without EMAIL_HOST: mail is written to var/mail, one file a message
"""

import os
import secrets
from pathlib import Path

import dj_database_url

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = BASE_DIR / "var"


def _flag(name: str, default: str = "0") -> bool:
    return os.environ.get(name, default).lower() in {"1", "true", "yes", "on"}


def _kept_secret() -> str:
    """A key of this installation's own, so that no key is ever shipped with the code."""
    path = VAR_DIR / "secret_key"
    if not path.exists():
        path.parent.mkdir(exist_ok=True)
        # Linking a finished file into place makes the first of two racing processes win whole.
        draft = path.with_name(f"secret_key.{os.getpid()}")
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as out:
            out.write(secrets.token_urlsafe(64))
        try:
            os.link(draft, path)
        except FileExistsError:
            pass
        draft.unlink()
    return path.read_text()


DEBUG = _flag("DEBUG")
SECRET_KEY = os.environ.get("SECRET_KEY") or _kept_secret()
ALLOWED_HOSTS = os.environ.get("ALLOWED_HOSTS", "localhost,127.0.0.1,[::1]").split(",")
SITE_URL = os.environ.get("SITE_URL", "http://127.0.0.1:8000").rstrip("/")
CSRF_TRUSTED_ORIGINS = [SITE_URL]

INSTALLED_APPS = [
    "sizing",
    "quotes",
    "ordering",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "django_tasks",
    "django_tasks_db",
    "djmoney",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    # Who may open what. Before the check of forms: that of a link's page needs none.
    "config.access.Gate",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    # Every page asks for a sign-in unless its view says otherwise (links of customers and factories).
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"

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
                "config.access.navigation",
                "quotes.lists.shop.for_pages",
            ],
        },
    }
]

DATABASES = {
    "default": dj_database_url.parse(
        os.environ.get("DATABASE_URL") or f"sqlite:///{BASE_DIR / 'sashdesk.sqlite3'}",
        conn_max_age=60,
    )
}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["CONN_MAX_AGE"] = 0
    DATABASES["default"]["OPTIONS"] = {
        # A write transaction takes its lock at once, so it waits its turn instead of failing half-way.
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;",
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "sign-in"

LANGUAGE_CODE = "en-us"
TIME_ZONE = os.environ.get("TIME_ZONE", "UTC")
USE_I18N = True
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = BASE_DIR / "staticfiles"
STATICFILES_DIRS = [BASE_DIR / "config" / "static"]
# Serves the files where they lie, so a fresh checkout needs no collecting step.
WHITENOISE_USE_FINDERS = True

EMAIL_HOST = os.environ.get("EMAIL_HOST", "")
EMAIL_PORT = int(os.environ.get("EMAIL_PORT", "25"))
EMAIL_HOST_USER = os.environ.get("EMAIL_HOST_USER", "")
EMAIL_HOST_PASSWORD = os.environ.get("EMAIL_HOST_PASSWORD", "")
EMAIL_USE_TLS = _flag("EMAIL_USE_TLS")
EMAIL_TIMEOUT = 20
EMAIL_BACKEND = (
    "django.core.mail.backends.smtp.EmailBackend"
    if EMAIL_HOST
    else "django.core.mail.backends.filebased.EmailBackend"
)
EMAIL_FILE_PATH = VAR_DIR / "mail"
DEFAULT_FROM_EMAIL = os.environ.get("DEFAULT_FROM_EMAIL", "desk@sashdesk.example")

TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}

# A counter page older than the present sign-in gives back what was typed in it.
CSRF_FAILURE_VIEW = "quotes.views.counter.csrf_failed"
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_HTTPONLY = True
if SITE_URL.startswith("https://"):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True
    SECURE_HSTS_SECONDS = 31_536_000
    SECURE_SSL_REDIRECT = True

# The resolver's judgement (sizing/resolver): what each mistake costs, and how openings fall out in general.
RESOLVER_COSTS = {"wrong": 100.0, "special": 8.0, "question": 1.0}
RESOLVER_SHARES = {"on_table": 0.80, "unequal": 0.12, "off_table": 0.08}
