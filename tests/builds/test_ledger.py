"""The ledger of square metres: once only, never more than there is, never overwritten."""

import datetime
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from conversions.builds import ledger
from conversions.builds.models import AsBuilt, Ground
from conversions.yards.models import Place
from tests.builds.rows import made, make_bare_day, make_built, make_patch

D = Decimal
SAME_WORLD = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)


def write(world, patch, area, on=None, is_complete=True, **day):
    day = make_bare_day(world, on, **day)
    return ledger.write(day=day, patch=patch, as_built=make_built(day, patch, area, is_complete), by=world.lead)


def test_a_finished_patch_counts_on_the_day_it_was_finished(oak):
    row = write(oak, make_patch(oak), "19.50", datetime.date(2025, 12, 31))
    assert (row.kind, row.m2, row.complete_on, row.count_on) == (
        "converted",
        D("19.50"),
        datetime.date(2025, 12, 31),
        datetime.date(2025, 12, 31),
    )
    assert (row.year, row.month, row.by) == (2025, 12, oak.lead)


def test_a_second_press_writes_no_second_row(oak):
    patch, day = make_patch(oak), make_bare_day(oak)
    built = make_built(day, patch, "19.50")
    first = ledger.write(day=day, patch=patch, as_built=built, by=oak.lead)
    assert ledger.write(day=day, patch=patch, as_built=built, by=oak.lead) == first
    assert Ground.of(oak.group).count() == 1


def test_the_parts_of_a_part_build_add_up_and_stay_one_conversion(oak):
    patch = make_patch(oak, "20.00")
    first = write(oak, patch, "8.00", is_complete=False)
    second = write(oak, patch, "12.00")
    assert [first.kind, second.kind] == ["converted", "converted"]
    assert ledger.standing_m2(patch) == D("20.00") and ledger.room_m2(patch) == 0


def test_a_rebuild_of_ground_already_counted_adds_nothing(oak):
    patch = make_patch(oak, "20.00")
    write(oak, patch, "20.00")
    assert write(oak, patch, "20.00") is None
    assert ledger.standing_m2(patch) == D("20.00")


def test_a_rescue_adds_nothing(oak):
    patch = make_patch(oak, "20.00")
    assert write(oak, patch, "5.00", kind="rescue") is None
    assert not Ground.of(oak.group).exists()


def test_ground_that_is_another_places_counts_nothing(oak):
    street = made(Place(group=oak.group, address="7 Elder Row"))
    twin = made(Place(group=oak.group, address="7a Elder Row", same_ground_as=street))
    assert write(oak, make_patch(oak, place=twin), "20.00") is None


def test_ground_that_was_no_lawn_counts_apart(oak):
    row = write(oak, make_patch(oak, ground_before="other"), "12.00")
    assert (row.kind, row.m2) == ("other ground", D("12.00"))


def test_kept_and_excluded_ground_can_never_be_converted(oak):
    patch = make_patch(oak, "20.00", kept_m2=D("2.50"), excluded_m2=D("1.50"))
    with pytest.raises(ledger.NoRoom) as refused:
        write(oak, patch, "16.01")
    assert refused.value.room == D("16.00")
    assert "16.00 m²" in refused.value.messages[0] and "measure the whole of it again" in refused.value.messages[0]
    assert write(oak, patch, "16.00").m2 == D("16.00")


def test_new_ground_on_a_finished_patch_is_an_extension_once_it_is_measured_again_with_a_reason(oak):
    patch = make_patch(oak, "20.00")
    write(oak, patch, "20.00")
    with pytest.raises(ValidationError):
        ledger.measure_again(patch=patch, lawn_m2=D("26.00"), why=" ", by=oak.lead)
    patch = ledger.measure_again(patch=patch, lawn_m2=D("26.00"), why="the hedge came out", by=oak.lead)
    assert (patch.measured_from, patch.why_measured) == ("second measure", "the hedge came out")
    row = write(oak, patch, "6.00")
    assert (row.kind, row.m2) == ("extension", D("6.00"))


def test_a_second_measure_cannot_be_smaller_than_what_is_counted(oak):
    patch = make_patch(oak, "20.00", kept_m2=D("2.00"))
    write(oak, patch, "10.00")
    with pytest.raises(ValidationError, match="12.00 m²"):
        ledger.measure_again(patch=patch, lawn_m2=D("11.99"), why="taped", by=oak.lead)


def test_a_correction_is_a_row_of_its_own_with_its_reason(oak):
    patch = make_patch(oak, "20.00")
    row = write(oak, patch, "20.00", datetime.date(2026, 3, 1))
    fixed = ledger.correct(ground=row, m2=D("-3.00"), reason="taped again", by=oak.organiser)
    row.refresh_from_db()
    assert row.m2 == D("20.00")
    assert (fixed.kind, fixed.corrects, fixed.m2, fixed.reason) == ("correction", row, D("-3.00"), "taped again")
    assert (fixed.year, fixed.month) == (2026, 3)
    assert ledger.standing_m2(patch) == D("17.00")


@pytest.mark.parametrize(("m2", "reason"), [("-3", ""), ("0", "nothing"), ("-20.01", "too much"), ("0.01", "too big")])
def test_a_correction_needs_a_reason_and_room(oak, m2, reason):
    row = write(oak, make_patch(oak, "20.00"), "20.00")
    with pytest.raises(ValidationError):
        ledger.correct(ground=row, m2=D(m2), reason=reason, by=oak.organiser)


def test_a_correction_is_not_corrected(oak):
    row = write(oak, make_patch(oak, "20.00"), "20.00")
    fixed = ledger.correct(ground=row, m2=D("-1"), reason="taped", by=oak.organiser)
    with pytest.raises(ValidationError, match="the row itself"):
        ledger.correct(ground=fixed, m2=D("1"), reason="no", by=oak.organiser)


def test_the_database_itself_refuses_what_must_never_be(oak):
    patch, day = make_patch(oak), make_bare_day(oak)
    built = make_built(day, patch, "5.00")
    today = oak.today
    usual = {
        "group": oak.group, "patch": patch, "complete_on": today, "count_on": today, "year": today.year,
        "month": today.month, "by": oak.lead, "m2": D("5.00"), "kind": "converted",
    }  # fmt: skip
    row = Ground.everywhere.create(**usual, day=day, as_built=built)
    for wrong in (
        {"day": day, "as_built": built},  # twice for a day and patch
        {},  # converted, of no day
        {"kind": "extension", "m2": D("-1.00")},
        {"kind": "correction", "m2": D("1.00")},  # of nothing
        {"kind": "extension", "corrects": row},
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            Ground.everywhere.create(**(usual | wrong))


# ---- any history at all

CENTS = st.integers(1, 3000).map(lambda n: D(n) / 100)
STEP = st.one_of(
    st.tuples(st.just("build"), CENTS, st.booleans()),
    st.tuples(st.just("rest"), st.just(D(0)), st.just(True)),
    st.tuples(st.just("rescue"), CENTS, st.just(True)),
    st.tuples(st.just("close again"), st.just(D(0)), st.just(True)),
    st.tuples(st.just("correct"), st.integers(-3000, 3000).map(lambda n: D(n) / 100), st.booleans()),
    st.tuples(st.just("measure"), CENTS, st.just(True)),
)


def expected_after(step, standing, coverable):
    """What the rules say, worked out on plain numbers beside the ledger."""
    kind, m2, _flag = step
    if kind == "build" and standing + m2 <= coverable:
        return standing + m2
    return coverable if kind == "rest" else standing


@SAME_WORLD
@given(steps=st.lists(STEP, min_size=1, max_size=14), lawn=CENTS, kept=st.integers(0, 50))
def test_no_history_counts_a_metre_twice_or_one_that_is_not_there(oak, steps, lawn, kept):
    kept_m2 = (lawn * kept / 100).quantize(D("0.01"))
    patch = make_patch(oak, lawn, kept_m2=kept_m2)
    standing = D("0.00")
    for step in steps:
        kind, m2, flag = step
        patch.refresh_from_db()
        rows = list(Ground.of(oak.group).filter(patch=patch, corrects=None))
        before = [(row.pk, row.m2) for row in rows]
        standing_after = expected_after(step, standing, patch.coverable_m2)
        try:
            if kind in ("build", "rescue"):
                write(oak, patch, m2, kind=kind, is_complete=flag)
            elif kind == "rest":
                write(oak, patch, ledger.room_m2(patch))
            elif kind == "close again" and rows:
                ledger.write(day=rows[0].day, patch=patch, as_built=rows[0].as_built, by=oak.lead)
            elif kind == "correct" and rows:
                row = rows[0] if flag else rows[-1]
                ledger.correct(ground=row, m2=m2, reason="taped", by=oak.lead)
                standing_after = standing + m2
            elif kind == "measure":
                ledger.measure_again(patch=patch, lawn_m2=m2, why="taped", by=oak.lead)
        except ValidationError:
            pass
        patch.refresh_from_db()
        standing = ledger.standing_m2(patch)
        assert standing == standing_after
        assert D(0) <= standing <= patch.coverable_m2
        after = {row.pk: row.m2 for row in Ground.of(oak.group).filter(patch=patch)}
        assert all(after[pk] == m2 for pk, m2 in before), "a row of the ledger was changed"
        assert standing == sum(after.values(), D(0))
    days = list(Ground.of(oak.group).filter(patch=patch, corrects=None).values_list("day", flat=True))
    assert len(days) == len(set(days))
    for row in Ground.of(oak.group).filter(patch=patch, corrects=None):
        assert row.m2 + sum(c.m2 for c in row.corrections.all()) >= 0
    assert AsBuilt.of(oak.group).filter(patch=patch).count() >= len(days)
