"""Aftercare: the list, writing down, handing over, and the page behind the link."""

import datetime

import pytest
from django.utils import timezone

from conversions.care import actions
from conversions.care.models import CareSheet, FollowUp
from conversions.groups.tenancy import Stale
from conversions.people import links
from conversions.people.models import Link
from tests.builds.rows import make_agreed, make_day
from tests.office.test_close_day import PAPER, as_drawn, close
from tests.rows import make_yard

FOUND = {"how": "phone", "grass": "edge", "card": "no", "plants": "well", "note": "", "again_on": ""}


@pytest.fixture
def garden(oak):
    """A garden built nine days ago: week 1 is due."""
    on = oak.today - datetime.timedelta(days=9)
    day = make_day(oak, make_agreed(oak), on=on)
    as_drawn(oak, day)
    close(oak, day)
    return day.day_patches.get().conversion


@pytest.fixture
def week_1(oak, garden):
    return FollowUp.of(oak.group).get(kind="week 1")


def post(client, oak, row, **values):
    return client.post(
        oak.url(f"follow-ups/{row.pk}/"), {"revision": row.revision, "outcome": "reached", **FOUND, **values}
    )


def test_the_list_shows_what_is_due_and_the_sheet_to_hand_over(oak, client, garden):
    page = oak.sign_in(client, "lead").get(oak.url("aftercare/")).content.decode()
    assert "Due now" in page and "Week 1" in page and "Ruth Okafor, 14 Tansy Row" in page
    assert "Care sheets to hand over" in page and "Handed over" in page
    assert "And 4 that can wait" in page  # season's end and three years; month 1 is nearer than 30 days


def test_a_group_without_a_garden_is_told_where_follow_ups_come_from(oak, client):
    page = oak.sign_in(client, "lead").get(oak.url("aftercare/")).content.decode()
    assert "When you close a build day" in page


def test_the_list_asks_the_same_number_of_questions_for_any_number_of_gardens(
    oak, client, garden, django_assert_num_queries
):
    oak.sign_in(client, "lead")
    for n in range(3):
        day = make_day(oak, make_agreed(oak, make_yard(oak, name=f"N {n}", address=f"{n} Elder Walk")))
        as_drawn(oak, day)
        close(oak, day)
    with django_assert_num_queries(7):
        client.get(oak.url("aftercare/"))


def test_what_was_found_is_kept_with_who_and_when(oak, client, week_1):
    oak.sign_in(client, "lead")
    assert post(client, oak, week_1, note="A cat digs.").status_code == 302
    week_1.refresh_from_db()
    assert (week_1.state, week_1.done_on, week_1.by, week_1.note) == ("done", oak.today, oak.lead, "A cat digs.")
    assert week_1.findings == {"grass": "edge", "card": "no", "plants": "well"}
    page = client.get(oak.url(f"follow-ups/{week_1.pk}/")).content.decode()
    assert "At the edges" in page and "A cat digs." in page


def test_nobody_at_home_adds_a_try_and_asks_nothing_else(oak, client, week_1):
    oak.sign_in(client, "lead")
    blank = dict.fromkeys(("grass", "card", "plants"), "")
    post(client, oak, week_1, outcome="no answer", **blank)
    week_1.refresh_from_db()
    assert week_1.state == "due" and week_1.tries == [{"on": oak.today.isoformat(), "how": "phone"}]
    assert "1 try, no answer" in client.get(oak.url("aftercare/")).content.decode()


def test_a_missing_answer_stands_beside_its_question_and_the_rest_is_kept(oak, client, week_1):
    page = post(oak.sign_in(client, "lead"), oak, week_1, grass="", note="typed with care")
    assert page.status_code == 200 and "Choose one, or “Not asked”." in page.content.decode()
    assert "typed with care" in page.content.decode()
    week_1.refresh_from_db()
    assert week_1.state == "due"


def test_another_look_is_a_follow_up_of_its_own(oak, client, week_1):
    on = oak.today + datetime.timedelta(days=10)
    post(oak.sign_in(client, "lead"), oak, week_1, again_on=on.isoformat())
    again = FollowUp.of(oak.group).get(kind="rescue")
    assert (again.due_on, again.n, again.words) == (on, 1, "Another look")


def test_another_look_in_the_past_is_refused_beside_its_field(oak, client, week_1):
    page = post(oak.sign_in(client, "lead"), oak, week_1, again_on=oak.today.isoformat())
    assert "Choose a day that is still to come." in page.content.decode()
    week_1.refresh_from_db()
    assert week_1.state == "due"


def test_the_slower_of_two_people_sees_both(oak, client, week_1):
    kept = {"grass": "no", "card": "no", "plants": "well"}
    actions.record_follow_up(follow_up=week_1, revision=1, by=oak.organiser, how="visit", findings=kept, note="first")
    page = oak.sign_in(client, "lead").post(
        oak.url(f"follow-ups/{week_1.pk}/"), {"revision": 1, "outcome": "reached", **FOUND, "note": "second"}
    )
    text = page.content.decode()
    assert "first" in text and "second" in text
    assert FollowUp.of(oak.group).get(pk=week_1.pk).note == "first"


def test_a_try_against_an_older_revision_is_told(oak, week_1):
    actions.note_no_answer(follow_up=week_1, revision=1, by=oak.lead, how="phone")
    with pytest.raises(Stale):
        actions.note_no_answer(follow_up=week_1, revision=1, by=oak.lead, how="phone")


def test_the_paper_is_the_one_that_was_kept(oak, client, garden):
    sheet = CareSheet.of(oak.group).get()
    response = oak.sign_in(client, "lead").get(oak.url(f"care-sheets/{sheet.pk}/paper.pdf"))
    assert response["Content-Type"] == "application/pdf" and response.content == PAPER


def test_handing_over_is_noted_once_and_takes_the_sheet_off_the_list(oak, client, garden):
    sheet = CareSheet.of(oak.group).get()
    oak.sign_in(client, "lead")
    url = oak.url(f"care-sheets/{sheet.pk}/handed/")
    assert client.get(url).status_code == 405
    client.post(url)
    sheet.refresh_from_db()
    assert sheet.handed_over_on == oak.today
    assert "Care sheets to hand over" not in client.get(oak.url("aftercare/")).content.decode()


def test_visitors_readers_and_helpers_do_not_see_aftercare(oak, client):
    for role in ("visitor", "reader", "helper"):
        assert oak.sign_in(client, role).get(oak.url("aftercare/")).status_code == 403


def care_link(oak) -> Link:
    return Link.of(oak.group).get(purpose="care")


def test_the_link_opens_the_page_and_the_paper_without_an_account(oak, client, garden):
    token = links.token(care_link(oak))
    page = client.get(f"/c/{token}/")
    assert page.status_code == 200 and "Looking after your garden" in page.content.decode()
    assert page["Referrer-Policy"] == "no-referrer" and "no-store" in page["Cache-Control"]
    assert client.get(f"/c/{token}/sheet.pdf").content == PAPER


def test_an_old_link_opens_the_newest_sheet(oak, client, garden):
    first = care_link(oak)
    day = CareSheet.of(oak.group).get().day
    actions.write_sheet(
        conversion=garden, day=day, paper=b"%PDF the second", title="Care", why_again="Back lawn finished"
    )
    assert client.get(f"/c/{links.token(first)}/sheet.pdf").content == b"%PDF the second"


def test_a_dead_link_is_a_human_page_with_a_phone(oak, client, garden):
    link = care_link(oak)
    token = links.token(link)
    Link.of(oak.group).filter(pk=link.pk).update(revoked_at=timezone.now())
    for path in (f"/c/{token}/", f"/c/{token}/sheet.pdf"):
        page = client.get(path)
        assert page.status_code == 410 and oak.group.phone in page.content.decode()
    assert client.get("/c/1.forged/").status_code == 404
