"""What stops us: where it blocks, how it is settled, and setting it aside by two."""

import datetime
from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from conversions.builds import actions, gates
from conversions.groups.models import Member, User
from conversions.groups.tenancy import Stale
from conversions.people.models import Event, Message
from conversions.quotes.answers import Held, record_reply
from conversions.visits.actions import add_entries, book_visit
from conversions.yards import holds
from conversions.yards.hold_kinds import BOOKING, BUILDING, PLACES
from conversions.yards.hold_override import ask_override, confirm_override, keep_override
from conversions.yards.models import Hold, Planned
from tests.builds.rows import answer_all, make_agreed, make_day
from tests.rows import make_kept, make_quote, make_sent, make_yard, plan_token, rectangle


def hold_of(yard, kind, patch=None) -> Hold:
    return Hold.of(yard.group).get(conversion=yard, kind=kind, patch=patch)


def second(world) -> Member:
    user = User.objects.create_user("second@oak.example", "a long enough password", name="Second Oak")
    return Member.everywhere.create(group=world.group, user=user, is_organiser=True)


def answer(world, yard, patch=None, visit=None, **answers):
    visit = visit or book_visit(conversion=yard, by=world.visitor, due_at=datetime.datetime.now(datetime.UTC))
    entries = [{"question": code, "value": value, "as_typed": "", "patch": patch} for code, value in answers.items()]
    add_entries(visit=visit, by=world.visitor, entries=entries)
    return visit


def settle(hold, world, state, **said):
    hold.refresh_from_db()
    return holds.settle(hold=hold, revision=hold.revision, by=world.organiser, state=state, **said)


# ---- the rebate trap


@pytest.fixture
def marlow(oak):
    yard = make_agreed(oak, make_yard(oak, name="Marlow", address="2 Birch Lane"))
    answer_all(oak, yard, grant={"grant": "wanted"})
    return yard


def test_no_day_is_fixed_while_the_grant_is_not_given_and_the_reason_is_said(oak, marlow):
    with pytest.raises(ValidationError) as refused:
        make_day(oak, marlow, on=oak.today + timedelta(days=10))
    assert "2 Birch Lane: Do not start: the lawn grant is not given yet." in refused.value.messages[0]


def test_the_page_of_a_new_day_says_why_beside_the_yard(oak, marlow, organiser):
    on = oak.today + timedelta(days=10)
    form = {"conversions": [marlow.pk], "on": on, "starts": "09:30", "ends": "14:00", "lead": oak.lead.pk,
            "helpers_wanted": 4}  # fmt: skip
    answer = organiser.post(oak.url("days/new/"), form)
    assert answer.status_code == 200 and "the lawn grant is not given yet" in answer.content.decode()
    assert not marlow.day_patches.exists()


def test_the_household_is_told_once_not_to_let_the_lawn_die(oak, marlow):
    answer(oak, marlow, grant={"grant": "wanted"})
    told = Message.of(oak.group).get(kind="grant-wait")
    assert told.person == marlow.household.contact and told.conversion_id == marlow.pk


def test_approval_unblocks_until_the_last_day_to_finish(oak, marlow):
    settle(hold_of(marlow, "rebate"), oak, "cleared", valid_until=oak.today + timedelta(days=20))
    with pytest.raises(ValidationError, match="The grant is good until"):
        make_day(oak, marlow, on=oak.today + timedelta(days=15), rain_on=oak.today + timedelta(days=22))
    day = make_day(oak, marlow, on=oak.today + timedelta(days=10), rain_on=oak.today + timedelta(days=17))
    assert not [gate for gate in gates.ready(day) if gate.state == "stop"]


def test_an_override_takes_two_organisers_and_both_are_named(oak, marlow):
    other, row = second(oak), hold_of(marlow, "rebate")
    row = ask_override(hold=row, revision=row.revision, by=oak.organiser, reason="They gave it up")
    assert row.state == "open" and holds.why_not(marlow, BOOKING)
    with pytest.raises(ValidationError, match="You asked for it"):
        confirm_override(hold=row, revision=row.revision, by=oak.organiser)
    row = confirm_override(hold=row, revision=row.revision, by=other)
    assert (row.state, row.by, row.second_by) == ("overridden", oak.organiser, other)
    assert not holds.why_not(marlow, BOOKING)
    day = make_day(oak, marlow, on=oak.today + timedelta(days=10))
    assert not [gate for gate in gates.ready(day) if gate.state == "stop"]
    verbs = Event.of(oak.group).filter(conversion_id=marlow.pk).values_list("verb", flat=True)
    assert {"hold-opened", "hold-override-asked", "hold-overridden"} <= set(verbs)


def test_a_second_word_given_twice_counts_once(oak, marlow):
    other, row = second(oak), hold_of(marlow, "rebate")
    row = ask_override(hold=row, revision=row.revision, by=oak.organiser, reason="They gave it up")
    confirm_override(hold=row, revision=row.revision, by=other)
    old = Hold.of(oak.group).get(pk=row.pk)
    with pytest.raises(ValidationError):
        confirm_override(hold=old, revision=old.revision, by=other)
    with pytest.raises(Stale):
        keep_override(hold=row, revision=0, by=other)


def test_a_yes_that_ran_out_blocks_again_while_the_second_word_is_missing_and_the_history_says_so(oak, marlow):
    second(oak)
    settle(hold_of(marlow, "rebate"), oak, "cleared", valid_until=oak.today)
    row = hold_of(marlow, "rebate")
    row = ask_override(hold=row, revision=row.revision, by=oak.organiser, reason="They gave it up")
    assert row.state == "open" and holds.why_not(marlow, BOOKING)
    assert Event.of(oak.group).get(verb="hold-override-asked").changed["state"] == ["cleared", "open"]


def test_a_lone_organiser_gives_a_reason_that_stands_on_this_week_for_a_week(oak, marlow, organiser):
    row = hold_of(marlow, "rebate")
    with pytest.raises(ValidationError, match="Write why"):
        ask_override(hold=row, revision=row.revision, by=oak.organiser, reason=" ")
    row = ask_override(hold=row, revision=row.revision, by=oak.organiser, reason="They gave it up")
    assert row.state == "overridden" and row.second_by is None
    week = organiser.get(oak.url()).content.decode()
    assert "set aside by one person alone" in week and "They gave it up" in week
    Hold.everywhere.filter(pk=row.pk).update(overridden_at=row.overridden_at - timedelta(days=8))
    assert "set aside by one person alone" not in organiser.get(oak.url()).content.decode()


def test_what_is_about_safety_is_never_set_aside(oak, marlow):
    answer(oak, marlow, septic={"septic": "not sure"})
    row = hold_of(marlow, "septic")
    with pytest.raises(ValidationError, match="This is about safety"):
        ask_override(hold=row, revision=row.revision, by=oak.organiser, reason="We are careful")


def test_an_override_is_a_press_and_only_an_organisers(oak, marlow, client):
    row = hold_of(marlow, "rebate")
    path = oak.url(f"holds/{row.pk}/override/")
    assert oak.sign_in(client).get(path).status_code == 405
    assert oak.sign_in(client, "visitor").post(path, {"do": "ask", "reason": "x"}).status_code == 403


# ---- the septic tank


def test_an_unknown_septic_tank_blocks_building_and_nothing_else_and_the_household_is_told_how_to_find_out(oak):
    yard = make_agreed(oak)
    answer_all(oak, yard, septic={"septic": "not sure"})
    row = hold_of(yard, "septic")
    assert [place for place in PLACES if getattr(row, f"blocks_{place}")] == ["building"]
    told = Message.of(oak.group).get(kind="septic-ask")
    assert told.conversion_id == yard.pk
    day = make_day(oak, yard, on=oak.today + timedelta(days=10))
    assert [gate.key for gate in gates.ready(day) if gate.state == "stop"] == ["digging"]
    with pytest.raises(ValidationError, match="Not yet"):
        actions.set_state(day=day, to="confirmed", by=oak.lead)


def test_a_drain_field_in_one_patch_stops_that_patch_and_the_other_goes(oak):
    yard = make_agreed(oak, None, rectangle("6", "4", label="A"), rectangle("5", "4", label="B", zone="back"))
    visit = answer_all(oak, yard)
    a, b = yard.place.patches.order_by("pk")
    answer(oak, yard, patch=a, visit=visit, septic={"septic": "here"})
    assert hold_of(yard, "septic", a).state == "refused"
    day = make_day(oak, yard, on=oak.today + timedelta(days=10))
    assert [row.patch for row in day.day_patches.all()] == [b]
    assert actions.set_state(day=day, to="confirmed", by=oak.lead).state == "confirmed"
    assert Planned.of(oak.group).get(patch=a).complete_on is None


def test_the_paper_says_kindly_which_patch_stays(oak):
    draft = make_kept(oak, None, rectangle("6", "4", label="A"), rectangle("5", "4", label="B", zone="back"))
    yard = draft.conversion
    a = yard.place.patches.get(label="A")
    answer(oak, yard, patch=a, septic={"septic": "here"})
    sent = make_sent(oak, make_quote(oak, draft))
    page = Client().get(f"/p/{plan_token(sent)}/").content.decode()
    assert "Septic tank or drain field (A)" in page and "Another patch may do" in page


# ---- the renter


@pytest.fixture
def noor(oak):
    return make_sent(oak, make_quote(oak, make_kept(oak, make_yard(oak, name="Noor", tenure="rent"))))


def yes(quote, world, **more):
    return record_reply(quote=quote, answer="yes", route="person", name="Noor", by=world.organiser, **more)


def test_a_renters_yes_waits_for_the_owners_signature(oak, noor, client):
    assert [row.kind for row in Hold.of(oak.group)] == ["owner"]
    page = client.get(f"/p/{plan_token(noor)}/").content.decode()
    assert "We wait for your owner’s yes." in page and 'name="answer" value="yes"' not in page
    assert 'name="answer" value="talk"' in page
    with pytest.raises(Held, match="We wait for the owner’s yes."):
        yes(noor, oak)
    form = {"uid": "8b3c9a52-7d7e-4a5e-9f8e-2b8d2d1f6a10", "answer": "yes", "name": "Noor"}
    refused = client.post(f"/p/{plan_token(noor)}/", form)
    assert refused.status_code == 409 and "We wait for your owner’s yes." in refused.content.decode()
    noor.refresh_from_db()
    assert noor.state == "sent" and not noor.replies.exists()


def test_a_spoken_yes_of_the_owner_is_not_enough_and_the_signed_page_is(oak, noor, client):
    answer(oak, noor.conversion, say={"right": "rent, yes"})
    row = hold_of(noor.conversion, "owner")
    with pytest.raises(ValidationError, match="A word is not enough"):
        settle(row, oak, "cleared")
    settle(row, oak, "cleared", facts={"seen_by": "Vera"}, valid_until=oak.today + timedelta(days=200))
    yes(noor, oak)
    noor.refresh_from_db()
    assert noor.state == "accepted"


def test_sixty_days_before_the_lease_ends_somebody_is_asked_to_ring(oak, noor, organiser):
    row = hold_of(noor.conversion, "owner")
    settle(row, oak, "cleared", facts={"seen_by": "Vera"}, valid_until=oak.today + timedelta(days=61))
    assert "They rent until" not in organiser.get(oak.url()).content.decode()
    settle(row, oak, "cleared", facts={"seen_by": "Vera"}, valid_until=oak.today + timedelta(days=60))
    assert "They rent until" in organiser.get(oak.url()).content.decode()


def test_a_refusing_owner_keeps_the_quote_back_too(oak):
    draft = make_quote(oak, make_kept(oak))
    answer(oak, draft.conversion, say={"right": "nobody"})
    with pytest.raises(ValidationError, match="The owner said no"):
        make_sent(oak, draft)


# ---- opening and closing by the answers


def test_an_answer_opens_its_hold_once_and_another_answer_closes_it(oak):
    yard = make_yard(oak)
    visit = answer(oak, yard, say={"right": "shared"})
    answer(oak, yard, visit=visit, say={"right": "shared"})
    row = hold_of(yard, "association")
    assert row.state == "open" and row.who == oak.visitor
    answer(oak, yard, visit=visit, say={"right": "owners"})
    row.refresh_from_db()
    assert row.state == "not needed" and not holds.why_not(yard, BUILDING)
    answer(oak, yard, visit=visit, say={"right": "shared"})
    row.refresh_from_db()
    assert row.state == "open"


def test_what_a_person_cleared_stays_cleared_when_the_same_is_answered_again(oak):
    yard = make_yard(oak)
    visit = answer(oak, yard, say={"right": "shared"})
    settle(hold_of(yard, "association"), oak, "cleared")
    answer(oak, yard, visit=visit, say={"right": "shared"})
    assert hold_of(yard, "association").state == "cleared"


def test_not_sure_blocks_building_only_and_is_a_to_do_with_a_name_and_a_date(oak, client):
    yard = make_agreed(oak)
    answer_all(oak, yard, tap={"tap": "not sure"})
    row = hold_of(yard, "ask")
    assert (row.about, row.who, row.due_on) == ("tap", oak.visitor, oak.today + timedelta(days=7))
    assert holds.why_not(yard, BUILDING) and not holds.why_not(yard, BOOKING)
    week = oak.sign_in(client, "visitor").get(oak.url()).content.decode()
    assert "Find out, then write the answer into the visit. Visitor Oak, by" in week


def test_marks_must_hold_on_the_build_day_and_on_the_rain_date(oak):
    yard = make_agreed(oak)
    until = oak.today + timedelta(days=12)
    answer_all(oak, yard, pipes={"public": "marked", "until": until.isoformat(), "ticket": "T-1"})
    on = oak.today + timedelta(days=10)
    day = make_day(oak, yard, on=on, rain_on=on + timedelta(days=7))
    marks = next(gate for gate in gates.ready(day) if gate.key == "marks")
    assert marks.state == "stop" and "The marks are good until" in marks.why and "the rain date is" in marks.why


def test_marks_written_down_for_a_day_hold_for_the_yard_and_the_other_way_round(oak):
    yard = make_agreed(oak)
    answer_all(oak, yard, pipes={"public": "no", "until": "", "ticket": ""})
    day = make_day(oak, yard, on=oak.today + timedelta(days=10))
    until = oak.today + timedelta(days=20)
    actions.note_marks(day=day, by=oak.lead, state="marked", until=until, ticket="T-2")
    row = hold_of(yard, "marks")
    assert (row.state, row.valid_until, row.facts["ticket"]) == ("cleared", until, "T-2")
    other = make_agreed(oak, make_yard(oak, name="Ana", address="3 Ash Walk", reach="000 333 333"))
    answer_all(oak, other, pipes={"public": "no", "until": "", "ticket": ""})
    settle(hold_of(other, "marks"), oak, "cleared", valid_until=until, facts={"ticket": "T-3"})
    assert gates.marks_of(make_day(oak, other, on=oak.today + timedelta(days=9)))["ticket"] == "T-3"


@pytest.mark.parametrize("state", ["asked", "refused"])
def test_marks_asked_for_anew_are_not_those_that_the_visit_found(oak, state):
    yard = make_agreed(oak)
    until = oak.today + timedelta(days=60)
    answer_all(oak, yard, pipes={"public": "marked", "until": until.isoformat(), "ticket": "T-1"})
    day = make_day(oak, yard, on=oak.today + timedelta(days=10))
    assert gates.marks_of(day)["ticket"] == "T-1"
    holds.note_marks(conversion=yard, by=oak.lead, state="marked", until=until, ticket="T-2")
    settle(hold_of(yard, "marks"), oak, state)
    assert gates.marks_of(day) == {}


# ---- the page


def test_the_signed_page_is_kept_and_shown_again(oak, noor, organiser):
    row = hold_of(noor.conversion, "owner")
    page = SimpleUploadedFile("page.pdf", b"%PDF-1.7 signed", "application/pdf")
    sent = {"state": "cleared", "page": page, "revision": row.revision, "valid_until": "2027-11-30"}
    assert organiser.post(oak.url(f"holds/{row.pk}/"), sent).status_code == 302
    row.refresh_from_db()
    assert row.state == "cleared" and row.valid_until == datetime.date(2027, 11, 30)
    kept = organiser.get(oak.url(f"holds/{row.pk}/paper/"))
    assert kept["Content-Type"] == "application/pdf" and kept.content == b"%PDF-1.7 signed"


def test_a_file_that_is_no_page_is_refused_beside_its_field_and_nothing_is_kept(oak, noor, organiser):
    row = hold_of(noor.conversion, "owner")
    sent = {"state": "cleared", "page": SimpleUploadedFile("a.txt", b"hello there"), "revision": row.revision}
    answer = organiser.post(oak.url(f"holds/{row.pk}/"), sent)
    assert answer.status_code == 200 and "This is not a picture" in answer.content.decode()
    row.refresh_from_db()
    assert row.state == "open" and row.document is None


def test_of_two_people_who_write_at_once_the_second_sees_what_stands(oak, noor, organiser):
    row = hold_of(noor.conversion, "owner")
    settle(row, oak, "asked")
    sent = {"state": "cleared", "seen_by": "Vera", "revision": row.revision - 1}
    answer = organiser.post(oak.url(f"holds/{row.pk}/"), sent)
    assert answer.status_code == 409 and "Somebody changed this" in answer.content.decode()
    row.refresh_from_db()
    assert row.state == "asked"


def test_a_page_opened_before_another_answer_clears_nothing(oak, organiser):
    yard = make_agreed(oak)
    visit = answer(oak, yard, septic={"septic": "not sure"})
    row = Hold.of(oak.group).get(conversion=yard, blocks_building=True)
    page = {"state": "cleared", "revision": row.revision}
    answer(oak, yard, visit=visit, septic={"septic": "here"})
    for row in Hold.of(oak.group).filter(conversion=yard, blocks_building=True):
        was = row.state
        assert organiser.post(oak.url(f"holds/{row.pk}/"), page).status_code == 409
        row.refresh_from_db()
        assert row.state == was


def test_a_page_opened_before_the_marks_of_a_day_were_written_clears_nothing(oak, organiser):
    yard = make_agreed(oak)
    holds.note_marks(conversion=yard, by=oak.lead, state="marked", until=oak.today + timedelta(days=9), ticket="T-2")
    row = hold_of(yard, "marks")
    page = {"state": "cleared", "revision": row.revision, "valid_until": "2030-01-01"}
    holds.note_marks(conversion=yard, by=oak.lead, state="asked")
    assert organiser.post(oak.url(f"holds/{row.pk}/"), page).status_code == 409
    assert hold_of(yard, "marks").state == "asked"


def test_a_revision_that_no_page_ever_carried_is_an_old_one(oak, noor, organiser):
    row = hold_of(noor.conversion, "owner")
    answer = organiser.post(oak.url(f"holds/{row.pk}/override/"), {"reason": "They know", "revision": "9" * 5000})
    assert answer.status_code in (302, 409)
