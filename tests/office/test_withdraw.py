"""A household that stops: all is released at once, everybody hears it once, and nothing is counted."""

import threading
from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import connection

from conversions.builds.actions import sign_up
from conversions.builds.agreed import figure, papers_on
from conversions.builds.models import Day, Ground, SignUp
from conversions.care.models import FollowUp
from conversions.office import withdraw as leaving
from conversions.people.models import Event, Message
from conversions.quotes.models import Quote, Reply
from conversions.yards.holds import open_hold
from conversions.yards.models import Conversion, Hold
from tests.builds.rows import make_agreed, make_day
from tests.conftest import World
from tests.rows import make_kept, make_quote, make_sent, make_yard, plan_token, rectangle


def yard_of(world, name, address, width="8.6") -> Conversion:
    conversion = make_yard(world, name=name, address=address, reach="000 444 111")
    return make_agreed(world, conversion, rectangle(width, "6"))


@pytest.fixture
def marlow(oak):
    return yard_of(oak, "Marlow", "2 Birch Lane")


@pytest.fixture
def booked(oak, marlow):
    """Marlow's day in five days, with nine helpers."""
    day = make_day(oak, marlow, on=oak.today + timedelta(days=5), helpers_wanted=9)
    for n in range(9):
        sign_up(day=day, name=f"Helper {n}", phone=f"000 555 00{n}", by=oak.organiser)
    return day


def fresh(conversion) -> Conversion:
    return Conversion.of(conversion.group).with_facts().get(pk=conversion.pk)


def test_five_days_before_everything_promised_goes_back_in_one_stroke(oak, marlow, booked):
    takeoff = papers_on(Day.of(oak.group).for_lists().get(pk=booked.pk), marlow)[1]
    hold = open_hold(conversion=marlow, kind="strip", by=oak.organiser)
    leaving.withdraw(conversion=marlow, by=oak.organiser, route="phone", name="Marlow", words="Too much now")
    booked.refresh_from_db()
    went = leaving.went_back(marlow)
    assert (went["people"], went["chips"], went["card"]) == (
        9, figure(takeoff, "chips"), figure(takeoff, "cardboard_area"),
    )  # fmt: skip
    assert went["chips"] > 0 and went["card"] > 0
    assert booked.state == "cancelled"
    assert set(SignUp.of(oak.group).values_list("state", flat=True)) == {"off"}
    assert Quote.of(oak.group).get().state == "withdrawn"
    assert Reply.of(oak.group).get().witness == str(oak.organiser)
    assert fresh(marlow).stage_word == "Ended"
    hold.refresh_from_db()
    assert hold.state == "not needed"
    assert not FollowUp.of(oak.group).exists() and not Ground.of(oak.group).exists()


def test_everybody_is_told_once_and_what_was_about_to_be_said_is_dropped(oak, marlow, booked):
    from_before = Message.of(oak.group).exclude(state="dropped").count()
    leaving.withdraw(conversion=marlow, by=oak.organiser, name="Marlow")
    told = Message.of(oak.group).exclude(state="dropped")
    assert told.count() == from_before + 10
    assert told.filter(kind="day-off").count() == 9
    assert [row.person for row in told.filter(kind="withdrawn")] == [marlow.household.contact]
    assert told.filter(person=marlow.household.contact).count() == 1


def test_a_day_with_another_yard_goes_on_smaller_and_keeps_its_helpers(oak, marlow):
    other = yard_of(oak, "Ana", "3 Ash Walk")
    day = make_day(oak, marlow, other, on=oak.today + timedelta(days=5))
    sign_up(day=day, name="Helper", phone="000 555 001", by=oak.organiser)
    leaving.withdraw(conversion=marlow, by=oak.organiser, name="Marlow")
    day.refresh_from_db()
    assert day.state == "planned"
    assert {row.conversion for row in day.day_patches.all()} == {other}
    assert SignUp.of(oak.group).get().state == "coming"
    assert Message.of(oak.group).get(kind="day-smaller").values["place"].endswith("Ash Walk")
    assert not Message.of(oak.group).filter(person=other.household.contact).exists()


def test_the_next_ready_yard_is_the_nearest_in_size_that_waits_for_nothing(oak, marlow, booked, organiser):
    far, near = yard_of(oak, "Far", "4 Ash Walk", "20"), yard_of(oak, "Near", "5 Ash Walk", "9")
    held = yard_of(oak, "Held", "6 Ash Walk", "8.6")
    open_hold(conversion=held, kind="rebate", by=oak.organiser)
    make_day(oak, yard_of(oak, "Booked", "7 Ash Walk"), on=oak.today + timedelta(days=9))
    leaving.withdraw(conversion=marlow, by=oak.organiser, name="Marlow")
    assert leaving.next_ready(marlow) == [near, far]
    page = organiser.get(oak.url(f"yards/{marlow.pk}/withdraw/")).content.decode()
    assert page.index("Near") < page.index("Far") and "Held" not in page


def test_pressed_twice_it_happens_once(oak, marlow, booked, organiser):
    path = oak.url(f"yards/{marlow.pk}/withdraw/")
    form = {"route": "phone", "name": "Marlow"}
    assert organiser.post(path, form).status_code == 302
    count = Message.of(oak.group).count()
    assert organiser.post(path, form).status_code == 200
    assert Message.of(oak.group).count() == count
    assert Event.of(oak.group).filter(verb="withdrawn").count() == 1


@pytest.mark.django_db(transaction=True)
def test_of_two_people_at_once_only_one_releases():
    if connection.vendor == "sqlite":
        pytest.skip("a database in memory has one connection")
    oak = World("oak", "Oak Street Growers")
    marlow = yard_of(oak, "Marlow", "2 Birch Lane")
    make_day(oak, marlow, on=oak.today + timedelta(days=5))
    start, errors = threading.Barrier(2), []

    def press():
        try:
            start.wait(10)
            leaving.withdraw(conversion=marlow, by=oak.organiser, name="Marlow")
        except Exception as error:  # whatever it is, the test must see it
            errors.append(error)
        finally:
            connection.close()

    both = [threading.Thread(target=press) for _n in range(2)]
    for one in both:
        one.start()
    for one in both:
        one.join(30)
    assert errors == []
    assert Event.everywhere.filter(verb="withdrawn").count() == 1
    assert Message.everywhere.filter(kind="withdrawn").count() == 1
    assert Reply.everywhere.filter(answer="withdraw").count() == 1


def test_behind_their_link_a_household_changes_its_mind_by_a_press_and_never_by_reading(oak, client):
    quote = make_sent(oak, make_quote(oak, make_kept(oak)))
    Quote.everywhere.filter(pk=quote.pk).update(state="accepted")
    path = f"/p/{plan_token(quote)}/withdraw/"
    assert "Please do not come" in client.get(path).content.decode()
    quote.refresh_from_db()
    assert quote.state == "accepted"
    assert client.post(path, {"words": "We move away"}).status_code == 302
    quote.refresh_from_db()
    assert quote.state == "withdrawn" and fresh(quote.conversion).outcome == "withdrawn"
    reply = Reply.of(oak.group).get()
    assert (reply.answer, reply.route, reply.words, reply.by) == ("withdraw", "link", "We move away", None)
    assert client.post(path).status_code == 302
    assert "that is fine" in client.get(path).content.decode()


def test_an_open_plan_is_not_withdrawn_behind_a_link_but_answered_no(oak, client):
    quote = make_sent(oak)
    path = f"/p/{plan_token(quote)}/withdraw/"
    assert client.post(path).status_code == 302
    quote.refresh_from_db()
    assert quote.state == "sent" and fresh(quote.conversion).outcome == ""


def test_work_that_has_begun_is_not_withdrawn(oak, marlow, booked):
    Day.everywhere.filter(pk=booked.pk).update(state="under way")
    with pytest.raises(ValidationError, match="under way"):
        leaving.withdraw(conversion=marlow, by=oak.organiser, name="Marlow")
    assert fresh(marlow).outcome == "" and Quote.of(oak.group).get().state == "accepted"


def test_a_slip_is_taken_back_and_the_history_tells_both(oak, marlow, booked, organiser):
    hold = open_hold(conversion=marlow, kind="strip", by=oak.organiser)
    leaving.withdraw(conversion=marlow, by=oak.organiser, name="Marlow")
    assert organiser.post(oak.url(f"yards/{marlow.pk}/take-up/")).status_code == 302
    row = fresh(marlow)
    assert (row.outcome, row.closed_on, row.stage) == ("", None, "agreed")
    booked.refresh_from_db()
    hold.refresh_from_db()
    assert booked.state == "cancelled" and hold.state == "open"
    assert not Message.of(oak.group).filter(kind="withdrawn").exclude(state="dropped").exists()
    verbs = set(Event.of(oak.group).filter(conversion_id=marlow.pk).values_list("verb", flat=True))
    assert {"withdrawn", "taken-up"} <= verbs


def test_after_two_weeks_it_is_a_new_run_and_no_slip(oak, marlow):
    leaving.withdraw(conversion=marlow, by=oak.organiser, name="Marlow")
    Conversion.everywhere.filter(pk=marlow.pk).update(closed_on=oak.today - timedelta(days=15))
    with pytest.raises(ValidationError, match="too long ago"):
        leaving.take_up(conversion=marlow, by=oak.organiser)


def test_not_now_leaves_the_lists_and_comes_back_in_its_month(oak, organiser):
    yard = make_yard(oak, name="Ilse", address="8 Ash Walk")
    later = (oak.today.replace(day=1) + timedelta(days=70)).replace(day=1)
    path = oak.url(f"yards/{yard.pk}/not-now/")
    assert organiser.post(path, {"outcome": "waiting", "ask_again_on": later.isoformat()}).status_code == 302
    assert fresh(yard).stage_word == "Not now"
    assert "Ilse" not in organiser.get(oak.url()).content.decode()
    Conversion.everywhere.filter(pk=yard.pk).update(ask_again_on=oak.today)
    assert "Ask again from" in organiser.get(oak.url()).content.decode()
    organiser.post(oak.url(f"yards/{yard.pk}/take-up/"))
    assert fresh(yard).outcome == "" and fresh(yard).ask_again_on is None


def test_not_now_is_not_said_over_a_day_that_is_set(oak, marlow, booked, organiser):
    answer = organiser.post(oak.url(f"yards/{marlow.pk}/not-now/"), {"outcome": "waiting", "ask_again_on": ""})
    assert answer.status_code == 200 and "A build day is set" in answer.content.decode()
    assert fresh(marlow).outcome == ""


def test_holds_of_a_withdrawn_yard_leave_this_week(oak, organiser):
    yard = make_yard(oak, name="Noor", tenure="rent", address="9 Ash Walk")
    assert "We wait for the owner" in organiser.get(oak.url()).content.decode()
    leaving.withdraw(conversion=yard, by=oak.organiser, name="Noor")
    assert Hold.of(oak.group).get().state == "not needed"
    page = organiser.get(oak.url()).content.decode()
    assert "We wait for the owner" not in page
