"""Several phones press yes in the same moment, on both databases: one answer counts, and none is lost."""

import json
import os
import threading
import time

import pytest
from django.db import connection

from conversions.people.models import Link
from conversions.quotes import answers
from conversions.quotes.models import Quote, Reply
from tests.processes import finished, process
from tests.rows import make_sent

PHONES = 4

SEND = """
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.conftest import World
from tests.processes import finished, process
from tests.rows import make_sent
print(make_sent(World("oak", "Oak Street Growers")).pk)
"""
PRESS = """
import sys, time
from conversions.people.models import Link
from conversions.quotes import answers
from conversions.quotes.models import Quote
quote, link = Quote.everywhere.get(), Link.everywhere.get()
time.sleep(max(0, float(sys.argv[1]) - time.time()))
answers.record_reply(quote=quote, answer="yes", route="link", link=link, name="Phone " + sys.argv[2])
"""
COUNT = """
import json
from conversions.quotes.models import Quote, Reply
rows = Reply.everywhere
print(json.dumps([rows.count(), rows.filter(counts=True).count(), Quote.everywhere.get().state]))
"""


@pytest.mark.skipif(
    "postgres" in os.environ["DATABASE_URL"], reason="a file is SQLite's alone; the test below has the server"
)
def test_phones_at_once_on_a_file_database_make_one_answer_that_counts(tmp_path):
    finished(process(SEND, tmp_path))
    at = str(time.time() + 4)  # every process is up by then, and all press in the same moment
    phones = [process(PRESS, tmp_path, at, str(number)) for number in range(PHONES)]
    for phone in phones:
        finished(phone)
    assert json.loads(finished(process(COUNT, tmp_path))) == [PHONES, 1, "accepted"]


@pytest.mark.skipif("sqlite" in os.environ["DATABASE_URL"], reason="memory cannot be shared; the test above has a file")
@pytest.mark.django_db(transaction=True)
def test_phones_at_once_on_a_server_database_make_one_answer_that_counts(oak):
    quote, link = make_sent(oak), Link.of(oak.group).get()
    start, kept = threading.Barrier(PHONES), []

    def press(number):
        mine = Quote.of(oak.group).get(pk=quote.pk)
        start.wait()
        try:
            name = f"Phone {number}"
            kept.append(answers.record_reply(quote=mine, answer="yes", route="link", link=link, name=name))
        finally:
            connection.close()

    phones = [threading.Thread(target=press, args=(number,)) for number in range(PHONES)]
    for phone in phones:
        phone.start()
    for phone in phones:
        phone.join()
    assert len(kept) == PHONES
    assert Reply.of(oak.group).filter(counts=True).count() == 1
    assert Quote.of(oak.group).get().state == "accepted"
