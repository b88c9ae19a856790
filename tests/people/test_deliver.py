"""Delivering in processes of their own, to a real mail server, with kill -9 at every step; on both databases."""

import os
import sqlite3
import subprocess
import sys
import time
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from django.db import connection

from conversions.people import letters, outbox
from conversions.people.models import Document, Message, Person
from tests.conftest import World
from tests.people.sink import STEPS, Served

ROOT = Path(__file__).parent.parent.parent
LEASE = 1  # seconds a worker that is shot keeps its message from the others


class Workers:
    """`manage.py deliver` as somebody else would run it, on the very rows of this test."""

    def __init__(self, folder: Path, port: int):
        self.file = folder / "outbox.sqlite3"
        self.is_copied = connection.vendor == "sqlite"
        url = f"sqlite:///{self.file}"
        if not self.is_copied:
            name = connection.settings_dict["NAME"]  # the tests' own, beside the one that was asked for
            url = urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}").geturl()
        self.env = os.environ | {
            "DATABASE_URL": url,
            "VAR_DIR": str(folder),
            "EMAIL_HOST": "127.0.0.1",
            "EMAIL_PORT": str(port),
            "EMAIL_USE_TLS": "0",
            "DEFAULT_FROM_EMAIL": "garden@oak.example",
            "BASE_URL": "https://tracker.example",
        }

    def start(self, lease: int) -> subprocess.Popen:
        command = [sys.executable, "manage.py", "deliver", "--once", "--lease", str(lease)]
        pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
        return subprocess.Popen(command, cwd=ROOT, env=self.env, **pipes)

    def hand_over(self) -> None:
        """The tests' own SQLite lies in memory, where no other process sees it: they get it as a file."""
        if self.is_copied:
            with sqlite3.connect(self.file) as file:
                connection.connection.backup(file)
            file.close()

    def take_back(self) -> None:
        if self.is_copied:
            with sqlite3.connect(self.file) as file:
                file.backup(connection.connection)
            file.close()


def queue_letters(world: World, count: int) -> list[Message]:
    paper = Document(group=world.group, kind="plan", title="Your garden", content=b"%PDF-1.7 as it was sent")
    paper.save()
    rows = []
    for n in range(count):
        person = Person(group=world.group, name=f"Asker {n}", route="email", email=f"asker{n}@home.example")
        person.save()
        rows.append(outbox.queue(key=f"test-{n}", kind="test", person=person, document=paper))
    return rows


@pytest.fixture
def sink():
    with Served() as served:
        yield served


@pytest.mark.django_db(transaction=True)
def test_kill_9_at_any_step_loses_no_letter_and_only_a_heard_yes_goes_twice(tmp_path, sink):
    """Five workers are shot, each at another step of its second letter; two more then finish together."""
    server, port = sink
    world = World("oak", "Oak Street Growers")
    rows = queue_letters(world, 12)
    workers = Workers(tmp_path, port)
    workers.hand_over()
    for step in STEPS:
        shot = workers.start(LEASE)
        server.shoot(step, shot.pid)
        shot.communicate(timeout=60)
        assert shot.returncode == -9, step
    time.sleep(LEASE + 0.2)
    for last in [workers.start(60), workers.start(60)]:
        _out, error = last.communicate(timeout=60)
        assert last.returncode == 0, error[-2000:]
    workers.take_back()

    now = list(Message.everywhere.order_by("pk"))
    assert [row.state for row in now] == ["sent"] * 12
    assert set(server.ids) == {letters.message_id(row).replace("localhost", "oak.example") for row in rows}
    twice = [mail for mail in server.accepted if server.ids[mail["Message-ID"]] > 1]
    assert len(twice) == 2, "only the letter whose yes was heard and not noted goes again"
    assert twice[0]["Message-ID"] == twice[1]["Message-ID"]
    assert twice[0].get_payload(0).as_string() == twice[1].get_payload(0).as_string()
    assert sum(row.tries for row in now) == 12 + len(STEPS), "each shot worker had one letter in hand"
    assert len(server.accepted) == 13
    attached = [mail.get_payload(1).get_payload(decode=True) for mail in server.accepted]
    assert attached == [b"%PDF-1.7 as it was sent"] * 13


@pytest.mark.django_db(transaction=True)
def test_a_worker_says_what_it_did_and_tells_no_names(tmp_path, sink):
    server, port = sink
    world = World("oak", "Oak Street Growers")
    queue_letters(world, 2)
    server.answers["asker1@home.example"] = "550 no such mailbox"
    workers = Workers(tmp_path, port)
    workers.hand_over()
    out, error = workers.start(60).communicate(timeout=60)
    workers.take_back()
    assert "test-0, try 1: sent" in out
    assert "test-1, try 1: given up, it is on the list of things to do" in out
    assert "1 sent, 1 failed; 0 newly due; 1 to tell by hand" in out
    assert "asker" not in (out + error).lower()
    assert Message.everywhere.get(key="test-1").outcome.startswith("The mail server does not take this address.")
