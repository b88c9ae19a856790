"""A length measured across checks the shape and says so."""

import pytest

from conversions.yards import acrosses
from tests.rows import make_open, rectangle
from tests.yards.test_plan import text


@pytest.fixture
def draft(oak):
    """7 by 5.2 m: the sides give the square root of 7² + 5.2², which is 8.72 m."""
    return make_open(oak, None, rectangle("7", "5.2"), beds=False)


def post(client, oak, draft, **typed):
    uid = draft.site["patches"][0]["uid"]
    data = {"drawing": draft.number, "revision": draft.revision, "start": "A", "end": "C", **typed}
    answer = client.post(oak.url(f"yards/{draft.conversion_id}/plan/patches/{uid}/across/"), data, follow=True)
    draft.refresh_from_db()
    return answer


def test_the_tape_and_the_sides_are_told_beside_each_other(organiser, oak, draft):
    page = text(post(organiser, oak, draft, tape="9.2"))
    assert "A to C: the tape says 9.20 m, your sides give 8.72 m. Measure the sides and this once more" in page


def test_a_tape_that_agrees_says_so(organiser, oak, draft):
    assert "the tape says 8.70 m, your sides give 8.72 m. They agree." in text(post(organiser, oak, draft, tape="8.7"))


def test_a_second_tape_between_the_same_corners_takes_the_place_of_the_first(organiser, oak, draft):
    post(organiser, oak, draft, tape="9.2")
    post(organiser, oak, draft, tape="8.72", start="C", end="A")
    assert acrosses.measured(draft.site["patches"][0]) == [{"from": "C", "to": "A", "tape_m": 8.72}]


def test_it_changes_no_figure_and_stays_when_the_walk_is_typed_again(organiser, oak, draft):
    before = draft.takeoff["figures"]["cover"]["value"]
    post(organiser, oak, draft, tape="9.2")
    uid = draft.site["patches"][0]["uid"]
    assert draft.takeoff["figures"]["cover"]["value"] == before
    data = {"drawing": draft.number, "revision": draft.revision, "length": "7.4", "beyond": "house"}
    page = text(organiser.post(oak.url(f"yards/{draft.conversion_id}/plan/patches/{uid}/sides/A/"), data, follow=True))
    assert "your sides give 9.04 m" in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"tape": ""}, "Write a length."),
        ({"tape": "far"}, "We cannot read this."),
        ({"tape": "9", "end": "A"}, "Pick two corners."),
        ({"tape": "9", "end": "Z"}, "Z"),
    ],
)
def test_what_cannot_be_read_is_said_beside_it_and_stays(organiser, oak, draft, typed, said):
    answer = post(organiser, oak, draft, **typed)
    assert answer.status_code == 422 and said in text(answer)
    assert acrosses.measured(draft.site["patches"][0]) == []


def test_the_page_says_at_its_top_what_to_mend_and_opens_beside_it(organiser, oak, draft):
    uid = draft.site["patches"][0]["uid"]
    page = text(post(organiser, oak, draft, tape="9", end="A"))
    line = f'<a href="#div_across_{uid}_end">Front lawn, To corner: Pick two corners.</a>'
    assert line in page and page.index(line) < page.index('class="bench"')
    assert f'id="div_across_{uid}_end"' in page, "the line leads somewhere"
    assert f'/across/#across-{uid}"' in page, "a browser keeps that part of the address for the answer"


def test_three_sides_and_a_circle_have_nothing_to_check(organiser, oak, draft):
    site = draft.site
    assert "Check the shape" in text(organiser.get(oak.url(f"yards/{draft.conversion_id}/plan/")))
    site["patches"][0]["corners"].pop()
    draft.save()
    assert "Check the shape" not in text(organiser.get(oak.url(f"yards/{draft.conversion_id}/plan/")))
