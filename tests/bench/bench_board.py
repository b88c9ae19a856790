"""How long the figures of the drawing board take, from a change to the answer, against the second that is promised.

Run: python tests/bench/bench_board.py (also through ./dev bench). Prints a table; exits 1 where the aim is missed.
The whole request is timed on the clock on the wall: door, reading the drawing, engine, differences, JSON. The browser
waits PAUSE_MS for a change to settle before it asks; that is added.
"""

import json
import os
import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]
FOLDER = tempfile.TemporaryDirectory()
os.environ |= {
    "DATABASE_URL": f"sqlite:///{FOLDER.name}/bench.sqlite3",
    "VAR_DIR": FOLDER.name,
    "DEBUG": "1",
    "ALLOWED_HOSTS": "testserver",
}
os.environ.setdefault("SECRET_KEY", "only for this measure")
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "conversions.settings")

import django  # noqa: E402

django.setup()

from bench_sizing import usual_site  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.test import Client  # noqa: E402

from conversions.sizing import write_site  # noqa: E402
from tests.conftest import World  # noqa: E402
from tests.rows import make_open, rectangle  # noqa: E402

AIM_MS, PAUSE_MS, TIMES = 1000, 200, 9


def with_uuids(site: dict) -> dict:
    """The engine's usual site, each patch and bed under a UUID as the board asks."""
    text = json.dumps(site)
    for n in range(3):
        for name in (f"p{n}", f"m{n}", f"f{n}"):
            text = text.replace(f'"{name}"', f'"00000000-0000-4000-8000-0000000{ord(name[0]):03d}0{n}"')
    return json.loads(text)


def middle(call) -> float:
    """The middle of several runs in milliseconds on the wall clock."""
    call()
    runs = []
    for _ in range(TIMES):
        start = time.perf_counter()
        call()
        runs.append((time.perf_counter() - start) * 1000)
    return sorted(runs)[TIMES // 2]


def main() -> int:
    call_command("migrate", verbosity=0)
    world = World("bench", "Bench Lane Growers")
    client = world.sign_in(Client(), "organiser")
    draft = make_open(world, None, rectangle("8.6", "6"))
    usual = with_uuids(write_site(usual_site()))
    large = json.loads(json.dumps(draft.site))
    for corner in large["patches"][0]["corners"]:
        corner["x"], corner["y"] = corner["x"] * 6, corner["y"] * 6
    missed = False
    print(f"from a change to its figures, the browser's pause of {PAUSE_MS} ms in it      (aim: under {AIM_MS} ms)")
    for name, site in (
        ("one lawn of 52 m2, two beds", draft.site),
        ("3 patches, 40 corners, 6 beds", usual),
        ("one lawn of 1,858 m2", large),
    ):
        data = {"drawing": draft.number, "revision": draft.revision, "site": json.dumps(site)}
        url = world.url(f"yards/{draft.conversion_id}/plan/draw/try/")
        assert client.post(url, data).json()["figures"], name
        taken = middle(lambda data=data, url=url: client.post(url, data)) + PAUSE_MS
        missed = missed or taken >= AIM_MS
        print(f"  {name:34s} {taken:8.0f} ms")
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
