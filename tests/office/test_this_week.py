"""What needs somebody: the right thing, in the right order, for the right people."""

import datetime
from decimal import Decimal

import pytest
import time_machine

from conversions.builds.actions import plan_day, record_as_built, sign_up
from conversions.builds.roster import person_for
from conversions.office.this_week import needs, week
from conversions.people import outbox
from conversions.people.models import Message
from conversions.quotes import proposal
from conversions.quotes.actions import draft_quote, send_quote
from conversions.quotes.answers import record_reply
from conversions.quotes.book_actions import set_price
from conversions.visits.actions import book_visit, finish_visit
from conversions.yards import holds
from tests.builds.rows import make_agreed, make_day
from tests.office.test_close_day import as_drawn, close
from tests.rows import make_kept, make_yard, rectangle

UTC = datetime.UTC


def at(text):
    return time_machine.travel(text, tick=False)


def told(world, role="organiser"):
    return [(need.words, need.action) for need in needs(world.group, getattr(world, role))]


def sent_quote(world, conversion=None):
    draft = make_kept(world, conversion)
    for item in ("compost", "compost delivery", "frame", "plants"):
        set_price(group=world.group, item=item, price=Decimal(10), by=world.organiser)
    quote = draft_quote(draft=draft, by=world.organiser)
    paper = proposal.prepare(quote, sentence="", offered_on=None, offered_rain_on=None)
    return send_quote(quote=quote, revision=quote.revision, by=world.organiser, paper=paper)


def test_a_group_without_a_yard_needs_nothing(oak):
    assert needs(oak.group, oak.organiser) == []


def test_an_enquiry_wants_its_visit(oak):
    with at("2026-05-05T10:00:00Z"):
        make_yard(oak)
        assert told(oak) == [("Asked on 5 May, no visit yet.", "Book the visit")]


def test_a_visit_of_today_is_urgent_and_one_of_yesterday_is_late(oak):
    with at("2026-05-05T10:00:00Z"):
        for n, hour in (
            (1, "2026-05-04T16:30"),
            (2, "2026-05-05T16:30"),
            (3, "2026-05-08T16:30"),
            (4, "2026-05-20T16:30"),
        ):
            due = datetime.datetime.fromisoformat(hour).replace(tzinfo=UTC)
            book_visit(conversion=make_yard(oak, name=f"N{n}", address=f"{n} Elder Walk"), by=oak.organiser, due_at=due)
        found = needs(oak.group, oak.visitor)
    assert [(need.title.split(",")[0], need.tag, need.at) for need in found] == [
        ("N1", "late", "17:30"), ("N2", "", "17:30"), ("N3", "", "17:30")
    ]  # fmt: skip


def test_a_visit_that_was_done_leads_to_the_plan_and_a_kept_plan_to_the_quote(oak):
    yard = make_yard(oak)
    visit = book_visit(conversion=yard, by=oak.organiser, due_at=datetime.datetime.now(UTC))
    finish_visit(visit=visit, by=oak.organiser)
    assert told(oak) == [("Visited, no plan yet.", "Lay it out")]
    draft = make_kept(oak, yard)
    assert told(oak) == [("The plan is kept, no quote yet.", "Open the yard")]
    draft_quote(draft=draft, by=oak.organiser)
    assert told(oak) == [("The quote is made and not sent.", "Open the yard")]


def test_a_quote_waits_a_few_days_before_anybody_rings(oak):
    with at("2026-05-01T10:00:00Z"):
        sent_quote(oak)
        assert told(oak) == [("To be told: their plan.", "What to say")]
        outbox.note_done(message=Message.of(oak.group).get(), by=oak.organiser)
        assert told(oak) == [("Sent today.", "Ring")]
    with at("2026-05-10T10:00:00Z"):
        [need] = needs(oak.group, oak.organiser)
        assert (need.words, need.urgency) == ("No answer for 9 days.", 2)
    with at("2026-09-10T10:00:00Z"):
        [need] = needs(oak.group, oak.organiser)
        assert need.words.startswith("The quote ran out on")


def test_lets_talk_and_a_yes_ask_for_different_things(oak):
    quote = sent_quote(oak)
    said = {"quote": quote, "route": "phone", "name": "Ruth", "witness": "Mina", "by": oak.organiser}
    record_reply(answer="talk", **said)
    assert told(oak) == [("They would like to talk.", "Ring and answer")]
    record_reply(answer="yes", **said)
    assert told(oak) == [("Agreed, no day yet.", "Fix a day")]


def test_a_day_ahead_says_what_is_missing_and_a_day_that_is_over_wants_closing(oak):
    day = make_day(oak, on=oak.today + datetime.timedelta(days=5))
    [need] = needs(oak.group, oak.lead)
    assert need.tag in ("missing", "stop") and need.action == "See what is missing" and "things more" in need.words
    with time_machine.travel(datetime.datetime.combine(day.on, datetime.time(20), UTC) + datetime.timedelta(days=1)):
        assert told(oak, "lead") == [("The day is over and not closed yet.", "Close the day")]


def test_a_closed_day_leaves_its_sheet_and_later_its_follow_up(oak):
    with at("2026-05-09T15:00:00Z"):
        day = make_day(oak, on=datetime.date(2026, 5, 9))
        as_drawn(oak, day)
        close(oak, day)
    with at("2026-05-18T10:00:00Z"):
        found = needs(oak.group, oak.lead)
    assert [need.action for need in found] == ["Print or note it", "Ring and write down"]


def test_ground_left_over_wants_another_day(oak):
    with at("2026-05-09T15:00:00Z"):
        yard = make_agreed(oak, None, rectangle(), rectangle("5", "4", label="Back lawn", zone="back"))
        day = make_day(oak, yard, on=datetime.date(2026, 5, 9))
        as_drawn(oak, day, "Front lawn")
        back = day.day_patches.get(patch__label="Back lawn").patch
        record_as_built(day=day, patch=back, by=oak.lead, area_m2=Decimal(0), is_complete=False)
        close(oak, day)
        assert ("Ground is left to do, and no day for it.", "Fix a day") in told(oak)


def test_a_part_built_patch_waits_for_its_next_day(oak):
    day = make_day(oak)
    patch = day.day_patches.get().patch
    record_as_built(day=day, patch=patch, by=oak.lead, area_m2=Decimal(5), how="measured", is_complete=False)
    close(oak, day)
    assert ("Ground is left to do, and no day for it.", "Fix a day") in told(oak)


@pytest.mark.parametrize(("role", "kinds"), [
    ("organiser", {"yard", "day", "visit", "build"}),
    ("visitor", {"yard", "visit"}),
    ("lead", {"build"}),
    ("reader", set()),
    ("helper", {"build"}),
])  # fmt: skip
def test_everybody_sees_only_what_they_may_open(oak, client, role, kinds):
    make_yard(oak, name="A", address="1 Elder Walk")
    book_visit(
        conversion=make_yard(oak, name="B", address="2 Elder Walk"), by=oak.organiser, due_at=datetime.datetime.now(UTC)
    )
    make_agreed(oak, make_yard(oak, name="C", address="3 Elder Walk"))
    day = make_day(oak, make_agreed(oak), on=oak.today + datetime.timedelta(days=3))
    sign_up(day=day, person=person_for(oak.helper), by=oak.lead)
    found = needs(oak.group, getattr(oak, role))
    assert {need.kind for need in found} == kinds
    oak.sign_in(client, role)
    for need in found:
        assert client.get(need.action_url).status_code == 200, need
        assert client.get(need.url).status_code == 200, need


@pytest.mark.parametrize("role", ["helper", "visitor"])
def test_whoever_stood_in_as_lead_is_told_to_close_the_day(oak, role):
    day = make_day(oak, on=oak.today - datetime.timedelta(days=1), deputy=getattr(oak, role))
    (need,) = needs(oak.group, getattr(oak, role))
    assert (need.action, need.action_url) == ("Close the day", oak.url(f"days/{day.pk}/close/"))


def test_a_helper_sees_no_day_of_others(oak):
    make_day(oak, on=oak.today + datetime.timedelta(days=3))
    assert needs(oak.group, oak.helper) == []


def test_the_week_runs_from_monday_to_sunday_with_todays_mark(oak):
    days = week(datetime.date(2026, 5, 5), [])
    assert [day["on"].day for day in days] == [4, 5, 6, 7, 8, 9, 10]
    assert [day["is_today"] for day in days].index(True) == 1


def test_another_groups_yards_need_nobody_here(oak, elm):
    make_yard(elm)
    assert needs(oak.group, oak.organiser) == []


def test_planning_a_day_takes_the_yard_off_the_list(oak):
    yard = make_agreed(oak)
    assert ("Agreed, no day yet.", "Fix a day") in told(oak)
    plan_day(
        group=oak.group, by=oak.organiser, on=oak.today + datetime.timedelta(days=30), starts=datetime.time(9),
        ends=datetime.time(13), lead=oak.lead, conversions=[yard],
    )  # fmt: skip
    assert told(oak) == []


def test_a_refusal_hides_nothing_else_that_its_yard_waits_for(oak):
    """Tansy Row's owner said no, and its association has not answered yet."""
    yard = make_yard(oak)
    refused = holds.open_hold(conversion=yard, kind="owner", by=oak.organiser)
    holds.settle(hold=refused, revision=refused.revision, by=oak.organiser, state="refused", due_on=oak.today)
    holds.open_hold(conversion=yard, kind="association", by=oak.organiser)
    words = [words for words, _action in told(oak)]
    assert [line for line in words if "association" in line.lower()], words
