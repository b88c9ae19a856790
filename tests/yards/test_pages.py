"""The list of yards, one yard, changing it, and its pictures."""

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.urls import reverse

from conversions.people.actions import change_person
from conversions.quotes.answers import record_reply
from conversions.yards.models import Conversion, Photo
from tests.rows import make_kept, make_open, make_quote, make_sent, make_yard


def text(answer) -> str:
    return answer.content.decode()


def test_a_group_without_a_yard_is_told_what_comes_first(organiser, oak):
    page = text(organiser.get(oak.url("yards/")))
    assert "No yard yet" in page
    assert reverse("enquiry", args=["oak"]) in page


def test_the_list_shows_each_yard_with_its_stage_and_next_step(organiser, oak):
    make_kept(oak, make_yard(oak))
    make_yard(oak, name="Tomasz Brandt", reach="000 555 666", address="3 Sorrel Court")
    page = text(organiser.get(oak.url("yards/")))
    assert "2 in all. 2 shown." in page
    assert "<b>Enquiry.</b> Quote the plan" in page
    assert "<b>Enquiry.</b> Book a visit" in page
    assert '<b>49.0</b> <span class="u">m²</span>' in page
    assert "not measured" in page


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("okafor", True),
        ("ÓKAFOR", True),
        ("tansy 14", True),
        ("okafor tansy", True),
        ("000111222", True),
        ("(000) 111", True),
        ("brandt tansy", False),
        ("999999", False),
        ("%", False),
    ],
)
def test_a_yard_is_found_by_name_street_or_number_however_it_is_written(organiser, oak, asked, found):
    make_yard(oak)
    page = text(organiser.get(oak.url("yards/"), {"q": asked}))
    assert ("Ruth Okafor, 14 Tansy Row" in page) is found


def test_the_list_narrows_to_one_stage(organiser, oak):
    make_yard(oak)
    assert "Ruth Okafor" in text(organiser.get(oak.url("yards/"), {"stage": "enquiry"}))
    page = text(organiser.get(oak.url("yards/"), {"stage": "built"}))
    assert "Ruth Okafor" not in page
    assert "No yard fits." in page


def test_a_long_list_takes_as_many_queries_as_a_short_one(organiser, oak, django_assert_num_queries):
    make_kept(oak, make_yard(oak))
    with django_assert_num_queries(13):
        organiser.get(oak.url("yards/"))
    for n in range(6):
        make_open(oak, make_yard(oak, name=f"House {n}", reach=f"000 111 00{n}", address=f"{n} Sorrel Court"))
    with django_assert_num_queries(13):
        organiser.get(oak.url("yards/"))


def test_the_list_holds_no_yard_of_another_group(organiser, oak, elm):
    make_yard(elm)
    assert "Ruth Okafor" not in text(organiser.get(oak.url("yards/")))
    assert organiser.get(oak.url(f"yards/{Conversion.of(elm.group).get().pk}/")).status_code == 404


def test_a_yard_shows_who_it_is_how_to_ring_and_what_comes_next(organiser, oak):
    row = make_yard(oak, wish="Beans, and no more mowing.", note="Dog in the yard")
    page = text(organiser.get(oak.url(f"yards/{row.pk}/")))
    assert 'href="tel:000111222"' in page
    assert "Beans, and no more mowing." in page
    assert "Dog in the yard" in page
    assert reverse("visit-book", args=["oak", row.pk]) in page
    assert reverse("plan", args=["oak", row.pk]) in page


def test_a_yard_with_an_address_to_write_to_can_be_written_to(organiser, oak):
    row = make_yard(oak, reach="ruth@oak.example")
    assert 'href="mailto:ruth@oak.example"' in text(organiser.get(oak.url(f"yards/{row.pk}/")))


def test_a_kept_plan_stands_on_its_yard_with_figures_and_asks_to_be_quoted(organiser, oak):
    draft = make_kept(oak)
    page = text(organiser.get(oak.url(f"yards/{draft.conversion_id}/")))
    assert "<svg" in page[page.index('id="h-plan"') :]
    assert "528 sq ft" in page
    assert reverse("quote-draft", args=["oak", draft.conversion_id]) in page


def test_a_household_that_wants_to_talk_is_to_be_rung(organiser, oak):
    quote = make_sent(oak)
    yards = oak.url("yards/")
    assert "Quote sent today" in text(organiser.get(yards))
    record_reply(quote=quote, answer="talk", route="person", name="Ruth Okafor", by=oak.organiser)
    page = text(organiser.get(yards))
    assert "They want to talk. Ring them" in page
    assert "Quote sent today" not in page


def test_quotes_and_their_answers_take_as_many_queries_for_many_yards_as_for_one(
    organiser, oak, django_assert_num_queries
):
    for number in range(1, 4):
        quote = make_sent(oak, make_quote(oak, make_kept(oak, make_yard(oak, address=f"{number} Upper Fold"))))
        record_reply(quote=quote, answer="talk", route="person", name="Ruth Okafor", by=oak.organiser)
        with django_assert_num_queries(14):
            organiser.get(oak.url("yards/"))


def test_a_lead_sees_the_yard_and_no_way_to_draw_on_it(client, oak):
    draft = make_kept(oak)
    page = text(oak.sign_in(client, "lead").get(oak.url(f"yards/{draft.conversion_id}/")))
    assert reverse("plan", args=["oak", draft.conversion_id]) not in page
    assert reverse("yard-edit", args=["oak", draft.conversion_id]) not in page
    assert client.get(oak.url(f"yards/{draft.conversion_id}/plan/")).status_code == 403


def changed(row, **changes) -> dict:
    return {
        "name": "Ruth Okafor",
        "phone": "000 111 222",
        "email": "",
        "route": "phone",
        "tenure": "own",
        "unit": "",
        "wish": "",
        "note": "",
        "revision": row.revision,
        "person_revision": row.household.contact.revision,
        **changes,
    }


def test_what_was_written_about_a_yard_can_be_changed(organiser, oak):
    row = make_yard(oak)
    organiser.post(oak.url(f"yards/{row.pk}/edit/"), changed(row, wish="Apples", tenure="rent", unit="Flat 2"))
    row = Conversion.of(oak.group).get()
    assert (row.wish, row.household.tenure, row.place.key) == ("Apples", "rent", "14 tansy row flat 2")


def test_a_route_needs_its_number(organiser, oak):
    row = make_yard(oak)
    page = text(organiser.post(oak.url(f"yards/{row.pk}/edit/"), changed(row, route="email", wish="Apples")))
    assert "Needed, if that is how they like to be reached." in page
    assert "Apples" in page


def test_the_later_of_two_who_change_a_yard_sees_both_and_keeps_what_was_typed(organiser, oak):
    row = make_yard(oak)
    organiser.post(oak.url(f"yards/{row.pk}/edit/"), changed(row, wish="Apples"))
    page = text(organiser.post(oak.url(f"yards/{row.pk}/edit/"), changed(row, wish="Pears")))
    assert "Somebody saved this while you were typing" in page
    assert "<td>Apples</td><td>Pears</td>" in page
    assert Conversion.of(oak.group).get().wish == "Apples"
    organiser.post(oak.url(f"yards/{row.pk}/edit/"), changed(row, wish="Pears", revision=2))
    assert Conversion.of(oak.group).get().wish == "Pears"


def test_what_somebody_changed_of_the_person_meanwhile_is_not_written_over(organiser, oak):
    row = make_yard(oak)
    page = changed(row, wish="Apples")
    change_person(person=row.household.contact, revision=1, by=oak.visitor, phone="000 999 888")
    answer = text(organiser.post(oak.url(f"yards/{row.pk}/edit/"), page))
    assert "Somebody saved this while you were typing" in answer and "<td>000 999 888</td>" in answer
    row = Conversion.of(oak.group).get()
    assert (row.wish, row.household.contact.phone) == ("", "000 999 888")
    organiser.post(oak.url(f"yards/{row.pk}/edit/"), changed(row, wish="Apples"))
    row = Conversion.of(oak.group).get()
    assert (row.wish, row.household.contact.phone) == ("Apples", "000 111 222")


def test_a_second_conversion_begins_once_and_starts_from_the_patches_drawn_before(organiser, oak):
    draft = make_kept(oak)
    url, uid = oak.url(f"yards/{draft.conversion_id}/again/"), "0b4f5a1e-5d5e-4c53-9f0a-0d8f0c8f0a01"
    first, second = organiser.post(url, {"uid": uid}), organiser.post(url, {"uid": uid})
    assert first["Location"] == second["Location"]
    new = Conversion.of(oak.group).order_by("-pk").first()
    assert (new.number, new.place) == (2, draft.conversion.place)
    page = text(organiser.get(oak.url(f"yards/{new.pk}/plan/")))
    assert draft.site["patches"][0]["uid"] in page
    assert "None yet. We can offer a first layout" in page


@pytest.fixture
def photo(oak, tmp_path, settings):
    settings.STORAGES = {
        **settings.STORAGES,
        "default": {"BACKEND": "django.core.files.storage.FileSystemStorage", "OPTIONS": {"location": tmp_path}},
    }
    row = make_yard(oak)
    picture = Photo(
        group=oak.group, place=row.place, taken_for="visit", taken_for_id=1, original_sha256="0" * 64, original_bytes=9,
        view_key=default_storage.save("a.jpg", ContentFile(b"large")), width=4, height=3,
        thumb_key=default_storage.save("b.jpg", ContentFile(b"small")),
    )  # fmt: skip
    picture.full_clean()
    picture.save()
    return picture


def test_a_picture_is_served_to_its_own_group_only_and_kept_by_no_cache_between(organiser, oak, elm, client, photo):
    answer = organiser.get(oak.url(f"photos/{photo.pk}/thumb/"))
    assert b"".join(answer.streaming_content) == b"small"
    assert answer["Cache-Control"] == "private, no-cache"
    assert b"".join(organiser.get(oak.url(f"photos/{photo.pk}/view/")).streaming_content) == b"large"
    assert organiser.get(oak.url(f"photos/{photo.pk}/original/")).status_code == 404
    assert elm.sign_in(client).get(elm.url(f"photos/{photo.pk}/view/")).status_code == 404


def test_a_picture_whose_file_is_gone_is_not_there(organiser, oak, photo):
    default_storage.delete(photo.thumb_key)
    assert organiser.get(oak.url(f"photos/{photo.pk}/thumb/")).status_code == 404
