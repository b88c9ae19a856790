"""Two people close the same day at the same moment, each on a connection of their own."""

import threading

import pytest
from django.db import connection

from conversions.builds.models import Day, Ground
from conversions.care.models import CareSheet, FollowUp
from conversions.groups.tenancy import Stale
from conversions.office.close_day import close_day
from conversions.office.learn import worked_hours
from conversions.sizing import learn_pace
from conversions.sizing.own import Own
from tests.builds.rows import make_day
from tests.conftest import World
from tests.office.test_close_day import PAPER, as_drawn
from tests.office.test_learn import close, make_over

PRESSES = 4


@pytest.mark.django_db(transaction=True)
def test_four_presses_at_once_count_once():
    if connection.vendor == "sqlite":
        pytest.skip("a database in memory has one connection")
    oak = World("oak", "Oak Street Growers")
    day = make_day(oak)
    as_drawn(oak, day)
    day.refresh_from_db()
    conversion, revision = day.day_patches.get().conversion_id, day.revision
    start, ends = threading.Barrier(PRESSES), []

    def press():
        mine = Day.of(oak.group).get(pk=day.pk)
        start.wait()
        try:
            ends.append(close_day(day=mine, by=oak.lead, revision=revision, sheets={conversion: PAPER}).state)
        except Stale:
            ends.append("stale")
        finally:
            connection.close()

    threads = [threading.Thread(target=press) for _n in range(PRESSES)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert ends == ["closed"] * PRESSES
    assert Ground.of(oak.group).count() == 1
    assert (CareSheet.of(oak.group).count(), FollowUp.of(oak.group).count()) == (1, 6)


@pytest.mark.django_db(transaction=True)
def test_two_days_closed_at_once_both_teach_the_group():
    if connection.vendor == "sqlite":
        pytest.skip("a database in memory has one connection")
    oak = World("oak", "Oak Street Growers")
    days = [make_over(oak, n) for n in (1, 2, 3)]
    start, ends = threading.Barrier(len(days)), []

    def press(day):
        start.wait()
        try:
            ends.append(close(oak, day).state)
        finally:
            connection.close()

    threads = [threading.Thread(target=press, args=[day]) for day in days]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert ends == ["closed"] * len(days)
    oak.group.refresh_from_db()
    logged = [(row.facts["book_h"], worked_hours(row, Own())) for row in Day.of(oak.group)]
    assert oak.group.pace["days"] == len(days)
    assert oak.group.pace["factor"] == round(learn_pace(logged).mean, 4)
