"""One settings file, driven by the environment.

With no environment at all it is the embedded service: SQLite, tasks inside the process, e-mail
written to a folder, everything under `var/`. DEVELOPERS.md lists the variables for production.
"""

import os
from datetime import timedelta
from pathlib import Path

import environ
from celery.schedules import crontab
from django.core.exceptions import ImproperlyConfigured
from django.core.management.utils import get_random_secret_key
from redis.backoff import NoBackoff
from redis.retry import Retry

from config.logs import logging_in
from jobs.key_files import made_once

env = environ.Env()

# The matrices of opening-fit have a few dozen rows: shared among threads, each answer takes three
# times the processor's time, and longer. Read when numpy is first loaded, which is after this.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

PROJECT_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(env.str("SILLWRIGHT_DATA_DIR", default=str(PROJECT_DIR / "var")))
DATA_DIR.mkdir(parents=True, exist_ok=True)

SECRET_KEY = env.str("SECRET_KEY", default="")
SECRET_KEY_IS_GIVEN = bool(SECRET_KEY)
if not SECRET_KEY_IS_GIVEN:
    # The embedded service makes its key once and keeps it beside its data, for its user alone.
    SECRET_KEY = made_once(
        DATA_DIR / "secret_key", lambda: get_random_secret_key().encode()
    ).decode()
DEBUG = env.bool("DEBUG", default=False)
BEHIND_TLS = env.bool("BEHIND_TLS", default=False)
# What cannot be meant ends every process at its start; `config/checks.py` tells of the rest.
SHORTEST_SECRET_KEY = 50
if BEHIND_TLS and DEBUG:
    raise ImproperlyConfigured("DEBUG shows what is inside to everybody: never with BEHIND_TLS.")
if BEHIND_TLS and len(SECRET_KEY) < SHORTEST_SECRET_KEY:
    raise ImproperlyConfigured(
        f"SECRET_KEY is guessed too easily: give {SHORTEST_SECRET_KEY} random characters or more."
    )
ALLOWED_HOSTS = env.list("ALLOWED_HOSTS", default=["localhost", "127.0.0.1"])
CSRF_TRUSTED_ORIGINS = env.list("CSRF_TRUSTED_ORIGINS", default=[])

# The firm that runs this installation; its words stand on every paper.
FIRM_NAME = env.str("FIRM_NAME", default="A firm without a name yet")
FIRM_ADDRESS = env.str("FIRM_ADDRESS", default="")
FIRM_EMAIL = env.str("FIRM_EMAIL", default="office@example.com")
FIRM_TELEPHONE = env.str("FIRM_TELEPHONE", default="")
# Years from the handover for which a job stays on record before its customer may be erased. Local
# law decides: for how long somebody may still claim (limitation periods), and what product safety
# and tax ask a firm to keep. Ask whoever advises you.
RETENTION_YEARS = env.int("RETENTION_YEARS", default=10)
# What papers are signed with: a PKCS #12 file; without one a key is made in the data folder.
SIGNING_KEY_FILE = env.str("SIGNING_KEY_FILE", default="")
SIGNING_KEY_PASSPHRASE = env.str("SIGNING_KEY_PASSPHRASE", default="")
# What checkpoints of the journal are signed with, as `jobs/checkpoints.py` writes it; without one a
# key is made in the data folder. Never in the database, which it guards.
SEAL_KEY = env.str("SEAL_KEY", default="")
# An authority outside the firm that stamps the time on papers (RFC 3161); without one they say so.
TIMESTAMP_URL = env.str("TIMESTAMP_URL", default="")
PUBLIC_ADDRESS = env.str("PUBLIC_ADDRESS", default="http://127.0.0.1:8000").rstrip("/")

INSTALLED_APPS = [
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "rest_framework",
    "django_filters",
    "django_htmx",
    "csp",
    "django_otp",
    "django_otp.plugins.otp_totp",
    "django_otp.plugins.otp_static",
    "knox",
    "django_structlog",
    "drf_spectacular",
    "drf_spectacular_sidecar",
    "jobs",
    "surveys",
    "installs",
    "reports",
    "office",
    "upkeep",
    "config",
]

MIDDLEWARE = [
    "upkeep.middleware.HealthMiddleware",
    "django_prometheus.middleware.PrometheusBeforeMiddleware",
    "config.request_log.RequestLogMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django_otp.middleware.OTPMiddleware",
    "jobs.views.second_factor_middleware.RequireSecondFactorMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_prometheus.middleware.PrometheusAfterMiddleware",
]

ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "jobs.views.navigation.main_links",
            ]
        },
    }
]

DATABASES = {"default": env.db("DATABASE_URL", default=f"sqlite:///{DATA_DIR}/sillwright.sqlite3")}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # A read transaction that upgrades to a write meets "database is locked"; IMMEDIATE takes the
    # write lock at the start and waits for it instead.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "init_command": (
            "PRAGMA journal_mode=WAL; PRAGMA busy_timeout=20000; PRAGMA foreign_keys=ON;"
        ),
    }
else:
    # Connections stay open between requests: opening one costs more than most requests do.
    DATABASES["default"]["CONN_MAX_AGE"] = 600
    DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
    # A request must not wait for minutes on a database that is not there.
    DATABASES["default"].setdefault("OPTIONS", {}).setdefault("connect_timeout", 5)

AUTH_USER_MODEL = "jobs.Person"
AUTHENTICATION_BACKENDS = ["jobs.password_backend.PasswordBackend"]
# Whether the pages of the office open only to those who have a second factor.
OFFICE_NEEDS_SECOND_FACTOR = env.bool("OFFICE_NEEDS_SECOND_FACTOR", default=False)
# Whether what is recorded on site is taken only where an enrolled phone has signed it.
RECORDS_NEED_SIGNATURE = env.bool("RECORDS_NEED_SIGNATURE", default=False)
OTP_TOTP_ISSUER = "Sillwright"
KNOX_TOKEN_MODEL = "jobs.Token"
# Its own table would stay empty: the tokens are ours.
MIGRATION_MODULES = {"knox": None}
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "sign-in"

LANGUAGE_CODE = "en-gb"
TIME_ZONE = env.str("FIRM_TIME_ZONE", default="Europe/London")
USE_TZ = True
USE_I18N = True
LOCALE_PATHS = [PROJECT_DIR / "locale"]
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

STATIC_URL = "static/"
STATIC_ROOT = Path(env.str("STATIC_ROOT", default=str(DATA_DIR / "static")))
STATIC_ROOT.mkdir(parents=True, exist_ok=True)
WHITENOISE_USE_FINDERS = True
MEDIA_ROOT = DATA_DIR / "files"
STORAGES = {
    "default": {"BACKEND": "jobs.storage.AtomicFileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
# A photo of a phone has at most about 50 million pixels and 10 MB.
PHOTO_LARGEST_SIZE = env.int("PHOTO_LARGEST_SIZE", default=12_000_000)
PHOTO_LARGEST_PIXELS = env.int("PHOTO_LARGEST_PIXELS", default=60_000_000)
# One file from a maker of profiles, and all the valid ones of a system, which phones save ahead.
INSTRUCTION_LARGEST_SIZE = env.int("INSTRUCTION_LARGEST_SIZE", default=10_000_000)
INSTRUCTIONS_LARGEST_TOTAL = env.int("INSTRUCTIONS_LARGEST_TOTAL", default=25_000_000)

EMAIL_FOLDER = DATA_DIR / "outbox"
EMAIL_URL = env.str("EMAIL_URL", default="")
if EMAIL_URL:
    vars().update(env.email_url_config(EMAIL_URL))
else:
    EMAIL_BACKEND = "reports.mail_folder.MessageFolderBackend"
DEFAULT_FROM_EMAIL = FIRM_EMAIL
# A larger paper is linked instead: many mail servers refuse letters from about 10 MB on, and what
# is attached grows by a third on its way.
EMAIL_LARGEST_ATTACHMENT = env.int("EMAIL_LARGEST_ATTACHMENT", default=7_000_000)

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "jobs.api.authentication.RoleTokenAuthentication",
        "jobs.api.authentication.HeldSessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["jobs.api.parsers.CanonicalJSONParser"],
    "DEFAULT_PAGINATION_CLASS": "jobs.api.pagination.NewestFirstPagination",
    "DEFAULT_SCHEMA_CLASS": "jobs.api.schema.SillwrightSchema",
    "EXCEPTION_HANDLER": "jobs.api.problems.problem_response",
    "DEFAULT_THROTTLE_CLASSES": [
        "jobs.api.throttles.UserThrottle",
        "jobs.api.throttles.AnonThrottle",
    ],
    "DEFAULT_THROTTLE_RATES": {
        "user": env.str("THROTTLE_USER", default="1200/min"),
        "anon": env.str("THROTTLE_ANON", default="60/min"),
        "sign_in": env.str("THROTTLE_SIGN_IN", default="10/min"),
        "verification": env.str("THROTTLE_VERIFICATION", default="30/min"),
    },
    # How many proxies stand in front: what a client claims of its address counts for no throttle.
    "NUM_PROXIES": env.int("NUM_PROXIES", default=0),
    "UNAUTHENTICATED_USER": "django.contrib.auth.models.AnonymousUser",
}
REST_KNOX = {"TOKEN_TTL": timedelta(hours=env.int("TOKEN_HOURS", default=12))}
SPECTACULAR_SETTINGS = {
    "TITLE": "Sillwright",
    "DESCRIPTION": "Measure, order, fit, check and hand over folding sliding doorsets, on record.",
    "VERSION": "1",
    "OAS_VERSION": "3.1.0",
    "SERVE_PERMISSIONS": ["rest_framework.permissions.AllowAny"],
    "SERVE_AUTHENTICATION": [],
    "SWAGGER_UI_DIST": "SIDECAR",
    "SWAGGER_UI_FAVICON_HREF": "SIDECAR",
    # Without `None` the page has somebody else's service look at the schema.
    "SWAGGER_UI_SETTINGS": {"deepLinking": True, "validatorUrl": None},
    "REDOC_DIST": "SIDECAR",
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "COMPONENT_SPLIT_REQUEST": True,
    "DEFAULT_GENERATOR_CLASS": "jobs.api.schema.DescriptionGenerator",
    # Choices stand where they are used; shared names for them would be made up.
    "POSTPROCESSING_HOOKS": [],
}

# Throttles count in the cache: several processes must share one, a single process need not.
REDIS_URL = env.str("REDIS_URL", default="")
CACHES = {
    "default": (
        {
            "BACKEND": "django.core.cache.backends.redis.RedisCache",
            "LOCATION": REDIS_URL,
            # A request waits no longer than this for a count; what is tried again is only a
            # connection that was closed meanwhile.
            "OPTIONS": {
                "socket_connect_timeout": 1,
                "socket_timeout": 1,
                "retry": Retry(NoBackoff(), 1),
            },
        }
        if REDIS_URL
        else {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}
    )
}

CELERY_BROKER_URL = env.str("CELERY_BROKER_URL", default=REDIS_URL) or "memory://"
CELERY_TASK_ALWAYS_EAGER = CELERY_BROKER_URL == "memory://"
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
# Tasks are short and safe to run twice, so a lost one may come back soon.
CELERY_BROKER_TRANSPORT_OPTIONS = {"visibility_timeout": 300}
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
# A request must not hang on an absent broker: the sweep finds what was not announced.
CELERY_TASK_PUBLISH_RETRY = False
CELERY_TIMEZONE = "UTC"
CELERY_BEAT_SCHEDULE = {
    "sweep-outbox": {"task": "reports.tasks.sweep", "schedule": 60.0},
    "seal-journal": {"task": "jobs.tasks.seal_journal", "schedule": 3600.0},
    "stamp-papers": {"task": "reports.tasks.stamp_papers", "schedule": 3600.0},
    "write-to-witnesses": {"task": "reports.tasks.write_to_witnesses", "schedule": 3600.0},
    "verify-journal": {
        "task": "jobs.tasks.verify_journal",
        "schedule": crontab(hour="2", minute="20"),
    },
    "forget-expired-sign-ins": {"task": "jobs.tasks.forget_expired_sign_ins", "schedule": 3600.0},
}

# A page loads its own files and nothing else, and nothing in a page can run or style by itself.
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "script-src": ["'self'"],
        "style-src": ["'self'"],
        "img-src": ["'self'", "blob:", "data:"],
        "font-src": ["'self'"],
        "connect-src": ["'self'"],
        "manifest-src": ["'self'"],
        "worker-src": ["'self'"],
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "frame-ancestors": ["'none'"],
    }
}
# A session ends as a token does: after a day's work.
SESSION_COOKIE_AGE = 3600 * env.int("SESSION_HOURS", default=12)
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SECURE_CONTENT_TYPE_NOSNIFF = True
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
if BEHIND_TLS:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_SSL_REDIRECT = True
    SECURE_HSTS_SECONDS = 31_536_000
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True

# How the service is watched (`upkeep/middleware.py`).
METRICS_TOKEN = env.str("METRICS_TOKEN", default="")
READY_FREE_MB = env.int("READY_FREE_MB", default=500)
# How many processes the web server starts; gunicorn reads the same variable.
WEB_CONCURRENCY = env.int("WEB_CONCURRENCY", default=1)
LOG_FORMAT = env.str("LOG_FORMAT", default="json" if BEHIND_TLS else "plain")
LOGGING = logging_in(LOG_FORMAT, level=env.str("LOG_LEVEL", default="WARNING"))
DJANGO_STRUCTLOG_CELERY_ENABLED = True
