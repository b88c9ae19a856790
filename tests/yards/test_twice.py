"""The same thing sent several times in the same moment, on both databases: it is saved once."""

import json
import os
import threading
import time
import uuid

import pytest
from django.db import connection
from django.test import Client

from conversions.yards.actions import open_draft, save_site
from conversions.yards.models import Conversion
from tests.processes import finished, process
from tests.rows import make_open, make_yard, rectangle

AT_ONCE, YARDS = 4, 5
BEGIN = """
from django.core.management import call_command
call_command("migrate", verbosity=0)
import json
from tests.conftest import World
from tests.yards.test_twice import prepare
print(json.dumps(prepare(World("oak", "Oak Street Growers"))))
"""
PRESS = """
import sys, time
from tests.yards.test_twice import press
time.sleep(max(0, float(sys.argv[1]) - time.time()))
press(sys.stdin.read())
"""
COUNT = """
import json
from tests.yards.test_twice import count
print(json.dumps(count()))
"""


def prepare(world) -> list:
    """What is sent: on yards of one kind a drawing made on an older state, on the others a shape walked."""
    sent = []
    for number in range(YARDS):
        yard = make_yard(world, address=f"{number} Tansy Row")
        draft = make_open(world, yard, rectangle("9", "6"), beds=False)
        older = draft.revision
        theirs = save_site(draft=draft, revision=older, site={**draft.site, "north_deg": 10}, by=world.organiser)
        bed = {"uid": str(uuid.uuid4()), "patch": theirs.site["patches"][0]["uid"], "kind": "pocket", "x": 4, "y": 3}
        site = json.dumps({"patches": theirs.site["patches"], "beds": [bed], "north_deg": None})
        sent.append((f"yards/{yard.pk}/plan/draw/", {"drawing": 1, "revision": older, "site": site}))
    for number in range(YARDS):
        yard = make_yard(world, address=f"{number} Elder Lane")
        seen = open_draft(conversion=yard, by=world.visitor).revision if number % 2 else 0
        sides = {f"beyond_{side}": "open" for side in "ABCD"}
        shape = {"shape": "rectangle", "length_A": "8 m", "length_B": "6 m", "zone": "front", **sides}
        shape |= {"ground_before": "lawn", "drawing": number % 2, "revision": seen, "uid": str(uuid.uuid4())}
        sent.append((f"yards/{yard.pk}/plan/queue/", shape))
    return [(world.url(path), body) for path, body in sent]


def press(sent: str) -> None:
    from conversions.groups.models import User

    client = Client(headers={"host": "127.0.0.1", "accept": "application/json"})
    client.force_login(User.objects.get(email="visitor@oak.example"), "django.contrib.auth.backends.ModelBackend")
    for path, body in json.loads(sent):
        answer = client.post(path, body)
        assert answer.status_code == 200, answer.content


def count() -> list:
    """Of each yard: how many drawings, saves and patches it has."""
    rows = []
    for yard in Conversion.everywhere.order_by("pk"):
        drafts = list(yard.drafts.order_by("number"))
        newest = drafts[-1]
        rows.append([len(drafts), sum(d.saves.count() for d in drafts), len(newest.site["patches"])])
    return rows


def assert_once(rows: list) -> None:
    opened_and_theirs = 3
    assert rows[:YARDS] == [[2, opened_and_theirs + 1, 1]] * YARDS  # and mine beside it
    assert rows[YARDS:] == [[1, 2, 1]] * YARDS  # opened, and the shape


@pytest.mark.skipif(
    "postgres" in os.environ["DATABASE_URL"], reason="a file is SQLite's alone; the test below has the server"
)
def test_what_is_sent_several_times_at_once_is_saved_once_on_a_file_database(tmp_path):
    sent = finished(process(BEGIN, tmp_path))
    at = str(time.time() + 6)  # every process is up by then, and all send in the same moment
    running = [process(PRESS, tmp_path, at) for _number in range(AT_ONCE)]
    for one in running:
        one.stdin.write(sent)
        one.stdin.close()
        one.stdin = None
    for one in running:
        finished(one, None)
    assert_once(json.loads(finished(process(COUNT, tmp_path))))


@pytest.mark.skipif("sqlite" in os.environ["DATABASE_URL"], reason="memory cannot be shared; the test above has a file")
@pytest.mark.django_db(transaction=True)
def test_what_is_sent_several_times_at_once_is_saved_once_on_a_server_database(oak):
    sent, start, done = json.dumps(prepare(oak)), threading.Barrier(AT_ONCE), []

    def send():
        start.wait()
        try:
            done.append(press(sent))
        finally:
            connection.close()

    threads = [threading.Thread(target=send) for _number in range(AT_ONCE)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(done) == AT_ONCE
    assert_once(count())
