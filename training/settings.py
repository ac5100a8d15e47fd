"""Django's settings, read from the environment. Safe values are the defaults; DEVELOPERS.md lists the names."""

from __future__ import annotations

from pathlib import Path

from csp.constants import NONE, SELF

from training import environment

BASE = Path(__file__).resolve().parent.parent
DEMO = environment.flag("PUMPWRIGHT_DEMO", default=False)
VAR = Path(environment.text("PUMPWRIGHT_VAR", str(BASE / "var"))).resolve()
FIXTURES = BASE / "fixtures"

DEBUG = environment.flag("PUMPWRIGHT_DEBUG", default=False)
# Empty without --demo: `serve` and the WSGI door refuse to start and say how to set one.
SECRET_KEY = environment.secret_key(demo=DEMO, var=VAR)
ALLOWED_HOSTS = environment.words("PUMPWRIGHT_ALLOWED_HOSTS", ("localhost", "127.0.0.1", "[::1]"))
CSRF_TRUSTED_ORIGINS = environment.words("PUMPWRIGHT_CSRF_TRUSTED_ORIGINS")
PROXY = environment.text("PUMPWRIGHT_PROXY")

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "csp",
    "django_htmx",
    "template_partials",
    "training.common",
    "training.people",
    "training.fitting",
    "training.cases",
    "training.bench",
    "training.papers",
    "training.front",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "training.common.middleware.WholePageSignInMiddleware",
]

ROOT_URLCONF = "training.urls"
WSGI_APPLICATION = "training.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "training.people.context.shell",
            ],
        },
    },
]

DATABASES = {"default": environment.database("PUMPWRIGHT_DATABASE_URL", default=VAR / "pumpwright.sqlite3")}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "people.Member"
AUTHENTICATION_BACKENDS = ["training.people.backends.CrewBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("crew_number", "name", "email")},
    },
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "people:sign_in"
LOGIN_REDIRECT_URL = "front:today"
LOGOUT_REDIRECT_URL = "people:sign_in"

LANGUAGE_CODE = "en-us"
USE_I18N = False
USE_TZ = True
TIME_ZONE = environment.text("PUMPWRIGHT_TIME_ZONE", "UTC")

STATIC_URL = "static/"
STATIC_ROOT = VAR / "static"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = DEBUG

# The demo speaks plain HTTP to this computer only; everywhere else cookies travel by HTTPS unless told otherwise.
SECURE_COOKIES = environment.flag("PUMPWRIGHT_SECURE_COOKIES", default=not DEMO)
SESSION_COOKIE_NAME = "pumpwright-session"
SESSION_COOKIE_SECURE = SECURE_COOKIES
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = 14 * 24 * 3600
CSRF_COOKIE_NAME = "pumpwright-csrf"
CSRF_COOKIE_SECURE = SECURE_COOKIES
CSRF_COOKIE_HTTPONLY = True
CSRF_FAILURE_VIEW = "training.common.views.csrf_failure"
SECURE_REFERRER_POLICY = "same-origin"
# Behind the named proxy everything is HTTPS. Browsers remember it for a day only, so that a mistake can be undone.
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if PROXY else None
SECURE_SSL_REDIRECT = bool(PROXY)
SECURE_HSTS_SECONDS = 24 * 3600 if PROXY else 0
X_FRAME_OPTIONS = "DENY"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    },
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
