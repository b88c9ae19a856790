"""The numbers a group sets itself: asked in its units, kept where they differ, told in the history."""

import html
import re

import pytest

from conversions.people.models import Event
from conversions.people.numbers import change_own
from conversions.people.numbers_form import SECTIONS, NumbersForm, unit_of
from conversions.sizing.own import OWN, SiteError
from conversions.yards import actions, measure
from conversions.yards.models import Draft
from tests.rows import make_kept, make_open, make_sent, make_yard

NUMBERS = "numbers/"


def text(answer) -> str:
    return html.unescape(answer.content.decode())


def stands(world) -> dict:
    world.group.refresh_from_db()
    return world.group.own


def typed(**values) -> dict:
    return dict.fromkeys(OWN, "") | values


def read(units="metric", own=None, **values) -> NumbersForm:
    form = NumbersForm(typed(**values), own=own or {}, units=units)
    form.is_valid()
    return form


def test_every_number_a_group_may_set_stands_in_one_section_and_only_there():
    parts = [part for _code, _words, parts in SECTIONS for part in parts]
    assert sorted(parts) == sorted(set(parts))
    assert {row.part for row in OWN.values()} <= set(parts)


def test_every_number_has_its_source_its_unit_and_plain_words(organiser, oak):
    page = text(organiser.get(oak.url(NUMBERS)))
    form = NumbersForm(own={}, units="metric")
    for row in OWN.values():
        field = form.fields[row.name]
        assert field.help_text in page and row.source in field.help_text and str(field.unit)
        assert "_" not in field.label and field.label[0] == field.label[0].upper()


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("name", OWN)
def test_bounds_and_book_may_be_typed_as_they_are_shown(name, units):
    row, field = OWN[name], NumbersForm(own={}, units=units).fields[name]
    assert field.clean(field.book.replace(",", "")) is None
    for bound in ("least", "most"):
        value = field.clean(field.bounds[bound].replace(",", ""))
        assert value is None or row.least <= value <= row.most


def test_a_number_is_kept_in_the_engines_unit_and_only_where_it_differs(organiser, oak):
    said = typed(tree_collar="200", crew_factor="60", hours_cardboard_lay="3", repose="35", day_hours="3,5")
    organiser.post(oak.url(NUMBERS), said | {"was": "{}"})
    assert stands(oak) == {"tree_collar": 0.2, "crew_factor": 0.6, "hours_cardboard_lay": 0.05}


def test_feet_and_inches_are_read_in_a_group_that_has_them(organiser, oak):
    oak.group.units = "imperial"
    oak.group.save()
    page = text(organiser.get(oak.url(NUMBERS)))
    assert "The book: 5.9 in." in page and "The book: 9.8 ft." in page
    organiser.post(oak.url(NUMBERS), typed(tree_collar="8", tree_ring_least="6", paint_strip="12"))
    assert stands(oak) == {"tree_collar": 0.2032, "paint_strip": 3.6576}


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("wide", "Write a number, such as 150."),
        ("1e3", "Write a number, such as 150."),
        ("49", "Write a number from 50 to 500 mm."),
        ("501", "Write a number from 50 to 500 mm."),
        ("-60", "Write a number from 50 to 500 mm."),
        ("nan", "Write a number, such as 150."),
    ],
)
def test_what_cannot_be_is_said_beside_the_field_and_nothing_typed_is_lost(organiser, oak, said, words):
    answer = organiser.post(oak.url(NUMBERS), typed(tree_collar=said, crew_factor="60"))
    page = text(answer)
    assert answer.status_code == 400
    assert re.search(rf'id="id_tree_collar_error".*?{re.escape(words)}', page, re.S)
    assert f'value="{said}"' in page and 'value="60"' in page
    assert stands(oak) == {}


def test_a_whole_number_is_asked_where_people_are_counted():
    assert read(least_crew="4.5").errors["least_crew"] == ["Write a whole number."]


def test_an_emptied_field_goes_back_to_the_book(organiser, oak):
    organiser.post(oak.url(NUMBERS), typed(tree_collar="200", crew_factor="60"))
    page = text(organiser.get(oak.url(NUMBERS)))
    assert 'value="200"' in page
    was = html.unescape(re.search(r'name="was" value="([^"]*)"', organiser.get(oak.url(NUMBERS)).content.decode())[1])
    organiser.post(oak.url(NUMBERS), typed(crew_factor="60") | {"was": was})
    assert stands(oak) == {"crew_factor": 0.6}


def test_what_somebody_else_changed_meanwhile_stays(organiser, oak):
    change_own(group=oak.group, by=oak.organiser, changes={"repose": 40})
    organiser.post(oak.url(NUMBERS), typed(crew_factor="60") | {"was": "{}"})
    assert stands(oak) == {"repose": 40.0, "crew_factor": 0.6}


@pytest.mark.parametrize("was", ["", "{", "[]", '{"x": 1}', '{"repose": "steep"}', "null"])
def test_a_broken_note_of_what_stood_breaks_nothing(organiser, oak, was):
    assert organiser.post(oak.url(NUMBERS), typed(crew_factor="60") | {"was": was}).status_code == 302
    assert stands(oak) == {"crew_factor": 0.6}


def test_a_change_stands_in_the_history_with_old_and_new(organiser, oak):
    organiser.post(oak.url(NUMBERS), typed(tree_collar="200"))
    event = Event.of(oak.group).get(verb="numbers-changed")
    assert (event.by, event.changed) == (oak.organiser, {"tree_collar": [None, 0.2]})
    page = text(organiser.get(oak.url("history/")))
    assert "Our numbers changed" in page and "Bare collar off the bark: from the book to 200 mm" in page


def test_keeping_what_stands_writes_no_history(organiser, oak):
    organiser.post(oak.url(NUMBERS), typed())
    assert not Event.of(oak.group).filter(verb="numbers-changed").exists()


def test_a_number_out_of_bounds_is_refused_below_the_page_too(oak):
    with pytest.raises(SiteError):
        change_own(group=oak.group, by=oak.organiser, changes={"tree_collar": 9})
    assert stands(oak) == {}


def test_a_new_drawing_takes_the_numbers_and_the_kept_one_does_not(oak):
    kept = make_kept(oak)
    before = dict(kept.site), dict(kept.takeoff)
    change_own(group=oak.group, by=oak.organiser, changes={"hours_cardboard_lay": 0.08})
    kept = Draft.of(oak.group).select_related("group", "conversion__group").get(pk=kept.pk)
    again = actions.open_draft(conversion=kept.conversion, by=oak.visitor)
    assert again.site["own"] == {"hours_cardboard_lay": 0.08}
    assert again.takeoff["figures"]["hours"]["value"] > kept.takeoff["figures"]["hours"]["value"]
    assert (kept.site, kept.takeoff) == before


def test_a_first_drawing_takes_the_numbers(oak):
    change_own(group=oak.group, by=oak.organiser, changes={"paint_strip": 4})
    oak.group.refresh_from_db()
    assert actions.open_draft(conversion=make_yard(oak), by=oak.visitor).site["own"] == {"paint_strip": 4.0}


def test_a_sent_quote_stays_as_it_was(oak):
    quote = make_sent(oak)
    frozen = quote.frozen
    change_own(group=oak.group, by=oak.organiser, changes={"hours_cardboard_lay": 0.08})
    quote.refresh_from_db()
    assert quote.frozen == frozen and "own" not in quote.frozen["site"]


def test_an_open_drawing_offers_the_new_numbers_and_takes_them_when_asked(organiser, oak):
    draft = make_open(oak)
    plan = oak.url(f"yards/{draft.conversion_id}/plan/")
    assert "Take the new numbers" not in text(organiser.get(plan))
    change_own(group=oak.group, by=oak.organiser, changes={"hours_cardboard_lay": 0.08})
    assert "Take the new numbers" in text(organiser.get(plan))
    assert "own" not in Draft.of(oak.group).get().site
    organiser.post(plan + "numbers/", {"drawing": draft.number, "revision": draft.revision})
    taken = Draft.of(oak.group).get()
    assert taken.site["own"] == {"hours_cardboard_lay": 0.08}
    assert measure.whose(taken.takeoff["figures"]["hours"]) == "yours"
    page = text(organiser.get(plan))
    assert "Take the new numbers" not in page and ">yours<" in page


def test_the_groups_page_leads_there(organiser, oak):
    page = text(organiser.get(oak.url("group/")))
    assert f'href="{oak.url(NUMBERS)}"' in page and f'href="{oak.url("history/")}"' in page


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_no_number_loses_its_value_when_it_is_shown(units):
    """Half of what a field shows is far below what a bound lets through."""
    for row in OWN.values():
        unit = unit_of(row, units)
        assert float(row.most - row.least) * float(unit.times) >= 3 * 10.0**-unit.digits, row.name
