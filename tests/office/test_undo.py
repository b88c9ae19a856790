"""Slips put right: an enquiry typed twice, an answer that was not theirs, a day closed too early."""

import datetime
import re
from decimal import Decimal

import pytest
import time_machine
from django.core.exceptions import ValidationError
from django.urls import reverse

from conversions.builds import ledger
from conversions.builds.actions import record_as_built
from conversions.builds.models import Day, Ground
from conversions.care.actions import record_follow_up
from conversions.care.models import CareSheet, FollowUp
from conversions.groups.tenancy import Stale
from conversions.office import undo
from conversions.office.close_day import close_day
from conversions.people import outbox
from conversions.people.models import Event, Link, Message, Person
from conversions.quotes.answers import record_reply
from conversions.quotes.models import Quote, Reply
from conversions.quotes.taken_back import take_back_answer
from conversions.tally import counts
from conversions.visits.actions import add_entries, book_visit
from conversions.yards.models import Conversion, Draft, Household, Patch, Photo, Place, Planned
from tests.builds.rows import make_agreed, make_day
from tests.office.test_close_day import as_drawn
from tests.rows import make_kept, make_newer, make_quote, make_sent, make_yard, rectangle

PAPER = b"%PDF-1.7 the care sheet as it was drawn"
ROWS = (Conversion, Household, Place, Person, Draft, Patch, Planned, Quote)


def text(answer) -> str:
    return answer.content.decode()


def counted(world) -> list[int]:
    return [model.of(world.group).count() for model in ROWS]


# ---- an enquiry typed twice


def test_an_enquiry_typed_twice_goes_without_a_trace_but_the_history_of_the_other(organiser, oak):
    first = make_yard(oak)
    before = counted(oak)
    second = make_yard(oak, name="Ruth Okafour", address="14 Tansy Rd")
    page = text(organiser.get(oak.url(f"yards/{second.pk}/undo/")))
    assert "What will happen" in page and 'value="Written down twice"' in page
    assert reverse("yard", args=["oak", first.pk]) in page
    answer = organiser.post(oak.url(f"yards/{second.pk}/undo/"), {"reason": "Written down twice"})
    assert answer["Location"] == oak.url(f"yards/{first.pk}/")
    assert counted(oak) == before
    told = Event.of(oak.group).get(verb="enquiry-taken-back")
    assert (told.conversion_id, told.words, told.by) == (first.pk, "Written down twice", oak.organiser)


def test_what_was_drawn_quoted_and_answered_on_it_goes_with_it(organiser, oak):
    quote = make_quote(oak)
    yard = quote.conversion
    visit = book_visit(conversion=yard, by=oak.visitor, due_at=datetime.datetime.now(datetime.UTC))
    add_entries(visit=visit, by=oak.visitor, entries=[{"question": "sun", "value": {"sun": "3 to 6"}}])
    add_entries(visit=visit, by=oak.visitor, entries=[{"question": "sun", "value": {"sun": "over 6"}}])
    page = text(organiser.get(oak.url(f"yards/{yard.pk}/undo/")))
    for words in ("1 visit", "1 answer from a visit", "1 drawing", "A quote that was never sent"):
        assert words in page
    undo.take_back_enquiry(conversion=yard, by=oak.organiser, reason="By mistake")
    assert counted(oak) == [0] * len(ROWS)
    assert not visit.__class__.of(oak.group).exists()


def test_a_second_run_of_the_same_people_takes_only_itself_back(oak):
    draft = make_kept(oak)
    again = make_yard(oak, household=draft.conversion.household)
    stays = undo.take_back_enquiry(conversion=again, by=oak.organiser, reason="By mistake")
    assert stays == draft.conversion
    assert (Place.of(oak.group).count(), Person.of(oak.group).count(), Patch.of(oak.group).count()) == (1, 1, 1)


@pytest.mark.parametrize("reach", ["ruth@oak.example", "000 321 321"])
def test_what_waited_to_be_told_about_it_is_told_to_nobody(organiser, oak, reach):
    stays, mistake = make_yard(oak), make_yard(oak, name="Ruth Okafour", address="14 Tansy Rd", reach=reach)
    for yard in (stays, mistake):
        outbox.queue(
            key=f"quote-reminder:{yard.pk}", kind="quote-reminder", person=yard.household.contact, conversion=yard
        )
    assert organiser.post(oak.url(f"yards/{mistake.pk}/undo/"), {"reason": "Twice"}).status_code == 302
    assert [row.conversion_id for row in Message.of(oak.group)] == [stays.pk]
    assert outbox.deliver_next() is None


def test_an_enquiry_with_a_sent_paper_stays(organiser, oak):
    quote = make_sent(oak)
    page = text(organiser.post(oak.url(f"yards/{quote.conversion_id}/undo/"), {"reason": "By mistake"}))
    assert "Something was sent to them about it." in page
    assert Conversion.of(oak.group).exists() and Message.of(oak.group).exists()


def test_an_enquiry_with_a_build_day_stays(oak):
    yard = make_agreed(oak)
    make_day(oak, yard)
    with pytest.raises(ValidationError, match="build day"):
        undo.take_back_enquiry(conversion=yard, by=oak.organiser, reason="By mistake")


def test_pictures_are_moved_first(oak):
    yard = make_yard(oak)
    Photo.everywhere.create(group=oak.group, place=yard.place, taken_for="visit", taken_for_id=1, original_sha256="0",
                            original_bytes=9, view_key="a", thumb_key="b", width=4, height=3)  # fmt: skip
    with pytest.raises(ValidationError, match="pictures"):
        undo.take_back_enquiry(conversion=yard, by=oak.organiser, reason="By mistake")


def test_a_person_who_helps_too_is_kept(oak):
    yard = make_yard(oak)
    contact = yard.household.contact
    contact.can_do = "barrows"
    contact.save()
    undo.take_back_enquiry(conversion=yard, by=oak.organiser, reason="By mistake")
    assert list(Person.of(oak.group)) == [contact] and not Household.of(oak.group).exists()


def test_a_reason_is_asked_for_and_what_was_typed_stays(organiser, oak):
    yard = make_yard(oak)
    assert "This field is required." in text(organiser.post(oak.url(f"yards/{yard.pk}/undo/"), {"reason": " "}))
    assert Conversion.of(oak.group).exists()


def test_a_second_press_finds_nothing_to_take_back(organiser, oak):
    make_yard(oak)
    url = oak.url(f"yards/{make_yard(oak, name='Ruth Okafour').pk}/undo/")
    assert organiser.post(url, {"reason": "twice"}).status_code == 302
    assert organiser.post(url, {"reason": "twice"}).status_code == 404
    assert Conversion.of(oak.group).count() == 1


# ---- the wrong person's yes


def said(quote, answer="yes", **more):
    return record_reply(quote=quote, answer=answer, route="person", name="The neighbour", by=more.pop("by"), **more)


def test_the_wrong_persons_yes_is_taken_back_and_the_quote_waits_again(organiser, oak):
    quote = make_sent(oak)
    yes = said(quote, by=oak.organiser)
    assert reverse("reply-undo", args=["oak", quote.pk]) in text(organiser.get(oak.url(f"quotes/{quote.pk}/")))
    answer = organiser.post(oak.url(f"quotes/{quote.pk}/reply/undo/"), {"reason": "It was her neighbour"})
    assert answer["Location"] == oak.url(f"quotes/{quote.pk}/")
    quote.refresh_from_db()
    assert quote.state == "sent"
    back = Reply.of(oak.group).get(answer="taken back")
    assert (back.replaces, back.words, back.counts) == (yes, "It was her neighbour", False)
    assert not Reply.of(oak.group).filter(counts=True).exists()
    assert Event.of(oak.group).filter(verb="reply-taken-back", words="It was her neighbour").exists()
    assert "Taken back by us" in text(organiser.get(oak.url(f"quotes/{quote.pk}/")))


def test_the_right_person_may_answer_afterwards_and_counts_once(oak):
    quote = make_sent(oak)
    said(quote, by=oak.organiser)
    take_back_answer(quote=quote, by=oak.organiser, reason="It was her neighbour")
    right = record_reply(quote=quote, answer="yes", route="person", name="Ruth Okafor", by=oak.organiser)
    assert list(Reply.of(oak.group).filter(counts=True)) == [right]
    assert Quote.of(oak.group).get().state == "accepted"


def test_a_no_written_down_by_mistake_takes_the_yard_up_again(oak):
    quote = make_sent(oak)
    said(quote, "no", by=oak.organiser)
    assert Conversion.of(oak.group).get().outcome == "declined"
    take_back_answer(quote=quote, by=oak.organiser, reason="We misheard")
    assert (Conversion.of(oak.group).get().outcome, Quote.of(oak.group).get().state) == ("", "sent")


def test_a_yes_with_a_build_day_stays_until_the_day_is_called_off(organiser, oak):
    yard = make_agreed(oak)
    day = make_day(oak, yard)
    quote = Quote.of(oak.group).get()
    page = text(organiser.post(oak.url(f"quotes/{quote.pk}/reply/undo/"), {"reason": "wrong"}))
    assert "Call the day off first." in page
    Day.of(oak.group).filter(pk=day.pk).update(state="cancelled")
    assert take_back_answer(quote=quote, by=oak.organiser, reason="wrong").answer == "taken back"


def test_where_a_newer_version_is_open_the_older_is_replaced(oak):
    quote = make_sent(oak)
    said(quote, by=oak.organiser)
    newer = make_sent(oak, make_newer(oak, quote))
    quote.refresh_from_db()
    assert (quote.state, newer.state) == ("accepted", "sent")
    take_back_answer(quote=quote, by=oak.organiser, reason="wrong")
    assert (quote.state, Quote.of(oak.group).get(pk=newer.pk).state) == ("replaced", "sent")


def test_an_unanswered_quote_has_nothing_to_take_back(oak):
    with pytest.raises(ValidationError, match="no answer"):
        take_back_answer(quote=make_sent(oak), by=oak.organiser, reason="wrong")


# ---- a day closed too early


def built(world, day, area=None, **more):
    for row in day.day_patches.select_related("patch"):
        record_as_built(day=day, patch=row.patch, by=world.lead, area_m2=area, **more)


def close(world, day):
    day.refresh_from_db()
    sheets = dict.fromkeys(day.day_patches.values_list("conversion", flat=True), PAPER)
    return close_day(day=day, by=world.lead, revision=day.revision, sheets=sheets)


def reopen(world, day, reason="The back was not finished"):
    day.refresh_from_db()
    return undo.reopen_day(day=day, by=world.lead, revision=day.revision, reason=reason)


def test_opening_again_takes_the_ground_out_of_the_tally_and_keeps_the_rows(oak):
    day = make_day(oak)
    built(oak, day)
    close(oak, day)
    first = Ground.of(oak.group).get()
    assert reopen(oak, day).state == "under way"
    rows = Ground.of(oak.group).order_by("pk")
    assert [row.m2 for row in rows] == [first.m2, -first.m2]
    assert rows[1].reason == "The back was not finished"
    assert ledger.standing_m2(first.patch) == 0
    assert Planned.of(oak.group).get().complete_on is None
    year = counts.year(oak.group, oak.today.year)
    assert (year.total_m2, year.growing_m2, year.households, year.as_drawn) == (0, 0, 0, 0)
    assert (year.materials.sheets, year.materials.unknown) == (0, 0)
    assert [month.yards for month in year.months] == [0]
    events = Event.of(oak.group).filter(verb="day-reopened")
    assert [(row.day_id, row.words) for row in events] == [(day.pk, "The back was not finished")]


def test_closing_again_counts_afresh_and_never_twice(oak):
    day = make_day(oak)
    built(oak, day)
    close(oak, day)
    whole = Ground.of(oak.group).get().m2
    reopen(oak, day)
    built(oak, day, Decimal("30.00"), why_different="taped")
    close(oak, day)
    patch = day.day_patches.get().patch
    assert ledger.standing_m2(patch) == Decimal("30.00") < whole
    year = counts.year(oak.group, oak.today.year)
    assert (year.total_m2, year.households, [month.yards for month in year.months]) == (Decimal("30.00"), 1, [1])
    used = year.materials.sheets
    reopen(oak, day)
    close(oak, day)
    assert ledger.standing_m2(patch) == Decimal("30.00")
    assert counts.year(oak.group, oak.today.year).materials.sheets == used > 0
    assert Ground.of(oak.group).exclude(kind="correction").count() == 1


def test_the_beds_are_counted_afresh_too(oak):
    day = make_day(oak)
    built(oak, day)
    close(oak, day)
    growing = counts.year(oak.group, oak.today.year).growing_m2
    reopen(oak, day)
    close(oak, day)
    assert counts.year(oak.group, oak.today.year).growing_m2 == growing > 0


def test_follow_ups_wait_with_the_day_and_are_counted_from_the_new_date(oak):
    with time_machine.travel("2026-05-09T15:00:00Z", tick=False):
        day = make_day(oak, on=datetime.date(2026, 5, 9))
        built(oak, day)
        close(oak, day)
        reopen(oak, day)
    assert set(FollowUp.of(oak.group).values_list("state", flat=True)) == {"dropped"}
    with time_machine.travel("2026-05-16T15:00:00Z", tick=False):
        Day.of(oak.group).update(on=datetime.date(2026, 5, 16))
        day.refresh_from_db()
        built(oak, day, why_different="finished a week later")
        close(oak, day)
    rows = FollowUp.of(oak.group)
    assert rows.count() == 6 and set(rows.values_list("state", flat=True)) == {"due"}
    assert rows.get(kind="week 1").due_on == datetime.date(2026, 5, 23)
    assert (counts.year(oak.group, 2026).total_m2, Planned.of(oak.group).get().complete_on) == (
        ledger.standing_m2(day.day_patches.get().patch),
        datetime.date(2026, 5, 16),
    )


def test_a_follow_up_somebody_noted_stays_and_is_not_asked_for_again(oak):
    day = make_day(oak)
    built(oak, day)
    close(oak, day)
    week = FollowUp.of(oak.group).get(kind="week 1")
    record_follow_up(follow_up=week, revision=1, by=oak.lead, how="phone", findings={"grass": "no"})
    reopen(oak, day)
    close(oak, day)
    week.refresh_from_db()
    assert week.state == "done"
    assert FollowUp.of(oak.group).filter(state="due").count() == 5


def test_another_days_patch_keeps_its_follow_ups_which_then_count_from_it(oak):
    yard = make_agreed(oak, None, rectangle(), rectangle("5", "4", label="Back lawn", zone="back"))
    with time_machine.travel("2026-05-09T15:00:00Z", tick=False):
        day = make_day(oak, yard, on=datetime.date(2026, 5, 9))
        front, back = day.day_patches.select_related("patch").order_by("patch__label").reverse()
        record_as_built(day=day, patch=front.patch, by=oak.lead)
        record_as_built(day=day, patch=back.patch, by=oak.lead, area_m2=Decimal(0), is_complete=False)
        close(oak, day)
    with time_machine.travel("2026-05-23T15:00:00Z", tick=False):
        later = make_day(oak, yard, on=datetime.date(2026, 5, 23))
        for row in later.day_patches.select_related("patch"):
            record_as_built(day=later, patch=row.patch, by=oak.lead)
        close(oak, later)
        reopen(oak, day)
        week = FollowUp.of(oak.group).get(kind="week 1")
        assert (week.state, week.due_on) == ("due", datetime.date(2026, 5, 30))
        assert Planned.of(oak.group).get(patch=back.patch).complete_on == datetime.date(2026, 5, 23)


def test_the_old_care_sheets_link_ends_and_the_new_sheet_has_its_own(client, oak):
    day = make_day(oak)
    built(oak, day)
    close(oak, day)
    old = Link.of(oak.group).get(purpose="care")
    reopen(oak, day)
    old.refresh_from_db()
    assert old.revoked_at
    assert not CareSheet.of(oak.group).to_hand_over().exists()
    assert set(Message.of(oak.group).filter(kind="care-sheet").values_list("state", flat=True)) == {"dropped"}
    close(oak, day)
    first, second = CareSheet.of(oak.group).order_by("n")
    assert list(CareSheet.of(oak.group).to_hand_over()) == [second]
    assert Link.of(oak.group).get(purpose="care", revoked_at=None).subject_id == second.pk


def test_a_second_press_opens_once_and_a_day_changed_meanwhile_not_at_all(oak):
    day = make_day(oak)
    built(oak, day)
    close(oak, day)
    revision = day.revision
    with pytest.raises(Stale):
        undo.reopen_day(day=day, by=oak.lead, revision=revision - 1, reason="x")
    undo.reopen_day(day=day, by=oak.lead, revision=revision, reason="x")
    undo.reopen_day(day=day, by=oak.lead, revision=revision, reason="x")
    assert Ground.of(oak.group).count() == 2


def test_a_day_in_a_published_period_stays_closed(oak, monkeypatch):
    day = make_day(oak)
    built(oak, day)
    close(oak, day)
    monkeypatch.setattr(ledger, "count_on", lambda group, on: on + datetime.timedelta(days=400))
    with pytest.raises(ValidationError, match="published"):
        reopen(oak, day)
    assert Day.of(oak.group).get().state == "closed"


def test_a_rescue_opens_again_without_touching_what_was_built(oak):
    day = make_day(oak)
    built(oak, day)
    close(oak, day)
    stands = ledger.standing_m2(day.day_patches.get().patch)
    rescue = make_day(oak, day.day_patches.get().conversion, kind="rescue")
    built(oak, rescue)
    close(oak, rescue)
    reopen(oak, rescue)
    assert ledger.standing_m2(day.day_patches.get().patch) == stands
    assert Planned.of(oak.group).get().complete_on == oak.today
    assert FollowUp.of(oak.group).filter(state="due").count() == 6


def test_the_page_tells_what_will_happen_and_the_button_does_it(client, oak):
    day = make_day(oak)
    built(oak, day)
    close(oak, day)
    oak.sign_in(client, "lead")
    url = oak.url(f"days/{day.pk}/reopen/")
    assert url in text(client.get(oak.url(f"days/{day.pk}/close/")))
    page = text(client.get(url))
    assert "Its square metres leave the tally until the day is closed again." in page
    assert "6 follow-ups wait with it" in page
    stale = client.post(url, {"reason": "too early", "revision": day.revision - 1})
    assert stale.status_code == 409 and 'value="too early"' in text(stale)
    assert client.post(url, {"reason": "too early", "revision": day.revision}).status_code == 302
    assert Day.of(oak.group).get().state == "under way"
    assert "This day is not closed." in text(client.get(url))


def test_the_days_deputy_may_open_it_again_and_another_helper_not(client, oak):
    day = make_day(oak, deputy=oak.helper)
    built(oak, day)
    close(oak, day)
    assert oak.sign_in(client, "helper").get(oak.url(f"days/{day.pk}/reopen/")).status_code == 200
    other = make_day(
        oak, make_agreed(oak, make_yard(oak, name="Sol Marin", reach="000 5 555 5", address="1 Upper Fold"))
    )
    assert client.get(oak.url(f"days/{other.pk}/reopen/")).status_code == 404


def test_of_several_care_sheets_the_yard_says_which_one_counts(organiser, oak):
    day = make_day(oak)
    as_drawn(oak, day)
    yard = day.day_patches.get().conversion

    def page():
        words = re.sub(r"<[^>]+>", " ", organiser.get(oak.url(f"yards/{yard.pk}/")).content.decode())
        return re.sub(r"\s+", " ", words)

    closed = close(oak, day)
    assert "Care sheet" in page() and "this one counts" not in page(), "one alone needs no word"
    undo.reopen_day(day=closed, by=oak.organiser, revision=closed.revision, reason="One patch was missing.")
    assert "Care sheet waits until its day is closed again" in page()
    close(oak, day)
    assert "Care sheet 2 this one counts" in page() and "Care sheet an earlier one" in page()
