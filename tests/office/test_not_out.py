"""A visitor who does not check out is seen by the organisers, with a number and what to do."""

import datetime

import time_machine

from conversions.builds.roster import person_for
from conversions.office.this_week import needs
from conversions.visits.actions import book_visit, finish_visit, write_notes
from tests.rows import make_yard

UTC = datetime.UTC
DUE = datetime.datetime(2026, 5, 5, 16, 30, tzinfo=UTC)  # 17:30 in London; out again by 18:30


def booked(world, *goers, **more):
    with time_machine.travel("2026-05-05T08:00:00Z", tick=False):
        return book_visit(
            conversion=make_yard(world), by=world.organiser, due_at=DUE, goers=goers or [world.visitor], **more
        )


def told(world, when, role="organiser"):
    with time_machine.travel(when, tick=False):
        return [(need.words, need.tag) for need in needs(world.group, getattr(world, role)) if need.kind == "visit"]


def with_phone(world):
    person = person_for(world.visitor)
    person.phone = "000 777 888"
    person.save()
    return str(world.visitor)


def test_half_an_hour_after_they_should_be_out_the_organiser_is_told_whom_to_ring(oak):
    booked(oak)
    who = with_phone(oak)
    assert told(oak, "2026-05-05T18:00:00Z") == [("Visit", "")]
    ((words, tag),) = told(oak, "2026-05-05T18:01:00Z")
    assert tag == "late"
    assert words == (
        f"{who} should be out since 18:30 and has not checked out. Ring 000 777 888. "
        "No answer: ring the household, then go and look, two of you."
    )


def test_without_a_number_that_is_said(oak):
    booked(oak)
    assert "we have no number here" in told(oak, "2026-05-05T18:01:00Z")[0][0]


def test_visit_done_checks_out(oak):
    visit = booked(oak)
    with time_machine.travel("2026-05-05T17:20:00Z", tick=False):
        finish_visit(visit=visit, by=oak.visitor)
    assert told(oak, "2026-05-05T18:01:00Z") == []


def test_a_longer_visit_is_waited_for_longer(oak):
    visit = booked(oak, lasts=datetime.timedelta(minutes=120))
    assert visit.due_out_at == DUE + datetime.timedelta(hours=2)
    assert told(oak, "2026-05-05T18:59:00Z") == [("Visit", "")]
    assert "should be out since 19:30" in told(oak, "2026-05-05T19:01:00Z")[0][0]


def test_who_went_alone_and_looks_is_not_told_about_themselves_and_a_visitor_not_about_others(oak):
    booked(oak, oak.organiser)
    assert told(oak, "2026-05-05T18:01:00Z") == [("Visit", "")]
    assert told(oak, "2026-05-05T18:01:00Z", "visitor") == [("Visit", "")]


def test_one_that_was_begun_stays_in_sight_the_next_day_and_one_nobody_began_is_asked_about(oak):
    visit = booked(oak)
    assert told(oak, "2026-05-06T08:00:00Z") == [("The visit was on 5 May. Was it done?", "late")]
    with time_machine.travel("2026-05-05T16:40:00Z", tick=False):
        write_notes(visit=visit, revision=visit.revision, notes="Gate sticks.")
    assert "has not checked out" in told(oak, "2026-05-06T08:00:00Z")[0][0]


def test_the_form_asks_for_how_long_and_advises_two_for_a_first_visit(organiser, oak):
    yard = make_yard(oak)
    address = oak.url(f"yards/{yard.pk}/visit/")
    assert "best made by two" in organiser.get(address).content.decode()
    organiser.post(address, {"slot": "now", "minutes": "90"})
    visit = yard.visits.get()
    assert visit.due_out_at - visit.due_at == datetime.timedelta(minutes=90)
    html = organiser.get(address).content.decode()
    assert '<option value="90" selected>' in html
    html = organiser.get(oak.url(f"visits/{visit.pk}/")).content.decode()
    assert "Out again by" in html and "Alone? Tell somebody" in html
    finish_visit(visit=visit, by=oak.organiser)
    assert "best made by two" not in organiser.get(address).content.decode()


def test_a_length_that_is_not_offered_is_said_beside_it(organiser, oak):
    yard = make_yard(oak)
    html = organiser.post(oak.url(f"yards/{yard.pk}/visit/"), {"slot": "now", "minutes": "9000"}).content.decode()
    assert "9000" in html and not yard.visits.exists()
