"""The stage of a yard and its next step, where only a part is built."""

import datetime

import pytest
from django.utils import timezone

from conversions.builds.actions import record_as_built
from conversions.builds.models import Ground
from conversions.office import close_day
from conversions.yards import steps, story
from conversions.yards.models import Conversion
from tests.builds.rows import make_agreed, make_day
from tests.rows import rectangle


@pytest.fixture
def yard(oak):
    return make_agreed(oak, None, rectangle(), rectangle("5", "4", label="Back lawn", zone="back"))


def look(oak, yard):
    row = steps.with_rows(Conversion.of(oak.group).for_lists(), oak.group).get(pk=yard.pk)
    return row.stage, steps.next_step(row, oak.today).words


def build(oak, yard, labels=("Front lawn",), area_m2=None):
    day = make_day(oak, yard)
    for row in day.day_patches.select_related("patch"):
        done = row.patch.label in labels
        values = {"area_m2": area_m2, "is_complete": area_m2 is None} if done else {"area_m2": 0, "is_complete": False}
        why = "" if done and area_m2 is None else "rain"
        record_as_built(day=day, patch=row.patch, by=oak.lead, why_different=why, **values)
    day.refresh_from_db()
    close_day.close_day(day=day, by=oak.lead, revision=day.revision, sheets=close_day.papers(day))
    return day


def test_a_part_built_yard_without_a_day_says_how_much_is_built_and_that_the_rest_waits(oak, yard):
    planned = {row.patch.label: row.planned_m2 for row in yard.planned.all()}
    build(oak, yard)
    whole = sum(planned.values())
    stage, words = look(oak, yard)
    assert stage == "agreed"
    assert words == f"{planned['Front lawn']:.1f} m² of {whole:.1f} m² built, the rest has no day"


def test_a_part_of_one_patch_counts_by_what_was_written_down(oak, yard):
    build(oak, yard, area_m2=20)
    stage, words = look(oak, yard)
    assert stage == "agreed" and words.startswith("20") and words.endswith("built, the rest has no day")


def test_with_the_next_day_set_it_is_booked_again_for_the_rest(oak, yard):
    build(oak, yard)
    make_day(oak, yard, on=oak.today + datetime.timedelta(days=7))
    stage, words = look(oak, yard)
    assert stage == "booked" and words.startswith("Build the rest on")


def test_nothing_built_yet_reads_as_before(oak, yard):
    assert look(oak, yard) == ("agreed", "Pick a build day with them")
    make_day(oak, yard, on=oak.today + datetime.timedelta(days=7))
    stage, words = look(oak, yard)
    assert stage == "booked" and words.startswith("Build on")


def test_all_patches_finished_is_built(oak, yard):
    build(oak, yard, labels=("Front lawn", "Back lawn"))
    assert look(oak, yard)[0] == "built"


# ---- a rescue day


def set_day(client, oak, yard, query="?kind=rescue"):
    on = timezone.localdate() + datetime.timedelta(days=3)
    given = {
        "conversions": [yard.pk], "on": on.isoformat(), "rain_on": "", "starts": "09:00", "ends": "12:00",
        "lead": oak.lead.pk, "helpers_wanted": 3,
    }  # fmt: skip
    return client.post(oak.url(f"days/new/{query}"), given)


def test_a_rescue_day_is_set_from_its_page_for_a_built_garden_and_counts_no_ground(organiser, oak, yard):
    build(oak, yard, labels=("Front lawn", "Back lawn"))
    page = organiser.get(oak.url(f"days/new/?kind=rescue&yard={yard.pk}")).content.decode()
    assert "Set a rescue day" in page and "Ruth Okafor" in page
    assert "No yard is waiting for a day." in organiser.get(oak.url("days/new/")).content.decode()
    before = Ground.of(oak.group).count()
    assert set_day(organiser, oak, yard).status_code == 302
    day = yard.day_patches.get(day__kind="rescue", patch__label="Front lawn").day
    day.on = oak.today
    day.save(update_fields=["on"])
    for row in day.day_patches.all():
        record_as_built(day=day, patch=row.patch, by=oak.lead)
    day.refresh_from_db()
    close_day.close_day(day=day, by=oak.lead, revision=day.revision, sheets=close_day.papers(day))
    assert Ground.of(oak.group).count() == before
    assert look(oak, yard)[0] == "built"


def test_a_rescue_holds_only_what_is_built_and_leaves_the_rest_waiting(organiser, oak, yard):
    build(oak, yard)
    assert set_day(organiser, oak, yard).status_code == 302
    rows = yard.day_patches.filter(day__kind="rescue")
    assert [row.patch.label for row in rows] == ["Front lawn"]
    assert look(oak, yard)[0] == "agreed"
    assert "has a day already" not in organiser.get(oak.url("days/new/")).content.decode()


def test_a_group_without_a_garden_is_told_what_a_rescue_needs(organiser, oak):
    page = organiser.get(oak.url("days/new/?kind=rescue")).content.decode()
    assert "Nothing is built yet that could need mending." in page


def test_each_layer_shows_the_day_it_was_laid_and_the_build_day_shows_beforehand(oak, yard):
    day = make_day(oak, yard, on=oak.today + datetime.timedelta(days=9))
    row = steps.with_rows(Conversion.of(oak.group).for_lists(), oak.group).get(pk=yard.pk)
    on = {layer["texture"]: layer["on"] for layer in story.layers(row) if layer["is_done"]}
    assert on["lawn"] == yard.opened_on and on["card"] == timezone.localdate(yard.quotes.get().sent_at), "asked, quoted"
    assert [layer["on"] for layer in story.layers(row) if layer["is_now"]] == [oak.today], "the day was set today"
    ahead = [layer["on"] for layer in story.layers(row) if not layer["is_done"]]
    assert ahead == [None, day.on], "growing, and built"


def test_a_day_of_another_year_says_so(oak):
    assert steps.short(oak.today.replace(year=oak.today.year + 1, day=1)).endswith(str(oak.today.year + 1))
    assert str(oak.today.year) not in steps.short(oak.today)
