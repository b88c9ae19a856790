"""Settings the tests need before Django reads its own."""

import gc
import os
import tempfile

os.environ.setdefault("SECRET_KEY", "only for tests, never for serving anything to anybody")
os.environ.setdefault("PLAIN_STATIC", "1")
os.environ.setdefault("VAR_DIR", tempfile.mkdtemp(prefix="tracker-tests-"))
if worker := os.environ.get("PYTEST_XDIST_WORKER"):  # a folder for each: a test counts the files that it leaves behind
    os.environ["VAR_DIR"] = os.path.join(os.environ["VAR_DIR"], worker)
    os.makedirs(os.environ["VAR_DIR"], exist_ok=True)
os.environ.setdefault("DATABASE_URL", "sqlite://:memory:")
gc.set_threshold(200_000, 20, 100)  # looking for rubbish after every 700 new objects took a sixth of the time


def pytest_configure(config):
    """A fast hasher for tests only: no switch for it exists in the settings themselves. And the word lists, compiled
    once, before the workers begin."""
    from django.conf import settings

    from conversions.common import words

    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    if not hasattr(config, "workerinput"):
        for language in words.languages():
            words.compile_one(language)
