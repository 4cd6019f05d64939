"""Settings, every one of them from the environment where a site may need another.

| variable | meaning | without it |
|---|---|---|
| DATABASE_URL | `sqlite:////path/file` or `postgres://…` | `var/heaters.sqlite3` |
| DATA_DIR | photographs, captures, the secret key | `var/` beside manage.py |
| SECRET_KEY | signs sessions and links | made once and kept in DATA_DIR |
| ALLOWED_HOSTS | names this site answers to | this machine only |
| HTTPS | 1: cookies and redirects for an https site | 0 |
| SITE_ADDRESS | address written into letters sent from the command line | http://localhost:8000 |
| PROXIES | how many proxies of your own stand before the site, so that it counts tries by caller | 0 |
| EMAIL_HOST, EMAIL_PORT, EMAIL_USER, EMAIL_PASSWORD, EMAIL_TLS | the mail server | letters are printed |
| EMAIL_FROM | sender of letters | heaters-on@localhost |
| COLLECTED_STATIC | 1: serve what `collectstatic` gathered | found where it stands |
| DEMO | 1: a page to sign in as one of the cast | 0 |
| DEBUG | 1: a developer's error pages | 0 |
"""

import secrets
from pathlib import Path

from environs import Env

from restoration.sqlite_engine import use_sound_sqlite

use_sound_sqlite()  # before Django loads a database engine

env = Env()
BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(env.str("DATA_DIR", str(BASE_DIR / "var")))
DEBUG = env.bool("DEBUG", False)
DEMO = env.bool("DEMO", False)
HTTPS = env.bool("HTTPS", False)
ALLOWED_HOSTS = env.list("ALLOWED_HOSTS", ["localhost", "127.0.0.1", "[::1]"])
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS if HTTPS]


def kept_secret(folder: Path) -> str:
    """Read the key that signs sessions, making it on the first start."""
    place = folder / "secret_key"
    if not place.exists():
        folder.mkdir(parents=True, exist_ok=True)
        place.touch(mode=0o600)
        place.write_text(secrets.token_urlsafe(50))
    return place.read_text()


SECRET_KEY = env.str("SECRET_KEY", "") or kept_secret(DATA_DIR)

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_filters",
    "django_htmx",
    "template_partials",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "restoration.common",
    "restoration.people",
    "restoration.logbook",
    "restoration.machine",
    "restoration.workshop",
    "restoration.proving",
    "restoration.faults",
    "restoration.commissioning",
    "restoration.conditioning",
    "restoration.sums",
    "restoration.kestrel",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "restoration.common.content_policy.ContentPolicyMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "restoration.people.access.AccessMiddleware",
    "restoration.common.repeats.RepeatedPostMiddleware",
]

ROOT_URLCONF = "restoration.urls"
WSGI_APPLICATION = "restoration.wsgi.application"
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
                "restoration.machine.context.title_block",
            ],
            "builtins": ["restoration.common.templatetags.look", "template_partials.templatetags.partials"],
        },
    }
]
FORM_RENDERER = "django.forms.renderers.DjangoTemplates"

SQLITE_OPTIONS = {
    "transaction_mode": "IMMEDIATE",
    "timeout": 20,
    "init_command": (
        "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;PRAGMA cache_size=-20000;PRAGMA journal_size_limit=67108864;"
    ),
}
DATABASES = {"default": env.dj_db_url("DATABASE_URL", f"sqlite:///{DATA_DIR / 'heaters.sqlite3'}")}
DATABASES["default"]["CONN_MAX_AGE"] = None
DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"]["OPTIONS"] = SQLITE_OPTIONS
    Path(DATABASES["default"]["NAME"]).parent.mkdir(parents=True, exist_ok=True)
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
CACHES = {"default": {"BACKEND": "django.core.cache.backends.db.DatabaseCache", "LOCATION": "cache"}}

LANGUAGE_CODE = "en-gb"
TIME_ZONE = env.str("TIME_ZONE", "Europe/London")
USE_I18N = False
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STATIC_ROOT.mkdir(parents=True, exist_ok=True)  # WhiteNoise warns where it is missing
STATICFILES_DIRS = [BASE_DIR / "static"]
MEDIA_ROOT = DATA_DIR / "media"
COLLECTED_STATIC = env.bool("COLLECTED_STATIC", False)
WHITENOISE_USE_FINDERS = not COLLECTED_STATIC
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"
        if COLLECTED_STATIC
        else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000
FILE_UPLOAD_HANDLERS = ["django.core.files.uploadhandler.TemporaryFileUploadHandler"]

AUTH_USER_MODEL = "people.Person"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "/"
SITE_ADDRESS = env.str("SITE_ADDRESS", "http://localhost:8000").rstrip("/")
INVITATION_DAYS = 14
SESSION_ENGINE = "restoration.people.sessions"  # as Django's, but a sign-in on a lent device ends after hours
SESSION_COOKIE_AGE = 180 * 24 * 3600  # on one's own device
SESSION_LENT_DEVICE_AGE = 12 * 3600

# Sign-in is by a code sent by e-mail, or by a passkey; there are no passwords, and no sign-up.
ALLAUTH_TRUSTED_PROXY_COUNT = env.int("PROXIES", 0)
ACCOUNT_ADAPTER = "restoration.people.adapter.SignInAdapter"
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*"]
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_EMAIL_VERIFICATION = "none"  # typing the code is the proof of the address
ACCOUNT_EMAIL_NOTIFICATIONS = True
ACCOUNT_EMAIL_SUBJECT_PREFIX = "Heaters On: "
ACCOUNT_FORMS = {
    "request_login_code": "restoration.people.sign_in_forms.AddressForm",
    "confirm_login_code": "restoration.people.sign_in_forms.CodeForm",
}
ACCOUNT_LOGIN_BY_CODE_ENABLED = True
ACCOUNT_LOGIN_BY_CODE_TIMEOUT = ACCOUNT_LOGIN_TIMEOUT = 15 * 60
ACCOUNT_LOGIN_BY_CODE_MAX_ATTEMPTS = 5
ACCOUNT_LOGIN_BY_CODE_SUPPORTS_RESEND = True
ACCOUNT_REAUTHENTICATION_TIMEOUT = 15 * 60
ACCOUNT_RATE_LIMITS = {"request_login_code": "20/m/ip,3/m/key,15/h/key", "login": "30/m/ip"}
MFA_ADAPTER = "restoration.people.adapter.PasskeyAdapter"
MFA_SUPPORTED_TYPES = ["webauthn"]
MFA_PASSKEY_LOGIN_ENABLED = True
MFA_WEBAUTHN_USER_VERIFICATION = "required"
MFA_FORMS = {"add_webauthn": "restoration.people.sign_in_forms.AddPasskeyForm"}

EMAIL_HOST = env.str("EMAIL_HOST", "")
EMAIL_BACKEND = f"django.core.mail.backends.{'smtp' if EMAIL_HOST else 'console'}.EmailBackend"
EMAIL_PORT = env.int("EMAIL_PORT", 587)
EMAIL_HOST_USER = env.str("EMAIL_USER", "")
EMAIL_HOST_PASSWORD = env.str("EMAIL_PASSWORD", "")
EMAIL_USE_TLS = env.bool("EMAIL_TLS", True)
EMAIL_TIMEOUT = 20
DEFAULT_FROM_EMAIL = env.str("EMAIL_FROM", "heaters-on@localhost")

SECURE_CSP = {
    "default-src": ["'self'"],
    "img-src": ["'self'", "data:", "blob:"],
    "object-src": ["'none'"],
    "base-uri": ["'none'"],
    "form-action": ["'self'"],
    "frame-ancestors": ["'none'"],
}
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = HTTPS
if HTTPS:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": env.str("LOG_LEVEL", "INFO")},
}
