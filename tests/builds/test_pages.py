"""Pages of build days, as organisers, leads and helpers meet them."""

import uuid
from datetime import date, time, timedelta
from decimal import Decimal as D

import pytest
from django.utils import timezone

from conversions.builds import actions, asbuilt, forms, roster, views
from conversions.builds.models import AsBuilt, Day, SignUp
from tests.builds.rows import answer_all, make_agreed, make_day
from tests.rows import make_yard


@pytest.fixture
def yard(oak):
    yard = make_agreed(oak)
    answer_all(oak, yard)
    return yard


@pytest.fixture
def day(oak, yard):
    """Today's day, with two helpers wanted and a rain date."""
    return make_day(oak, yard, helpers_wanted=2, rain_on=oak.today + timedelta(days=7))


def words(response) -> str:
    return " ".join(response.content.decode().split())


def post_new(client, oak, yard, **other):
    values = {
        "conversions": yard.pk,
        "on": oak.today + timedelta(days=10),
        "starts": "9:30",
        "ends": "14:00",
        "rain_on": oak.today + timedelta(days=17),
        "lead": oak.lead.pk,
        "helpers_wanted": 8,
    }
    return client.post(oak.url("days/new/"), values | other)


# ---- the list and a new day


def test_the_list_asks_the_same_few_questions_of_the_database_for_any_number_of_days(
    organiser, oak, yard, django_assert_num_queries
):
    for number in range(6):
        other = make_agreed(oak, make_yard(oak, address=f"{number} Elder Row", reach=f"000 444 00{number}"))
        make_day(oak, other, on=oak.today + timedelta(days=number))
    organiser.get(oak.url("days/"))
    with django_assert_num_queries(7):
        page = organiser.get(oak.url("days/"))
    assert "5 Elder Row" in words(page)


def test_a_group_without_days_is_told_what_comes_first(organiser, oak):
    assert "No build day ahead" in words(organiser.get(oak.url("days/")))
    assert "No yard is waiting for a day" in words(organiser.get(oak.url("days/new/")))


def test_an_agreed_yard_waits_in_the_list_until_it_has_a_day(organiser, oak, yard):
    assert f"days/new/?yard={yard.pk}" in words(organiser.get(oak.url("days/")))
    make_day(oak, yard, on=oak.today + timedelta(days=9))
    assert f"days/new/?yard={yard.pk}" not in words(organiser.get(oak.url("days/")))


def test_a_new_day_knows_yard_saturday_rain_date_and_lead_before_anything_is_typed(organiser, oak, yard):
    form = organiser.get(oak.url(f"days/new/?yard={yard.pk}")).context["form"]
    on = form.initial["on"]
    assert on.weekday() == 5 and on >= oak.today + timedelta(days=7)
    assert form.initial["rain_on"] == on + timedelta(days=7)
    assert form.initial["conversions"] == [yard.pk]
    assert form.initial["lead"] == oak.organiser.pk
    assert form.initial["helpers_wanted"] == int(yard.drafts.get().takeoff["figures"]["people"]["value"])


def test_the_day_offered_in_the_quote_is_proposed(organiser, oak):
    on = oak.today + timedelta(days=20)
    yard = make_agreed(oak, offered_on=on, offered_rain_on=on + timedelta(days=8))
    initial = organiser.get(oak.url(f"days/new/?yard={yard.pk}")).context["form"].initial
    assert (initial["on"], initial["rain_on"]) == (on, on + timedelta(days=8))


def test_setting_a_day_opens_its_page(organiser, oak, yard):
    answer = post_new(organiser, oak, yard)
    day = Day.of(oak.group).get()
    assert answer.url == oak.url(f"days/{day.pk}/")
    assert (day.lead, day.helpers_wanted, day.state) == (oak.lead, 8, "planned")


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("on", "not a date", "Enter a valid date"),
        ("on", "2126-05-09", "Check the year"),
        ("ends", "9:00", "The end must come after the start"),
        ("rain_on", "2020-01-01", "must come after the day"),
        ("helpers_wanted", "0", "greater than or equal to 1"),
        ("helpers_wanted", "-3", "greater than or equal to 1"),
        ("conversions", [], "Choose a yard"),
        ("conversions", "999999", "not one of the available choices"),
        ("lead", "999999", "not one of the available choices"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_the_rest_is_kept(organiser, oak, yard, field, value, said):
    answer = post_new(organiser, oak, yard, **{field: value})
    assert answer.status_code == 200
    assert any(said in text for text in answer.context["form"].errors[field])
    if field != "starts":
        assert 'value="9:30"' in words(answer)
    assert not Day.of(oak.group).exists()


def test_a_yard_with_a_day_says_so_and_may_take_another(organiser, oak, yard, day):
    assert f"{yard}, has a day already" in words(organiser.get(oak.url("days/new/")))
    post_new(organiser, oak, yard)
    assert Day.of(oak.group).count() == 2


def test_a_yard_that_has_not_said_yes_cannot_be_chosen(organiser, oak):
    asked = make_yard(oak)
    answer = post_new(organiser, oak, asked)
    assert "conversions" in answer.context["form"].errors


# ---- changing it


def edit_values(day, **other):
    values = {
        "on": day.on,
        "starts": "9:30",
        "ends": "14:00",
        "rain_on": day.rain_on,
        "lead": day.lead_id,
        "deputy": "",
        "helpers_wanted": 5,
        "meeting_point": "the lamp post",
        "notes": "park in the lane",
        "revision": day.revision,
    }
    return values | other


def test_the_later_of_two_people_sees_both_versions_and_can_keep_theirs(organiser, oak, day):
    url = oak.url(f"days/{day.pk}/edit/")
    organiser.post(url, edit_values(day, notes="tap at the back"))
    answer = organiser.post(url, edit_values(day, notes="park on the drive"))
    assert answer.status_code == 409
    assert "tap at the back" in words(answer) and "park on the drive" in words(answer)
    again = {field.html_name: field.value() or "" for field in answer.context["form"]}
    assert organiser.post(url, again).status_code == 302
    day.refresh_from_db()
    assert day.notes == "park on the drive"


def test_a_day_that_is_over_calls_nothing_missing_and_no_job_due(organiser, oak, day):
    Day.of(oak.group).filter(pk=day.pk).update(state="closed")
    before, on = (words(organiser.get(oak.url(f"days/{day.pk}/?at={at}"))) for at in ("before", "on"))
    assert "What is ready, what is missing" not in before and "Stop" not in before
    assert "This day is over." in on and "Now, until about" not in on


def test_a_closed_day_is_not_changed_any_more(organiser, oak, day):
    Day.of(oak.group).filter(pk=day.pk).update(state="closed")
    answer = organiser.post(oak.url(f"days/{day.pk}/edit/"), edit_values(day))
    assert "This day is over" in words(answer)


# ---- before


def test_the_page_before_says_what_is_missing_and_what_to_do_next(organiser, oak, day):
    page = organiser.get(oak.url(f"days/{day.pk}/?at=before"))
    assert page.context["next"].state == "missing"
    assert "Wood chips" in words(page) and "2 more helpers" in words(page)
    assert "/s/" in page.context["link"]


def test_what_is_ready_is_folded_away_until_nothing_is_missing(organiser, oak, day):
    page = organiser.get(oak.url(f"days/{day.pk}/?at=before"))
    open_keys = [gate.key for gate in page.context["open_gates"]]
    assert open_keys and "agreed" in [gate.key for gate in page.context["ready_gates"]]
    ready = page.context["ready_gates"]
    assert f'<details class="how"><summary>{len(ready)} things are ready</summary>' in words(page)
    for fact in ("cardboard", "chips", "compost"):
        actions.tick(day=day, fact=fact, is_ready=True, by=oak.lead)
    for name in ("Noor", "Sol"):
        actions.sign_up(day=day, name=name, by=oak.lead)
    page = organiser.get(oak.url(f"days/{day.pk}/?at=before"))
    assert page.context["open_gates"] == [] and '<details class="how" open><summary>8 things' in words(page)


def test_ticking_a_supply_and_writing_the_marks(organiser, oak, day):
    url = oak.url(f"days/{day.pk}/ready/")
    organiser.post(url, {"fact": "chips", "ready": "1"})
    until = oak.today + timedelta(days=30)
    answer = organiser.post(url, {"fact": "marks", "state": "marked", "until": until, "ticket": "T-1"})
    assert answer.status_code == 302
    day.refresh_from_db()
    assert day.facts["chips"]["ready"] and day.facts["marks"]["until"] == until.isoformat()


def test_marks_without_their_last_day_are_asked_for_beside_the_field(organiser, oak, day):
    answer = organiser.post(oak.url(f"days/{day.pk}/ready/"), {"fact": "marks", "state": "marked", "ticket": "T-1"})
    assert "last day the marks are good for" in words(answer) and 'value="T-1"' in words(answer)


def test_an_unknown_supply_changes_nothing(organiser, oak, day):
    organiser.post(oak.url(f"days/{day.pk}/ready/"), {"fact": "gravel", "ready": "1"})
    day.refresh_from_db()
    assert day.facts == {}


def test_a_helper_written_in_by_name_can_be_taken_out_again(organiser, oak, day):
    url = oak.url(f"days/{day.pk}/helpers/")
    organiser.post(url, {"name": "Noor"})
    row = SignUp.of(oak.group).get()
    organiser.post(url, {"off": row.pk})
    row.refresh_from_db()
    assert row.state == "off"
    answer = organiser.post(url, {"name": "Bea", "phone": "nonsense"})
    assert "phone number or an e-mail" in words(answer) and 'value="Bea"' in words(answer)


def test_a_stop_keeps_the_day_from_being_confirmed_and_says_why(organiser, oak):
    day = make_day(oak, make_agreed(oak), on=oak.today + timedelta(days=10))
    answer = organiser.post(oak.url(f"days/{day.pk}/state/"), {"to": "confirmed"}, follow=True)
    assert "Septic tank" in words(answer)
    day.refresh_from_db()
    assert day.state == "planned"


# ---- on the day and after


def test_the_page_opens_on_what_fits_the_clock(oak, yard, day, monkeypatch):
    at = {}
    monkeypatch.setattr(views.timezone, "localtime", lambda: at["now"])
    noon = timezone.now().replace(hour=12, minute=0)
    for days, hour, expected in [(-1, 12, "before"), (0, 8, "on"), (0, 12, "on"), (0, 20, "after"), (1, 9, "after")]:
        at["now"] = noon.replace(hour=hour) + timedelta(days=days)
        assert views.moment(day) == expected


def test_all_here_as_drawn_and_taking_it_back_are_one_press_each(client, oak, day):
    lead = oak.sign_in(client, "lead")
    patch = day.day_patches.get().patch
    for name in ("Noor", "Bea"):
        actions.sign_up(day=day, name=name, phone=f"000 111 33{len(name)}")
    lead.post(oak.url(f"days/{day.pk}/came/"), {"everyone": "1", "others": "1", "at": "on"})
    day.refresh_from_db()
    assert roster.helpers_and_hours(day) == (3, D("13.50"))
    url = oak.url(f"days/{day.pk}/patches/{patch.pk}/built/")
    answer = lead.post(url, {"how": "as drawn", "at": "on"})
    assert answer.url == oak.url(f"days/{day.pk}/?at=on")
    assert asbuilt.latest_as_built(day)[patch.pk].area_m2 == D("49.02")
    lead.post(url, {"how": "nothing", "at": "on"})
    assert asbuilt.latest_as_built(day)[patch.pk].is_left


def test_a_wrong_number_of_helpers_is_said_beside_its_field(client, oak, day):
    actions.sign_up(day=day, name="Noor", phone="000 111 333")
    answer = oak.sign_in(client, "lead").post(oak.url(f"days/{day.pk}/came/"), {"others": "-2", "hours": "30"})
    assert set(answer.context["came_form"].errors) == {"others", "hours"}
    assert SignUp.of(oak.group).get().state == "coming"


def built_values(**other):
    return {
        "uid": "8f4cbbb5-1d5c-4d1f-9d35-2f4c6f2f8f10", "area_m2": "30", "whole": "no", "why_different": "ran out",
        "layers": "3", "depth_mm": "80",
    } | other  # fmt: skip


def test_an_area_too_large_and_without_a_reason_is_told_both_at_once(organiser, oak, day):
    patch = day.day_patches.get().patch_id
    typed = {"uid": "7b0e0f1c-0000-4000-8000-000000000001", "area_m2": "999", "whole": "yes"}
    page = organiser.post(oak.url(f"days/{day.pk}/patches/{patch}/built/"), typed)
    assert set(page.context["form"].errors) == {"area_m2", "why_different"} and 'value="999"' in words(page)
    page = organiser.post(oak.url(f"days/{day.pk}/patches/{patch}/built/"), typed | {"area_m2": "-3"})
    assert "An area cannot be less than nothing." in words(page)
    assert not AsBuilt.of(oak.group).exists()


def test_only_a_part_can_be_finished(organiser, oak, day):
    patch = day.day_patches.get().patch
    url = oak.url(f"days/{day.pk}/patches/{patch.pk}/built/")
    assert organiser.post(url, built_values()).status_code == 302
    assert organiser.post(url, built_values()).status_code == 302, "a retried press"
    row = AsBuilt.of(oak.group).get()
    assert (row.area_m2, row.is_complete, row.layers, row.depth_mm) == (D("30.00"), False, 3, 80)


@pytest.mark.parametrize(
    ("other", "field"),
    [
        ({"area_m2": "-1"}, "area_m2"),
        ({"area_m2": "many"}, "area_m2"),
        ({"area_m2": "400"}, "area_m2"),
        ({"whole": ""}, "whole"),
        ({"whole": "yes", "why_different": ""}, "why_different"),
        ({"lawn_m2": "2"}, "lawn_m2"),
        ({"depth_mm": "-4"}, "depth_mm"),
        ({"layers": "0"}, "layers"),
    ],
)
def test_as_built_values_that_cannot_be_are_said_beside_their_field(organiser, oak, day, other, field):
    patch = day.day_patches.get().patch
    answer = organiser.post(oak.url(f"days/{day.pk}/patches/{patch.pk}/built/"), built_values(**other))
    assert answer.status_code == 200 and field in answer.context["form"].errors
    assert not AsBuilt.of(oak.group).exists()


def test_a_group_that_works_in_feet_types_square_feet_and_inches(organiser, oak, day):
    oak.group.units = "imperial"
    oak.group.save()
    patch = day.day_patches.get().patch
    url = oak.url(f"days/{day.pk}/patches/{patch.pk}/built/")
    assert "sq ft" in words(organiser.get(url))
    organiser.post(url, built_values(area_m2="323", depth_mm="3.5"))
    row = AsBuilt.of(oak.group).get()
    # one square foot is exactly 0.09290304 m2 (NIST Handbook 44, Appendix C); 3.5 in are 88.9 mm
    assert (row.area_m2, row.depth_mm) == (D("30.01"), 89)


def test_the_next_saturday_leaves_a_week():
    assert forms.next_saturday(date(2026, 5, 5)) == date(2026, 5, 16)
    assert forms.next_saturday(date(2026, 5, 9)) == date(2026, 5, 16)


# ---- who may


def test_a_helper_sees_only_the_days_they_signed_up_for(client, oak, yard, day):
    helper = oak.sign_in(client, "helper")
    assert helper.get(oak.url(f"days/{day.pk}/")).status_code == 404
    assert "14 Tansy Row" not in words(helper.get(oak.url("days/")))
    actions.sign_up(day=day, person=roster.person_for(oak.helper))
    page = words(helper.get(oak.url("days/")))
    assert "Tansy Row" in page and "14 Tansy Row" not in page  # nobody has said yet that the day is on
    actions.sign_up(day=day, name="Noor", phone="000 777 888")
    page = helper.get(oak.url(f"days/{day.pk}/"))
    assert page.status_code == 200 and "000 777 888" not in words(page) and "Noor" not in words(page)
    for path in ("came/", "ready/", "state/", "helpers/"):
        assert helper.post(oak.url(f"days/{day.pk}/{path}")).status_code == 403
    assert helper.get(oak.url(f"days/{day.pk}/crew-sheet.pdf")).status_code == 403


def test_a_helper_calls_off_and_comes_back_on_their_own_page(client, oak, yard, day):
    own = actions.sign_up(day=day, person=roster.person_for(oak.helper), by=oak.lead)
    other = actions.sign_up(day=day, name="Noor", by=oak.lead)
    oak.sign_in(client, "helper")
    address = oak.url(f"days/{day.pk}/helpers/")
    page = client.post(address, {"off": own.pk}, follow=True)
    own.refresh_from_db()
    assert own.state == "off" and "I can come after all" in words(page)
    client.post(address, {"come": own.pk})
    own.refresh_from_db()
    assert own.state == "coming"
    for pressed in ({"off": other.pk}, {"come": other.pk}, {"name": "Sol"}):
        assert client.post(address, pressed).status_code == 403
    other.refresh_from_db()
    assert other.state == "coming" and SignUp.of(oak.group).count() == 2
    actions.set_state(day=day, to="cancelled", by=oak.lead)
    page = words(client.get(oak.url(f"days/{day.pk}/")))
    assert "There is no build that day." in page and "What to bring" not in page and "I cannot come" not in page


def test_the_deputy_runs_the_day_whatever_their_role(client, oak, yard):
    day = make_day(oak, yard, deputy=oak.helper)
    helper = oak.sign_in(client, "helper")
    assert "Keep who came" in words(helper.get(oak.url(f"days/{day.pk}/?at=on")))
    assert helper.post(oak.url(f"days/{day.pk}/came/"), {"others": "2"}).status_code == 302


def test_a_visitor_reads_a_day_but_does_not_run_it(client, oak, day):
    visitor = oak.sign_in(client, "visitor")
    page = visitor.get(oak.url(f"days/{day.pk}/?at=before"))
    assert page.status_code == 200 and "Call it off" not in words(page)
    assert visitor.post(oak.url(f"days/{day.pk}/state/"), {"to": "cancelled"}).status_code == 403


def test_another_groups_day_is_not_there(oak, elm, organiser):
    other = make_day(elm)
    for path in ("", "edit/", "crew-sheet.pdf"):
        assert organiser.get(oak.url(f"days/{other.pk}/{path}")).status_code == 404
    patch = other.day_patches.get().patch
    assert organiser.post(oak.url(f"days/{other.pk}/patches/{patch.pk}/built/")).status_code == 404


@pytest.mark.parametrize("at", ["before", "on"])
def test_a_lead_with_another_build_at_that_hour_is_told_which_and_may_go_on(organiser, oak, yard, at):
    on = oak.today + timedelta(days=5)
    other = make_agreed(oak, make_yard(oak, address="3 Elder Row", reach="000 444 003"))
    day, twin = make_day(oak, yard, on=on), make_day(oak, other, on=on, starts=time(13), ends=time(16))
    page = words(organiser.get(oak.url(f"days/{day.pk}/?at={at}")))
    assert f"{oak.lead} leads another build at the same hour" in page and "3 Elder Row, 13:00 to 16:00" in page
    for changed in ({"starts": time(14)}, {"starts": time(13), "lead": oak.organiser}, {"state": "cancelled"}):
        type(day).of(oak.group).filter(pk=twin.pk).update(**{"lead": oak.lead, "state": "planned"} | changed)
        assert "another build at the same hour" not in words(organiser.get(oak.url(f"days/{day.pk}/?at={at}")))


def test_why_it_differs_is_not_called_as_you_like_where_it_is_needed(organiser, oak, day):
    patch = day.day_patches.get().patch
    address = oak.url(f"days/{day.pk}/patches/{patch.pk}/built/")
    page = words(organiser.get(address))
    assert "Why is it not as drawn?</label>" in page and "Needed if the patch is done" in page
    typed = {"uid": str(uuid.uuid4()), "area_m2": "20", "whole": "yes", "why_different": ""}
    page = words(organiser.post(address, typed))
    assert "Say in a few words why it differs from the drawing." in page and "Why is it not as drawn?</label>" in page
    assert organiser.post(address, typed | {"whole": "no"}).status_code == 302
