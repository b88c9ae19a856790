"""Four processes write at once into one database file, and nothing is lost.

Each write is a real one: it locks the patch, reads what the ledger holds, compares, and appends. The ground is
measured so that exactly all of them fit, so a lost row, a row written twice or a sum read too early would show.
"""

import json
import os
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PROCESSES, WRITES = 4, 500
STEP = Decimal("0.01")

START = """
import datetime
from decimal import Decimal
from django.core.management import call_command
from django.db import connection
call_command("migrate", verbosity=0)
from conversions.builds import ledger
from conversions.builds.models import AsBuilt, Day
from conversions.groups.models import Group, Member, User
from conversions.yards.models import Patch, Place
group = Group.objects.create(slug="oak", name="Oak")
member = Member(group=group, user=User.objects.create_user("lead@oak.example", "a long enough password"), is_lead=True)
member.save()
place = Place(group=group, address="14 Tansy Row"); place.save()
patch = Patch(group=group, place=place, label="Front", lawn_m2=Decimal("1.00") + Decimal("%(room)s")); patch.save()
on = datetime.date(2026, 5, 9)
day = Day(group=group, on=on, starts=datetime.time(9), ends=datetime.time(12), lead=member); day.save()
built = AsBuilt(group=group, day=day, patch=patch, n=1, area_m2=Decimal("1.00"), how="measured", measured_by=member)
built.save()
ledger.write(day=day, patch=patch, as_built=built, by=member)
with connection.cursor() as cursor:
    cursor.execute("PRAGMA journal_mode")
    print(cursor.fetchone()[0])
"""

WRITE = """
import time
from decimal import Decimal
from conversions.builds import ledger
from conversions.builds.models import Ground
row = Ground.everywhere.select_related("patch", "day", "as_built").get(corrects=None)
for _number in range(%(writes)s):
    time.sleep(0.001)  # SQLite hands its lock to whoever asks next; without a breath one process can starve the rest
    ledger.correct(ground=row, m2=Decimal("%(step)s"), reason="taped", by=row.by)
"""

END = """
import json
from decimal import Decimal
from django.core.exceptions import ValidationError
from conversions.builds import ledger
from conversions.builds.models import Ground
row = Ground.everywhere.get(corrects=None)
try:
    ledger.correct(ground=row, m2=Decimal("%(step)s"), reason="one too many", by=row.by)
    refused = False
except ValidationError:
    refused = True
rows = list(Ground.everywhere.filter(corrects=row).values_list("m2", flat=True))
print(json.dumps({"rows": len(rows), "sum": str(sum(rows)), "standing": str(ledger.standing_m2(row.patch)), "refused": refused}))
"""


def process(code: str, folder: Path) -> subprocess.Popen:
    """A Python of its own, with its own settings and connection, on one file in `folder`."""
    env = os.environ | {
        "DATABASE_URL": f"sqlite:///{folder / 'contended.sqlite3'}",
        "VAR_DIR": str(folder),
        "DJANGO_SETTINGS_MODULE": "conversions.settings",
        "SECRET_KEY": "only for this test, never for serving anything to anybody",
        "PYTHONPATH": str(ROOT),
    }
    values = {"writes": WRITES, "step": STEP, "room": STEP * PROCESSES * WRITES}
    code = "import django; django.setup()\n" + code % values
    return subprocess.Popen(
        [sys.executable, "-c", code], cwd=ROOT, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )


def answer(one: subprocess.Popen) -> str:
    out, err = one.communicate(timeout=120)
    assert one.returncode == 0, err[-2000:]
    return out.strip()


@pytest.fixture
def folder(tmp_path):
    assert answer(process(START, tmp_path)) == "wal"
    return tmp_path


def test_four_processes_write_two_thousand_rows_and_lose_none(folder):
    for one in [process(WRITE, folder) for _number in range(PROCESSES)]:
        answer(one)
    found = json.loads(answer(process(END, folder)))
    total = STEP * PROCESSES * WRITES
    assert found["rows"] == PROCESSES * WRITES
    assert Decimal(found["sum"]) == total
    assert Decimal(found["standing"]) == total + Decimal("1.00")
    assert found["refused"], "the ground was full, and one more was written all the same"
