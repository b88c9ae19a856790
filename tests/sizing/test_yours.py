"""What a number of the group's own changes, and that the figures say so."""

import dataclasses

import pytest

from conversions.sizing import OWN, SiteError, day_plan, first_layout, learn_pace, learn_rate, read_own, takeoff
from conversions.sizing.figures import YOURS_BOTH, YOURS_SET
from conversions.sizing.learning import Learned

from .yards import patch, plain, site

TREE = {"kind": "tree", "x": 3, "y": 4, "trunk_m": 0.3}
YOUNG = {"kind": "tree", "x": 10, "y": 4, "trunk_m": 0.1}
LINE = {"kind": "line", "service": "gas", "points": [[12.5, 0], [12.5, 12]]}
PAINT = {"kind": "painted wall", "edge": "D"}
BEDS = [
    {"uid": "m", "patch": "front", "kind": "mounded", "x": 8, "y": 9.5, "length_m": 5},
    {"uid": "f", "patch": "front", "kind": "framed", "x": 16, "y": 8, "turn_deg": 90},
    {"uid": "p", "patch": "front", "kind": "pocket", "x": 16, "y": 3},
]
SIDES = [(0, 12), (20, 12), (20, 0), (0, 0)]
WORK = ("hours", "people", "clock_hours")
BEYOND = ["house", "path", "pavement", "fence"]

# what no figure stands on: advice, the first layout, and what is learned; each has a test of its own below
NO_FIGURE = {
    "absurd_side", "chip_least_depth", "paved_edge", "first_beds_area", "chips_pin_slope", "chips_never_slope",
    "book_hours", "book_units", "pace_sd", "pace_least", "pace_most", "day_share", "hours_mow_short",
    "hours_cardboard_strip_tape_staples",
}  # fmt: skip


def yard(soil="medium", **more):
    card = {"sheet_m": [2.2, 1.1], "layers": 1}  # few sheets, so that many take-offs are quick
    usual = {"haul_m": 80, "gate_m": 0.6, "slope": 0.1, "beds": BEDS, "cardboard": card}
    front = patch(SIDES, BEYOND, features=[TREE, YOUNG, LINE, PAINT])
    return site(front, soil=soil, **usual | more)


def soil_of(name):
    return next((soil for soil in ("light", "heavy") if name.endswith(soil)), "medium")


def shown(figure):
    return figure.value, figure.low, figure.high


def with_own(of, name, value):
    return dataclasses.replace(of, own=read_own({name: value}))


def steps(name):
    """Both bounds and something between; whole where the number is whole."""
    row = OWN[name]
    values = {row.least, row.most, (row.least + row.default) / 2, (row.most + row.default) / 2}
    return sorted({float(int(value)) if row.is_whole else round(value, 6) for value in values} - {row.default})


def told(figure, name):
    """The value, its range and its inputs, without the line that the own number adds."""
    return shown(figure), [line for line in figure.inputs if line[0] != OWN[name].label]


@pytest.mark.parametrize("name", sorted(set(OWN) - NO_FIGURE))
def test_every_figure_that_a_number_of_ones_own_moves_says_yours_and_names_it(name):
    moved = set()
    for of in (yard(soil_of(name)), yard(soil_of(name), haul_m=25), plain(14, 9), plain(5, 4)):
        if moved:
            break
        book = takeoff(of).figures
        for value in steps(name):
            try:
                figures = takeoff(with_own(of, name, value)).figures
            except SiteError:  # a ring so wide that it reaches a bed
                continue
            for key, figure in figures.items():
                if name in figure.own:
                    assert (figure.origin, figure.source, figure.is_learned) == ("yours", YOURS_SET, False)
                    assert value in [number for _, number, _ in figure.inputs], key
                else:
                    assert figure == book[key], (key, value)
                if told(figure, name) != told(book[key], name):
                    moved.add(key)
    assert moved


def test_without_numbers_of_its_own_every_figure_says_book():
    for figure in takeoff(yard()).figures.values():
        assert (figure.origin, figure.own, figure.is_learned) == ("book", (), False)


def test_a_number_that_this_yard_does_not_use_marks_nothing():
    """No tree, no frame, light soil only: their numbers change no figure."""
    of = plain()
    for name, value in (("tree_ring_least", 3), ("freeboard", 0.05), ("swell_light", 0.3), ("repose", 40)):
        assert takeoff(with_own(of, name, value)).figures == takeoff(of).figures


@pytest.mark.parametrize(
    ("change", "keys"),
    [
        ({"mulch": {"settling": 0.3}}, {"chips", "chips_loads", *WORK}),
        ({"mulch": {"density_kgm3": 400}}, {"chips", "chips_loads"}),
        ({"compost_settling": 0.3}, {"compost", *WORK}),
        ({"mulch": {"settling": 0.2, "density_kgm3": 280}, "compost_settling": 0.2}, set()),  # as in the table
    ],
)
def test_settling_and_density_of_ones_own_say_yours_as_well(change, keys):
    figures = takeoff(yard(**change)).figures
    assert {key for key, figure in figures.items() if figure.origin == "yours"} == keys


def test_hours_of_ones_own_and_logged_days_are_both_named():
    of = with_own(plain(), "hours_cardboard_lay", 0.06)
    figure = takeoff(of, pace=1.2, pace_days=4).figures["hours"]
    assert (figure.origin, figure.own, figure.is_learned) == ("yours", ("hours_cardboard_lay",), True)
    assert figure.source == YOURS_BOTH
    assert ("logged days", 4, "days") in figure.inputs and ("cardboard_lay", 0.06, "h/m2") in figure.inputs


def test_a_rate_learned_for_a_task_takes_the_place_of_the_groups_own():
    of, learned = with_own(plain(), "hours_cardboard_lay", 0.06), {"cardboard_lay": Learned(0.05, 0.01, 4)}
    result = takeoff(of, learned=learned)
    assert result.figures["hours"].own == ()
    assert [task.likely_h for task in result.tasks if task.task == "cardboard_lay"] == [
        pytest.approx(result.figures["cover"].value * 0.05, abs=1e-4)
    ]


def test_numbers_of_ones_own_come_out_as_worked_by_hand():
    """A frame 0.2 m high filled to 50 mm under the rim: 2.324 x 1.124 x 0.15 = 0.3918 m3. 0.8 kg of card a square metre."""
    of = plain(beds=[{"uid": "f", "patch": "front", "kind": "framed", "x": 4, "y": 3}])
    own = dataclasses.replace(of, own=read_own({"freeboard": 0.05, "card_mass": 0.8, "swell_medium": 0.5}))
    figures = takeoff(own).figures
    assert figures["compost_in_place"].value == 0.392
    assert figures["cardboard_mass"].value == round(figures["cardboard_area"].value * 0.8, 1)
    assert figures["trench_soil"].value == round(figures["trench"].value * 0.015 * 1.5, 3)


def test_a_steeper_heap_may_be_higher():
    mound = {
        "uid": "m",
        "patch": "front",
        "kind": "mounded",
        "x": 4,
        "y": 3,
        "length_m": 3,
        "width_m": 0.8,
        "height_m": 0.35,
    }
    with pytest.raises(SiteError) as caught:
        takeoff(plain(beds=[mound]))
    assert [problem.code for problem in caught.value.problems] == ["mound-too-steep"]
    assert takeoff(plain(beds=[mound], own={"repose": 45})).figures["compost_in_place"].own == ("repose",)


@pytest.mark.parametrize(
    ("own", "change", "code", "comes"),
    [
        ({"absurd_side": 20}, {}, "absurd-side", True),
        ({"chip_least_depth": 0.03}, {"mulch": {"depth_m": 0.04}}, "mulch-too-thin", False),
        ({"chip_least_depth": 0.1}, {}, "mulch-too-thin", True),
        ({"chips_pin_slope": 0.3}, {"slope": 0.25}, "steep", False),
        ({"chips_never_slope": 0.5}, {"slope": 0.4}, "too-steep", False),
    ],
)
def test_advice_follows_the_groups_own_numbers(own, change, code, comes):
    def codes(numbers):
        result = takeoff(plain(25, 6, own=numbers, **change))
        return {problem.code for problem in (*result.advice, *result.warnings)}

    assert (code in codes(own)) is comes
    assert (code in codes({})) is not comes


def test_the_sentence_about_slope_speaks_of_the_groups_own_number():
    (problem,) = takeoff(plain(slope=0.45, own={"chips_never_slope": 0.4})).advice
    assert "steeper than 1 in 2.5." in problem.sentence


def test_the_first_layout_follows_the_groups_own_numbers():
    small = first_layout(plain(own={"first_beds_area": 5}), "front")
    assert (
        sum(bed.length_m * bed.width_m for bed in small)
        < 6
        < sum(bed.length_m * bed.width_m for bed in first_layout(plain(), "front"))
    )
    narrow = [
        {bed.kind for bed in first_layout(plain(12, 2.0, ["path"] * 4, own=own), "front")}
        for own in ({}, {"paved_edge": 0.6})
    ]
    assert narrow == [{"mounded", "framed"}, {"pocket"}]


def test_what_is_learned_follows_the_groups_own_numbers():
    days = [(20.0, 30.0), (16.0, 28.0)]
    usual, trusting = learn_pace(days), learn_pace(days, read_own({"book_hours": 5}))
    assert 1 < usual.mean < trusting.mean
    assert learn_pace([(50.0, 500.0)], read_own({"pace_most": 1.5})).mean == 1.5
    assert learn_pace([(50.0, 1.0)], read_own({"pace_least": 0.9})).mean == 0.9
    assert learn_pace(days, read_own({"pace_sd": 0.1})).sd < usual.sd
    big = [(100.0, 300.0), (10.0, 10.0)]
    assert learn_pace(big, read_own({"day_share": 0.9})).mean > learn_pace(big).mean
    assert (
        learn_rate("seed_rows", [(2.0, 0.1)], read_own({"book_units": 1})).mean
        > learn_rate("seed_rows", [(2.0, 0.1)]).mean
    )
    assert learn_rate("seed_rows", [], read_own({"hours_seed_rows": 0.08})).mean == pytest.approx(
        2 * learn_rate("seed_rows", []).mean
    )


def test_the_day_plan_follows_the_groups_own_numbers():
    """14 x 10 m ends in one morning with 20 people; with half of the hour worked it takes two."""
    of = takeoff(plain(14, 10))
    assert day_plan(of).is_one_day
    assert not day_plan(of, own=read_own({"working_share": 0.5})).is_one_day
