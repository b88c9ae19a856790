"""What closed build days teach: one pace for the group, afresh from all of them, and taken out again."""

import datetime
import html
from decimal import Decimal

import pytest

from conversions.builds.actions import record_as_built
from conversions.builds.models import Day
from conversions.builds.roster import mark_came, sign_up
from conversions.office.close_day import close_day
from conversions.office.learn import worked_hours
from conversions.office.undo import reopen_day
from conversions.sizing import learn_pace
from conversions.sizing.own import Own
from conversions.yards import measure
from tests.builds.rows import make_agreed, make_day
from tests.rows import make_kept, make_quote, make_site, make_yard, rectangle

PAPER = b"%PDF-1.7 a care sheet"
STREET = "Tansy Row", "Upper Fold", "Millrace Lane", "Bell Field", "Ashlar Steps", "Long Acre", "Kiln Bank", "Weir Side"


def text(answer) -> str:
    assert answer.status_code == 200
    return html.unescape(answer.content.decode())


def make_over(world, n=1, *, others=6, hours="4.5", part=None) -> Day:
    """A day with `others` people of whom nobody gave a name, all written down and not closed yet."""
    yard = make_yard(world, name=f"Ruth {n}", reach=f"000 700 {n:03}", address=f"{n} {STREET[n]}")
    day = make_day(world, make_agreed(world, yard))
    if others is not None:
        mark_came(day=day, present=[], others=others, hours=Decimal(hours))
    for row in day.day_patches.select_related("patch"):
        said = {"area_m2": Decimal(part), "is_complete": False} if part else {}
        record_as_built(day=day, patch=row.patch, by=world.lead, **said)
    day.refresh_from_db()
    return day


def close(world, day) -> Day:
    sheets = dict.fromkeys(day.day_patches.values_list("conversion", flat=True), PAPER)
    return close_day(day=day, by=world.lead, revision=day.revision, sheets=sheets)


def pace(world) -> dict:
    world.group.refresh_from_db()
    return world.group.pace


def hours_row(world) -> dict:
    takeoff, _problems = measure.takeoff_of(make_site(rectangle()), world.group)
    return measure.figure_rows(takeoff, world.group, ("hours",))[0]


def test_a_group_without_a_closed_day_goes_by_the_book(oak):
    make_over(oak)
    assert pace(oak) == {}
    assert hours_row(oak)["whose"] == "book"


def test_one_closed_day_moves_the_pace_as_the_short_form_says(oak):
    day = close(oak, make_over(oak))
    book_h, worked_h = day.facts["book_h"], worked_hours(day, Own())
    assert book_h == day.day_patches.get().conversion.drafts.get().takeoff["figures"]["hours"]["value"]
    assert worked_h == pytest.approx((6 * 4.5 - 6 * 0.9) * 0.75 * 0.75, abs=0.005)
    assert pace(oak) == {
        "factor": pytest.approx((40 + worked_h) / (40 + book_h), abs=0.0001), "days": 1, "as_of": oak.today.isoformat()
    }  # fmt: skip
    assert hours_row(oak)["whose"] == "yours, from 1 day"


def test_seven_closed_days_are_worked_out_from_their_own_spread(oak):
    crews = (6, 7, 5, 8, 6, 9, 7)
    for n, others in enumerate(crews, 1):
        day = close(oak, make_over(oak, n, others=others))
    rows = [(row.facts["book_h"], worked_hours(row, Own())) for row in Day.of(oak.group).order_by("pk")]
    found = learn_pace(rows)
    assert (pace(oak)["days"], pace(oak)["factor"]) == (7, round(found.mean, 4))
    assert hours_row(oak)["whose"] == "yours, from 7 days"
    book = measure.takeoff_of(make_site(rectangle()))[0]["figures"]["hours"]["value"]
    ours = measure.takeoff_of(make_site(rectangle()), oak.group)[0]["figures"]["hours"]["value"]
    assert ours == pytest.approx(book * found.mean, abs=0.06)
    assert day.facts["book_h"] == rows[0][0]  # measured by the book, not by a pace learned before


def test_opening_the_day_again_takes_it_out(oak):
    first = close(oak, make_over(oak, 1))
    alone = dict(pace(oak))
    second = close(oak, make_over(oak, 2, others=12))
    assert pace(oak)["days"] == 2
    reopen_day(day=second, by=oak.organiser, revision=second.revision, reason="one came late")
    assert pace(oak) == alone
    first.refresh_from_db()
    reopen_day(day=first, by=oak.organiser, revision=first.revision, reason="and this one")
    assert pace(oak) == {}


def test_a_day_closed_again_counts_once(oak):
    day = close(oak, make_over(oak))
    before = dict(pace(oak))
    reopen_day(day=day, by=oak.organiser, revision=day.revision, reason="too early")
    day.refresh_from_db()
    close(oak, day)
    assert pace(oak) == before


def test_a_day_on_which_nobody_wrote_who_came_teaches_nothing(oak):
    day = close(oak, make_over(oak, others=None))
    assert (worked_hours(day, Own()), pace(oak)) == (0.0, {})


def test_a_day_that_finished_nothing_teaches_nothing(oak):
    day = make_over(oak, part="0")
    close(oak, day)
    assert pace(oak) == {}


def test_half_a_patch_is_half_its_hours(oak):
    whole = close(oak, make_over(oak, 1)).facts["book_h"]
    cover_m2 = Day.of(oak.group).get().day_patches.get().patch.coverable_m2
    half = close(oak, make_over(oak, 2, part=str(round(cover_m2 / 2, 2))))
    assert half.facts["book_h"] == pytest.approx(whole / 2, abs=0.02)


def test_an_absurd_day_stays_within_what_is_believed(oak):
    close(oak, make_over(oak, others=400, hours="24"))
    assert pace(oak)["factor"] == 2.5


def test_an_absurd_day_weighs_no_more_than_the_others_together(oak):
    for n in (1, 2):
        close(oak, make_over(oak, n))
    plain = pace(oak)["factor"]
    close(oak, make_over(oak, 3, others=0, hours="4.5"))
    assert pace(oak) == {"factor": plain, "days": 2, "as_of": oak.today.isoformat()}


def test_hours_of_people_by_name_and_without_are_added(oak):
    day = make_day(oak)
    who = [sign_up(day=day, name=name, phone=f"000 777 66{n}") for n, name in enumerate(("Wren", "Sol"))]
    mark_came(day=day, present=[row.person_id for row in who], others=1, hours=Decimal("3"))
    day.refresh_from_db()
    assert worked_hours(day, Own()) == pytest.approx((9 - 3 * 0.9) * 0.5625, abs=0.005)


def test_one_group_learns_nothing_from_another(oak, elm):
    close(oak, make_over(oak))
    elm.group.refresh_from_db()
    assert pace(oak)["days"] == 1 and elm.group.pace == {}


def test_two_yards_on_one_day_are_added(oak):
    yards = [
        make_agreed(oak, make_yard(oak, name=f"Ruth {n}", reach=f"000 70{n}", address=f"{n} Kiln Bank")) for n in (1, 2)
    ]
    day = make_day(oak, *yards)
    mark_came(day=day, present=[], others=9)
    for row in day.day_patches.select_related("patch"):
        record_as_built(day=day, patch=row.patch, by=oak.lead)
    day.refresh_from_db()
    alone = yards[0].drafts.get().takeoff["figures"]["hours"]["value"]
    assert close(oak, day).facts["book_h"] == pytest.approx(2 * alone)


def test_the_pace_is_dated_by_the_groups_own_day(oak):
    close(oak, make_over(oak))
    assert datetime.date.fromisoformat(pace(oak)["as_of"]) == oak.group.today()


def test_the_day_and_plan_pages_say_whose_hours_they_are(client, oak):
    day = make_over(oak, 1)
    plan = f"yards/{day.day_patches.get().conversion_id}/plan/"
    oak.sign_in(client)
    assert "Hours of work: book." in text(client.get(oak.url(f"days/{day.pk}/?at=before")))
    assert '<span class="alt small">book</span>' in text(client.get(oak.url(plan)))
    close(oak, day)
    later = make_over(oak, 2)
    assert "Hours of work: yours, from 1 day." in text(client.get(oak.url(f"days/{later.pk}/?at=before")))
    plan = f"yards/{later.day_patches.get().conversion_id}/plan/"
    assert "yours, from 1 day" in text(client.get(oak.url(plan)))


def test_numbers_of_the_groups_own_count_in_what_is_learned(oak):
    oak.group.own = {"book_hours": 10.0, "crew_factor": 0.6, "hours_brief_and_setup": 0.25}
    oak.group.save()
    day = make_over(oak)
    day.group = oak.group
    close(oak, day)
    worked_h = (27 - 6 * (0.25 + 0.4)) * 0.6 * 0.75
    assert pace(oak)["factor"] == pytest.approx((10 + worked_h) / (10 + day.facts["book_h"]), abs=0.0005)


def test_the_quote_says_whose_hours_it_stands_on_and_a_sent_one_keeps_it(organiser, oak):
    yards = [make_yard(oak, name=f"Sol {n}", reach=f"000 55{n} 66", address=f"{n} Upper Fold") for n in (1, 2)]
    before = make_quote(oak, make_kept(oak, yards[0]))
    close(oak, make_over(oak))
    oak.group.refresh_from_db()
    yards[1].group = oak.group
    after = make_quote(oak, make_kept(oak, yards[1]))
    assert "hours: book" in text(organiser.get(oak.url(f"quotes/{before.pk}/")))
    assert "hours: yours, from 1 day" in text(organiser.get(oak.url(f"quotes/{after.pk}/")))
