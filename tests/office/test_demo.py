"""The invented group, loaded on the first day of a year, the day on which its dates are hardest to tell."""

import datetime

import pytest
import time_machine
from django.apps import apps
from django.core.management import call_command
from django.db import transaction
from django.test import Client

from conversions.builds.models import Day
from conversions.care.models import CareSheet, FollowUp
from conversions.groups.models import Group, Member
from conversions.groups.tenancy import Grouped
from conversions.office import demo
from conversions.office.this_week import needs
from conversions.quotes.models import Price, Quote
from conversions.tally import counts
from conversions.yards.models import Conversion

TODAY = datetime.date(2027, 1, 1)


@pytest.fixture(scope="module")
def group(django_db_setup, django_db_blocker):
    """Loaded once for all these tests, and taken back after the last."""
    with django_db_blocker.unblock(), time_machine.travel("2027-01-01T12:00:00Z", tick=False), transaction.atomic():
        group, _is_new = demo.load()
        yield group
        transaction.set_rollback(True)


def test_a_group_starts_with_one_organiser_who_is_a_person_of_it(db):
    member = demo.start_group(
        slug="x", name="X", email="a@x.example", password="long enough", organiser="Ada", zone="UTC"
    )
    assert member.roles == {"organiser"} and member.person.name == "Ada" and str(member.group) == "X"


def test_a_dozen_yards_stand_at_every_stage(group):
    stages = [yard.stage for yard in Conversion.of(group).with_facts()]
    assert len(stages) >= 12
    assert set(stages) >= {"enquiry", "visited", "quoted", "agreed", "booked", "built", "growing"}


def test_last_year_and_this_year_are_counted(group):
    last, this = counts.year(group, 2026), counts.year(group, 2027)
    assert last.total_m2 > 50 and this.total_m2 > 50
    assert last.hours > 0 and this.materials.sheets > 0 and this.materials.unknown == 0
    assert last.waiting_days == 1


def test_two_days_are_ahead_and_follow_ups_are_due(group):
    assert Day.of(group).open().filter(on__gt=TODAY).count() == 2
    assert FollowUp.of(group).due().filter(due_on__lte=TODAY).exists()
    assert not FollowUp.of(group).filter(done_on__gt=TODAY).exists()
    assert CareSheet.of(group).to_hand_over().count() == 1


def test_more_than_five_things_need_the_organiser(group):
    found = needs(group, Member.of(group).get(is_organiser=True))
    assert len(found) > 5 and {need.kind for need in found} >= {
        "visit",
        "build",
        "quote",
        "day",
        "yard",
        "care",
        "sheet",
    }


def test_every_sent_quote_has_its_paper_and_the_soil_test_has_no_price(group):
    sent = Quote.of(group).exclude(state="draft").select_related("document")
    assert sent.count() >= 9 and all(bytes(quote.document.content).startswith(b"%PDF") for quote in sent)
    assert not Price.of(group).filter(item="soil test").exists()


def test_every_key_points_inside_the_group(group):
    models = [model for model in apps.get_models() if issubclass(model, Grouped)]
    rows = [row for model in models for row in model.of(group)]
    assert len(rows) > 300
    for row in rows:
        row.refuse_foreign_keys()


def test_everybody_printed_can_sign_in(group):
    roles = [next(iter(Member.of(group).get(user__email=email).roles)) for email, *_ in demo.SIGN_INS]
    assert roles == ["organiser", "visitor", "lead", "reader", "helper"]
    for email, *_more in demo.SIGN_INS:
        answer = Client().post("/sign-in/", {"username": email, "password": demo.PASSWORD})
        assert answer.status_code == 302


def test_a_second_start_changes_nothing_and_prints_the_way_in(group, capsys):
    Group.objects.filter(pk=group.pk).update(phone="typed by somebody")
    before = {model: model.of(group).count() for model in apps.get_models() if issubclass(model, Grouped)}
    call_command("demo", "127.0.0.1:9000")
    assert {model: model.of(group).count() for model in before} == before
    assert Group.objects.get(pk=group.pk).phone == "typed by somebody"
    words = capsys.readouterr().out
    assert "was here already" in words and "http://127.0.0.1:9000/" in words and demo.PASSWORD in words
    assert all(email in words for email, *_ in demo.SIGN_INS)
