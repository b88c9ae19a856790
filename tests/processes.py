"""Processes of their own on one SQLite file, for what happens in the same moment."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def process(code: str, folder: Path, *words: str) -> subprocess.Popen:
    """Python that runs `code` with Django set up and its database in the folder."""
    env = os.environ | {
        "DATABASE_URL": f"sqlite:///{folder / 'shared.sqlite3'}",
        "VAR_DIR": str(folder),
        "DJANGO_SETTINGS_MODULE": "conversions.settings",
        "PYTHONPATH": str(ROOT),
    }
    command = [sys.executable, "-c", "import django; django.setup()\n" + code, *words]
    return subprocess.Popen(command, env=env, stdin=-1, stdout=-1, stderr=-1, text=True)


def finished(running: subprocess.Popen, told: str | None = "") -> str:
    """What it printed, once it is told what it waits for (None where it was told already); it must end well."""
    out, err = running.communicate(told, timeout=120)
    assert running.returncode == 0, err
    return out
