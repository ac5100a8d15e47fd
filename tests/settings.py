"""The site's settings as the tests want them: a key, fast hashing, no collected static files."""

import os
import tempfile

os.environ.setdefault("PUMPWRIGHT_SECRET_KEY", "only-for-tests-" + "x" * 40)
os.environ.setdefault("PUMPWRIGHT_VAR", tempfile.mkdtemp(prefix="pumpwright-tests-"))

from training.settings import *  # noqa: F403, TID251  the tests' settings are the site's, save what follows
from training.settings import DATABASES, MIDDLEWARE, VAR  # noqa: TID251

ALLOWED_HOSTS = ["*"]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
# Tests have no collected files; the live server finds them in the apps.
MIDDLEWARE = [name for name in MIDDLEWARE if "whitenoise" not in name]
SESSION_COOKIE_SECURE = False
CSRF_COOKIE_SECURE = False
# In a file and not in memory: the live server's threads would else share one connection, which nobody's site does,
# and two requests at once would meet in one transaction.
DATABASES["default"]["TEST"] = {"NAME": str(VAR / f"tests-{os.getpid()}.sqlite3")}
