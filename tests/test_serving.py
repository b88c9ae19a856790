"""`./dev run` serves and sends what waits in the outbox; ended, it leaves no process behind."""

import os
import re
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
LONGEST_S = 30


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


def functions(*names: str) -> str:
    """These functions of the script, as they stand in it."""
    text = (ROOT / "dev").read_text()
    return "\n".join(re.search(rf"^{name}\(\) \{{\n.*?^\}}\n", text, re.M | re.S)[0] for name in names)


def until(what, seconds: float = LONGEST_S) -> bool:
    ends = time.monotonic() + seconds
    while time.monotonic() < ends:
        if what():
            return True
        time.sleep(0.1)
    return False


def answers(port: int) -> bool:
    with socket.socket() as tried:
        tried.settimeout(1)
        return tried.connect_ex(("127.0.0.1", port)) == 0


def members(group: int) -> list[str]:
    """What still runs in this process group."""
    rows = subprocess.run(["ps", "-eo", "pgid=,stat=,args="], capture_output=True, text=True, check=True).stdout
    found = (row.split(None, 2) for row in rows.splitlines())
    return [args for pgid, stat, args in found if int(pgid) == group and not stat.startswith("Z")]


def workers(group: int) -> list[int]:
    """The processes that gunicorn's own first process has started; the shell round them speaks of gunicorn as well."""
    rows = subprocess.run(["ps", "-eo", "pid=,ppid=,pgid=,comm="], capture_output=True, text=True, check=True).stdout
    ours = {
        int(pid): (int(parent), name)
        for pid, parent, pgid, name in map(str.split, rows.splitlines())
        if int(pgid) == group
    }
    served = {pid: parent for pid, (parent, name) in ours.items() if name == "gunicorn"}
    return sorted(pid for pid, parent in served.items() if parent in served)


@pytest.fixture
def script(tmp_path):
    """The serving part of the script in a process group of its own, with a folder and database of its own."""
    port = free_port()
    start = f"set -eu\nV={Path(sys.executable).parent}\nsay() {{ :; }}\n{functions('serve', 'deliver')}\nserve 127.0.0.1:{port}"
    own = {
        "DATABASE_URL": f"sqlite:///{tmp_path}/db.sqlite3",
        "VAR_DIR": str(tmp_path),
        "SECRET_KEY": "x" * 60,
        "DEBUG": "1",
    }
    running = subprocess.Popen(["sh", "-c", start], cwd=ROOT, env=os.environ | own, start_new_session=True)
    running.port = port
    yield running
    if members(running.pid):
        os.killpg(running.pid, signal.SIGKILL)
    running.wait()


@pytest.mark.parametrize("how", ["to the script alone", "to all, as Ctrl-C does"])
def test_it_serves_and_delivers_and_leaves_nothing_behind(script, tmp_path, how):
    assert until(lambda: answers(script.port)), "nobody serves"
    assert until(lambda: (tmp_path / "deliver.log").exists()), "nobody looks into the outbox"
    if how == "to the script alone":
        script.terminate()
    else:
        os.killpg(script.pid, signal.SIGINT)
    assert until(lambda: script.poll() is not None), "it does not end"
    assert until(lambda: members(script.pid) == [], 10), members(script.pid)
    assert not answers(script.port)


def test_a_worker_that_does_not_hear_holds_the_end_up_for_ten_seconds_not_thirty(script):
    """Ctrl-C in the moment a worker starts is lost on it; a stopped worker is just as deaf."""
    assert until(lambda: answers(script.port)), "nobody serves"
    assert until(lambda: len(workers(script.pid)) == 2), "the workers do not start"
    os.kill(workers(script.pid)[0], signal.SIGSTOP)
    os.killpg(script.pid, signal.SIGINT)
    assert until(lambda: script.poll() is not None, 20), "it does not end"
    assert members(script.pid) == []
