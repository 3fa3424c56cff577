"""Settings of the tests: a known key, a quick hasher, static files as they lie."""

import os

os.environ.setdefault("LEDGER_SECRET_KEY", "only-for-tests-and-never-for-a-holding-0123456789")

from grower.settings import *  # noqa: F403 - the key must be known before the settings are read
from grower.settings import STORAGES as _STORAGES

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {**_STORAGES, "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
WHITENOISE_AUTOREFRESH = True
