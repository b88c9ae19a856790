"""What stands beside a figure: labels and units that a page can say in another language."""

import dataclasses

import pytest

from conversions.sizing import OWN, read_own, read_site, takeoff
from conversions.sizing.figures import LABELS, TEXTS, UNITS
from conversions.sizing.zones import KEPT_ORDER

from .test_takeoff import YARDS
from .test_yours import with_own, yard
from .yards import patch, plain, site, worked

KEPT = [
    {"kind": "building", "points": [[15, 1], [16, 1], [16, 2]], "label": "shed"},
    {"kind": "right of way", "edge": "B", "width_m": 0.5},
    {"kind": "tree", "x": 6, "y": 5, "trunk_m": 0.3},
]


def everything():
    """Sites that between them show every label: every worked yard, every number of ones own, every strip kept."""
    front = patch([(0, 12), (20, 12), (20, 0), (0, 0)], ["house", "path", "fence", "fence"], features=KEPT)
    yield site(front, fire_strip_m=0.6), {}
    yield site(front), {"pace": 1.2, "pace_days": 7}
    for name in YARDS:
        yield read_site(worked(name)[0]), {}
    yield plain(cardboard={"layers": 1}), {}
    for name, row in OWN.items():  # a little more than the book: no ring or strip reaches a bed
        value = row.default + 1 if row.is_whole else round(row.default * 0.9 + row.most * 0.1, 6)
        yield with_own(yard(), name, value), {}


def test_every_label_and_unit_beside_a_figure_is_on_the_list_that_pages_translate():
    seen = set()
    for of, logged in everything():
        patches = {row.label for row in of.patches}
        kept = {f"{label}: {reason}" for label in patches for reason in KEPT_ORDER}
        for key, figure in takeoff(of, **logged).figures.items():
            labels = {label for label, _, _ in figure.inputs}
            assert labels <= LABELS | patches | kept, key
            assert {figure.unit, *(unit for _, _, unit in figure.inputs)} <= UNITS, key
            seen |= labels
    of_own = {row.label for row in OWN.values()}
    assert LABELS - set(TEXTS) - set(KEPT_ORDER) - of_own <= seen  # nothing on the list that no figure shows
    assert {f"Front: {reason}" for reason in KEPT_ORDER} <= seen


@pytest.mark.parametrize("key", TEXTS)
def test_every_figure_says_in_whole_sentences_how_it_came_about(key):
    figure = takeoff(dataclasses.replace(plain(), own=read_own({}))).figures[key]
    for text in (figure.formula, figure.rounding, figure.source):
        assert text.endswith(".") and not text[0].islower()
