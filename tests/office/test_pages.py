"""The first page and the two pages of closing a day."""

import datetime
from io import BytesIO

import pytest
from pypdf import PdfReader

from conversions.builds.models import Day, Ground
from conversions.care.models import CareSheet, FollowUp
from tests.builds.rows import make_agreed, make_day
from tests.office.test_close_day import as_drawn, close
from tests.rows import make_yard

QUERIES = 47  # of the first page, with the gates of the three nearest days


def page(client, oak, path=""):
    response = client.get(oak.url(path))
    assert response.status_code == 200
    return response.content.decode()


def test_a_group_without_a_yard_gets_the_seven_layers_and_one_button(oak, organiser):
    text = page(organiser, oak)
    assert "The first garden, layer by layer" in text and "Write down an enquiry" in text
    assert text.count('use href="#stack-') == 7
    assert "year’s ground" not in text


def test_a_group_with_one_yard_sees_where_it_stands(oak, organiser):
    make_yard(oak)
    text = page(organiser, oak)
    assert "Where the yard stands" in text and "Book the visit" in text and "That’s all." in text


def test_five_needs_are_shown_and_the_others_can_wait(oak, organiser):
    for n in range(8):
        make_yard(oak, name=f"N{n}", address=f"{n} Elder Walk")
    text = page(organiser, oak)
    assert "And 3 that can wait" in text and "Where the yard stands" not in text


def test_the_first_page_asks_the_same_number_of_questions_for_any_number_of_yards(
    oak, organiser, django_assert_num_queries
):
    def more(n):
        make_yard(oak, name=f"E{n}", address=f"{n} Elder Walk")
        make_agreed(oak, make_yard(oak, name=f"A{n}", address=f"{n} Birch Lane"))
        booked = make_agreed(oak, make_yard(oak, name=f"B{n}", address=f"{n} Ash Walk"))
        make_day(oak, booked, on=oak.today + datetime.timedelta(days=n + 1))

    for n in range(1, 4):
        more(n)
    with django_assert_num_queries(QUERIES):
        page(organiser, oak)
    for n in range(4, 7):
        more(n)
    with django_assert_num_queries(QUERIES):
        page(organiser, oak)


def test_readers_see_numbers_and_helpers_a_phone(oak, client):
    make_yard(oak)
    reader = page(oak.sign_in(client, "reader"), oak)
    assert "year’s ground" in reader and "Okafor" not in reader
    helper = page(oak.sign_in(client, "helper"), oak)
    assert oak.group.phone in helper and "year’s ground" not in helper and "Okafor" not in helper


def test_the_day_is_closed_from_its_page_with_a_real_care_sheet(oak, client):
    day = make_day(oak)
    as_drawn(oak, day)
    oak.sign_in(client, "lead")
    before = page(client, oak, f"days/{day.pk}/close/")
    assert "What will be counted" in before and "Front lawn" in before and "Care sheets made" in before
    day.refresh_from_db()
    response = client.post(oak.url(f"days/{day.pk}/close/"), {"revision": day.revision}, follow=True)
    text = response.content.decode()
    assert response.redirect_chain and "of lawn converted" in text and "/c/" in text and "Week 1" in text
    sheet = CareSheet.of(oak.group).get()
    assert "14 Tansy Row" in PdfReader(BytesIO(bytes(sheet.document.content))).pages[0].extract_text()
    again = client.post(oak.url(f"days/{day.pk}/close/"), {"revision": day.revision})
    assert again.status_code == 200 and "Nothing is counted twice." in again.content.decode()
    assert (Ground.of(oak.group).count(), FollowUp.of(oak.group).count()) == (1, 6)


def test_a_patch_nobody_wrote_about_is_named_and_cannot_be_forced(oak, client):
    day = make_day(oak)
    oak.sign_in(client, "lead")
    text = page(client, oak, f"days/{day.pk}/close/")
    assert "Nothing is written down yet." in text and 'name="revision"' not in text
    response = client.post(oak.url(f"days/{day.pk}/close/"), {"revision": day.revision})
    assert response.status_code == 422 and "Not written down yet: Front lawn" in response.content.decode()
    assert Day.of(oak.group).get().is_open


def test_a_revision_that_is_no_number_or_old_closes_nothing(oak, client):
    day = make_day(oak)
    as_drawn(oak, day)
    oak.sign_in(client, "lead")
    assert client.post(oak.url(f"days/{day.pk}/close/"), {"revision": "x"}).status_code == 422
    assert client.post(oak.url(f"days/{day.pk}/close/"), {"revision": 99}).status_code == 409
    assert Day.of(oak.group).get().is_open and not Ground.of(oak.group).exists()


def test_a_day_to_come_says_so(oak, client):
    day = make_day(oak, on=oak.today + datetime.timedelta(days=3))
    oak.sign_in(client, "lead")
    assert "once it is over" in page(client, oak, f"days/{day.pk}/close/")
    assert client.post(oak.url(f"days/{day.pk}/close/"), {"revision": day.revision}).status_code == 422


def test_a_group_without_a_phone_is_told_before_the_sheet_is_made(oak, client):
    oak.group.phone = ""
    oak.group.save()
    day = make_day(oak)
    as_drawn(oak, day)
    assert "cannot say whom to ring" in page(oak.sign_in(client, "lead"), oak, f"days/{day.pk}/close/")


def test_visitors_readers_and_helpers_close_no_day(oak, client):
    day = make_day(oak)
    for role, status in (("visitor", 403), ("reader", 403), ("helper", 404)):
        assert oak.sign_in(client, role).get(oak.url(f"days/{day.pk}/close/")).status_code == status


@pytest.mark.parametrize("role", ["helper", "visitor"])
def test_the_deputy_closes_the_day_and_hands_the_sheet_over(oak, client, role):
    day = make_day(oak, deputy=getattr(oak, role))
    as_drawn(oak, day)
    day.refresh_from_db()
    oak.sign_in(client, role)
    assert "What will be counted" in page(client, oak, f"days/{day.pk}/close/")
    response = client.post(oak.url(f"days/{day.pk}/close/"), {"revision": day.revision}, follow=True)
    text = response.content.decode()
    assert "of lawn converted" in text and oak.url("aftercare/") not in text
    sheet = CareSheet.of(oak.group).get()
    assert client.get(oak.url(f"care-sheets/{sheet.pk}/paper.pdf"))["Content-Type"] == "application/pdf"
    after = client.post(oak.url(f"care-sheets/{sheet.pk}/handed/"), {"from": "day"}, follow=True)
    assert "Handed over on" in after.content.decode()
    assert client.get(oak.url("aftercare/")).status_code == 403


def test_the_deputy_of_one_day_opens_no_sheet_of_another(oak, client):
    make_day(oak, on=oak.today + datetime.timedelta(days=5), deputy=oak.helper)
    day = make_day(oak, make_agreed(oak, make_yard(oak, name="B", address="2 Elder Walk")))
    as_drawn(oak, day)
    close(oak, day)
    sheet = CareSheet.of(oak.group).get()
    oak.sign_in(client, "helper")
    assert client.get(oak.url(f"care-sheets/{sheet.pk}/paper.pdf")).status_code == 403
    assert client.post(oak.url(f"care-sheets/{sheet.pk}/handed/")).status_code == 403
    assert CareSheet.of(oak.group).get().handed_over_on is None


def test_another_groups_day_is_not_there(oak, elm, client):
    day = make_day(elm)
    assert oak.sign_in(client).get(oak.url(f"days/{day.pk}/close/")).status_code == 404
