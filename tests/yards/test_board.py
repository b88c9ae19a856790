"""The drawing board's page: its list, saving from it, and the figures of what is not saved."""

import json
import math
import uuid

import pytest

from conversions.yards import board, limits
from conversions.yards.actions import save_site
from conversions.yards.kinds import KINDS, PUT, SERVICES
from tests.rows import make_kept, make_open, make_yard, rectangle
from tests.yards.test_drawn import full


@pytest.fixture
def draft(oak):
    return make_open(oak, None, rectangle("9", "6"), beds=False)


def url(oak, draft, path=""):
    return oak.url(f"yards/{draft.conversion_id}/plan/draw/{path}")


def carried(draft, **more):
    return {"drawing": draft.number, "revision": draft.revision, **more}


def sent(client, oak, draft, site, **more):
    """A drawing as the page's script sends it."""
    return client.post(
        url(oak, draft), carried(draft, site=json.dumps(site), **more), headers={"Accept": "application/json"}
    )


def tried(client, oak, draft, site):
    return client.post(url(oak, draft, "try/"), carried(draft, site=json.dumps(site))).json()


def now(draft):
    draft.refresh_from_db()
    return draft.site


def mound(draft, **more):
    return mound_on(draft.site["patches"][0]["uid"], **more)


def mound_on(patch, **more):
    bed = {"uid": str(uuid.uuid4()), "patch": patch, "kind": "mounded", "x": 4.5, "y": 3.0}
    return {**bed, "length_m": 3.0, "width_m": 1.2, "height_m": 0.15, "turn_deg": 0.0, "ends": "round", **more}


# ---- the list

SIZE = {"do": "add patch", "new.long": "8", "new.wide": "4.5"}


def test_every_corner_stands_in_the_list_with_a_field_for_each_number(organiser, oak, draft):
    page = organiser.get(url(oak, draft)).content.decode()
    assert 'name="patches.0.corners.1.x" value="9"' in page and 'name="patches.0.corners.1.y" value="6"' in page
    assert page.count("<h1") == 1


def test_the_page_offers_everything_that_can_be_put_on_the_ground(organiser, oak, draft):
    page = organiser.get(url(oak, draft)).content.decode()
    assert all(f'name="put" value="{kind}"' in page for kind in PUT)
    assert all(f'<option value="{code}">' in page for code in SERVICES)


def test_a_page_of_a_yard_without_a_drawing_begins_empty(organiser, oak):
    yard = make_yard(oak)
    page = organiser.get(oak.url(f"yards/{yard.pk}/plan/draw/"))
    assert page.status_code == 200 and "Nothing measured yet" in page.content.decode()
    assert not yard.drafts.exists()


def test_a_list_of_many_beds_asks_no_more_questions_of_the_database(
    organiser, oak, draft, django_assert_max_num_queries
):
    site = {**draft.site, "beds": [mound(draft, x=1 + i / 100) for i in range(40)]}
    save_site(draft=draft, revision=draft.revision, site=site, by=oak.organiser)
    organiser.get(url(oak, draft))
    with django_assert_max_num_queries(12):
        organiser.get(url(oak, draft))


def test_a_number_typed_in_the_list_moves_its_corner(organiser, oak, draft):
    answer = organiser.post(url(oak, draft), carried(draft, **{"patches.0.corners.1.x": "8.5"}))
    assert answer.status_code == 302
    corners = now(draft)["patches"][0]["corners"]
    assert [(c["x"], c["y"]) for c in corners] == [(0, 6), (8.5, 6), (9, 0), (0, 0)]
    assert now(draft)["patches"][0]["shape"] == "outline"


def test_a_field_left_as_it_was_keeps_the_exact_number_it_stands_for(organiser, oak, draft):
    """12 ft 6½ in is 3.8227 m: shown to the half inch, it is not taken over as it is shown."""
    oak.group.units = "imperial"
    oak.group.save()
    page = organiser.get(url(oak, draft)).content.decode()
    shown = page.split('name="patches.0.corners.1.x" value="')[1].split('"')[0]
    assert shown == "29 ft 6½ in"
    data = {"patches.0.corners.1.x": shown, "patches.0.corners.1.y": "20 ft"}
    organiser.post(url(oak, draft), carried(draft, **data))
    assert (now(draft)["patches"][0]["corners"][1]["x"], now(draft)["patches"][0]["corners"][1]["y"]) == (9, 6.096)


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("patches.0.corners.1.x", "abc", "We cannot read this."),
        ("patches.0.corners.1.x", "", "Write a length."),
        ("patches.0.corners.1.beyond", "the moon", "Pick one of the list."),
        ("north_deg", "up", "Write a number of degrees, as 90."),
        ("north_deg", "999", "Write degrees from 0 to 360."),
        ("beds.0.width_m", "0", "more than nothing"),
        ("beds.0.width_m", "-1", "less than nothing"),
    ],
)
def test_what_cannot_be_read_stands_beside_its_field_and_nothing_typed_is_lost(
    organiser, oak, draft, field, typed, said
):
    save_site(draft=draft, revision=draft.revision, site={**draft.site, "beds": [mound(draft)]}, by=oak.organiser)
    draft.refresh_from_db()
    before = draft.site
    answer = organiser.post(url(oak, draft), carried(draft, **{field: typed, "patches.0.corners.2.x": "8.25"}))
    page = answer.content.decode()
    assert answer.status_code == 422
    beside = page[page.index(f'name="{field}"') :][:900]
    assert said in beside
    assert 'name="patches.0.corners.2.x" value="8.25"' in page
    assert now(draft) == before


@pytest.mark.parametrize(
    "kind", ["mounded", "along", "framed", "pocket", "tree", "line", "hole", "tap", "heap", "downspout"]
)
def test_each_kind_of_thing_can_be_added_and_taken_off_by_numbers(organiser, oak, draft, kind):
    organiser.post(url(oak, draft), carried(draft, do=f"add {kind} 0"))
    found = [(path, k) for path, k, _thing in board.things(now(draft), 0) if k == kind]
    assert len(found) == 1
    organiser.post(url(oak, draft), carried(draft, do=f"remove {found[0][0]}"))
    assert kind not in {k for _path, k, _thing in board.things(now(draft), 0)}


def test_a_patch_can_be_begun_by_numbers_where_nothing_is_drawn(organiser, oak):
    yard = make_yard(oak)
    organiser.post(oak.url(f"yards/{yard.pk}/plan/draw/"), {"drawing": 0, "revision": 0, **SIZE})
    patch = yard.drafts.get().site["patches"][0]
    assert (patch["label"], len(patch["corners"]), patch["shape"]) == ("Front lawn", 4, "outline")
    assert [(c["x"], c["y"]) for c in patch["corners"]] == [(0, 4.5), (8, 4.5), (8, 0), (0, 0)]


@pytest.mark.parametrize(
    ("size", "said"),
    [({}, "Write a length."), ({"new.long": "8"}, "Write a length."), (SIZE | {"new.wide": "x"}, "read")],
)
def test_a_patch_is_never_begun_in_a_size_that_nobody_wrote(organiser, oak, size, said):
    yard = make_yard(oak)
    body = {"drawing": 0, "revision": 0, **size, "do": "add patch"}
    answer = organiser.post(oak.url(f"yards/{yard.pk}/plan/draw/"), body)
    page = answer.content.decode()
    assert answer.status_code == 422 and not yard.drafts.exists()
    assert said in page[page.index('name="new.wide"') :]
    assert f'name="new.long" value="{size.get("new.long", "")}"' in page


def test_a_size_that_was_written_is_not_lost_when_save_is_pressed(organiser, oak):
    yard = make_yard(oak)
    body = {"drawing": 0, "revision": 0, **SIZE, "do": ""}
    organiser.post(oak.url(f"yards/{yard.pk}/plan/draw/"), body)
    assert len(yard.drafts.get().site["patches"]) == 1


def test_a_patch_begun_by_numbers_in_two_yards_is_two_patches(organiser, oak):
    yards = [make_yard(oak), make_yard(oak, name="Ada Birch", address="3 Elder Lane")]
    for yard in yards:
        for _twice in range(2):
            organiser.post(oak.url(f"yards/{yard.pk}/plan/draw/"), {"drawing": 0, "revision": 0, **SIZE})
    patches = [yard.drafts.get().site["patches"] for yard in yards]
    assert [len(rows) for rows in patches] == [1, 1] and patches[0][0]["uid"] != patches[1][0]["uid"]


def test_a_corner_is_added_in_the_middle_of_its_side_and_three_must_stay(organiser, oak, draft):
    organiser.post(url(oak, draft), carried(draft, do="after patches.0.corners.0"))
    corners = now(draft)["patches"][0]["corners"]
    assert [(c["id"], c["x"], c["y"]) for c in corners[:2]] == [("A", 0, 6), ("E", 4.5, 6)]
    for _times in range(2):
        organiser.post(url(oak, draft), carried(draft, do="remove patches.0.corners.1"))
        draft.refresh_from_db()
    assert organiser.post(url(oak, draft), carried(draft, do="remove patches.0.corners.1")).status_code == 404
    assert len(now(draft)["patches"][0]["corners"]) == 3


@pytest.mark.parametrize(
    "asked", ["add framed 0", "add along 0", "add patch", "add tree 0", "after patches.0.corners.0"]
)
def test_a_button_pressed_twice_is_pressed_once(organiser, oak, draft, asked):
    body = carried(draft, **SIZE | {"do": asked})
    answers = [organiser.post(url(oak, draft), body) for _twice in range(2)]
    assert answers[0]["Location"] == answers[1]["Location"]
    assert draft.conversion.drafts.count() == 1 and draft.conversion.drafts.get().revision == draft.revision + 1
    after = carried(
        draft.conversion.drafts.get(), **SIZE | {"do": asked}
    )  # the page as it stands now: a press of its own
    assert organiser.post(url(oak, draft), after)["Location"] == answers[0]["Location"]
    rows = now(draft)["beds"] + now(draft)["patches"]
    assert len({row["uid"] for row in rows}) == len(rows)
    if asked in ("add framed 0", "add along 0"):
        assert len(now(draft)["beds"]) == 2


def test_a_button_pressed_twice_is_pressed_once_though_somebody_saves_in_between(organiser, oak, draft):
    body = carried(draft, do="add framed 0")
    organiser.post(url(oak, draft), body)
    draft.refresh_from_db()
    save_site(draft=draft, revision=draft.revision, site={**draft.site, "north_deg": 10}, by=oak.visitor)
    assert "compare" not in organiser.post(url(oak, draft), body)["Location"]
    assert draft.conversion.drafts.count() == 1 and now(draft)["north_deg"] == 10


@pytest.mark.parametrize(
    "asked",
    [
        "remove patches",
        "remove schema",
        "remove own",
        "add corner 0",
        "add moon 0",
        "add tree 9",
        "after x",
        "point beds.9.path",
        "point beds",
        "point patches.0",
        "point patches.0.uid",
        "point patches.0.label",
        "point patches.0.features",
        "point patches.0.corners",
        "after patches.0.circle",
        "after patches.0.corners.-1",
        "after patches.0.corners.9",
        "remove patches.0.corners.-1",
        "remove patches.0.corners.0.x",
        "remove cardboard.sheet_m.0",
        "add tree -1",
        "add tree 0.label",
        "add tree 0.corners",
        "add tree 0.circle",
        "fly",
        "",
    ],
)
def test_asking_for_what_is_not_there_changes_nothing(organiser, oak, draft, asked):
    before = draft.site
    answer = organiser.post(url(oak, draft), carried(draft, do=asked))
    assert answer.status_code == (302 if asked == "" else 404)
    assert now(draft) == before


@pytest.mark.parametrize(
    "asked",
    [
        "point patches.0.corners.0",
        "point cardboard.sheet_m",
        "point beds.1.path.0",
        "after patches.0.typed.lengths",
        "after patches.0.features.1.points.0",
        "remove patches.0.features.1.points.0.0",
        "remove patches.0.features.1.points.0",
        "remove patches.0.typed.measured.0.from",
    ],
)
def test_what_is_asked_of_a_drawing_with_everything_on_it_keeps_its_shape(organiser, oak, draft, asked):
    save_site(draft=draft, revision=draft.revision, site=full(), by=oak.organiser)
    draft.refresh_from_db()
    before = draft.site
    assert organiser.post(url(oak, draft), carried(draft, do=asked)).status_code == 404
    assert now(draft) == before


def test_one_number_of_a_point_cannot_be_taken_off(organiser, oak, draft):
    organiser.post(url(oak, draft), carried(draft, do="add line 0"))
    before = now(draft)
    for asked in ("remove patches.0.features.0.points.0.1", "point patches.0.features.0.points.0"):
        assert organiser.post(url(oak, draft), carried(draft, do=asked)).status_code == 404
    assert now(draft) == before


def test_a_length_across_goes_with_its_corner_and_never_moves_to_the_next_one_of_that_letter(organiser, oak, draft):
    site = json.loads(json.dumps(draft.site))
    tapes = [{"from": "A", "to": "C", "tape_m": 10.8}, {"from": "B", "to": "D", "tape_m": 10.8}]
    site["patches"][0]["typed"]["measured"] = tapes
    save_site(draft=draft, revision=draft.revision, site=site, by=oak.organiser)
    for asked in ("remove patches.0.corners.1", "after patches.0.corners.2"):
        draft.refresh_from_db()
        organiser.post(url(oak, draft), carried(draft, do=asked))
    assert sorted(corner["id"] for corner in now(draft)["patches"][0]["corners"]) == ["A", "B", "C", "D"]
    assert now(draft)["patches"][0]["typed"]["measured"] == tapes[:1]


# ---- a drawing sent by the script


def test_what_was_drawn_is_saved_and_the_answer_says_where_to_go(organiser, oak, draft):
    site = {**draft.site, "beds": [mound(draft)]}
    answer = sent(organiser, oak, draft, site)
    assert answer.json()["to"].endswith(f"/plan/draw/?drawing={draft.number}")
    assert now(draft)["beds"][0]["length_m"] == 3.0


def test_a_board_changes_neither_depths_nor_numbers_of_the_group(organiser, oak, draft):
    site = {**draft.site, "mulch": {"material": "wood chips", "depth_m": 0.5}, "own": {"repose": 45}, "haul_m": 999}
    sent(organiser, oak, draft, site)
    assert (now(draft).get("own", {}), now(draft)["haul_m"]) == ({}, draft.site["haul_m"])
    assert now(draft)["mulch"]["depth_m"] == 0.09


def test_a_walked_shape_stays_walked_while_only_beds_are_drawn(organiser, oak, draft):
    sent(organiser, oak, draft, {**draft.site, "beds": [mound(draft)]})
    assert now(draft)["patches"][0]["shape"] == "rectangle"
    assert now(draft)["patches"][0]["typed"]["lengths"] == {"A": "9", "B": "6"}


def test_a_save_from_an_older_drawing_becomes_a_drawing_beside_it(organiser, oak, draft):
    visitor = oak.sign_in(type(organiser)(), "visitor")
    sent(visitor, oak, draft, {**draft.site, "north_deg": 10})
    mine = {**draft.site, "beds": [mound(draft)]}
    answers = [sent(organiser, oak, draft, mine).json()["to"] for _twice in range(2)]
    assert answers[0] == answers[1] and answers[0].endswith("/plan/compare/?one=1&other=2")
    theirs, beside = draft.conversion.drafts.order_by("number")
    assert (theirs.site["north_deg"], theirs.site["beds"]) == (10, [])
    assert (beside.parent, beside.by, len(beside.site["beds"])) == (theirs, oak.organiser, 1)


def test_the_same_drawing_sent_twice_is_saved_once(organiser, oak, draft):
    site = {**draft.site, "beds": [mound(draft)]}
    assert sent(organiser, oak, draft, site).json() == sent(organiser, oak, draft, site).json()
    assert draft.conversion.drafts.count() == 1
    assert now(draft) and draft.revision == 3  # opened, begun by the fixture, and this


def test_a_save_whose_answer_was_lost_is_answered_as_it_was_whatever_was_saved_since(organiser, oak, draft):
    mine, uid = {**draft.site, "beds": [mound(draft)]}, uuid.uuid4()
    first = sent(organiser, oak, draft, mine, save=uid).json()
    visitor = oak.sign_in(type(organiser)(), "visitor")
    later = {"drawing": first["drawing"], "revision": first["revision"]}
    visitor.post(url(oak, draft), {**later, "site": json.dumps({**mine, "north_deg": 10})})
    assert sent(organiser, oak, draft, mine, save=uid).json() == first
    assert (draft.conversion.drafts.count(), now(draft)["north_deg"]) == (1, 10)


def test_a_first_drawing_whose_answer_was_lost_is_begun_once(organiser, oak):
    yard, uid = make_yard(oak), uuid.uuid4()
    body = {"drawing": 0, "revision": 0, "save": uid, "site": json.dumps({"patches": [rectangle("9", "6")]})}
    page = oak.url(f"yards/{yard.pk}/plan/draw/")
    answers = [organiser.post(page, body, headers={"Accept": "application/json"}).json() for _twice in range(2)]
    assert answers[0] == answers[1] and (answers[0]["drawing"], answers[0]["revision"]) == (1, 2)
    more = {**answers[0]["site"], "north_deg": 10}
    more = {"drawing": 1, "revision": 2, "save": uuid.uuid4(), "site": json.dumps(more)}
    assert organiser.post(page, more, headers={"Accept": "application/json"}).json()["revision"] == 3
    assert yard.drafts.get().site["north_deg"] == 10


def test_a_drawing_beside_anothers_is_made_once_whatever_they_save_since(organiser, oak, draft):
    visitor = oak.sign_in(type(organiser)(), "visitor")
    sent(visitor, oak, draft, {**draft.site, "north_deg": 10})
    mine, uid = {**draft.site, "beds": [mound(draft)]}, uuid.uuid4()
    first = sent(organiser, oak, draft, mine, save=uid).json()
    beside = draft.conversion.drafts.get(number=2)
    save_site(draft=beside, revision=1, site={**beside.site, "north_deg": 20}, by=oak.visitor)
    assert sent(organiser, oak, draft, mine, save=uid).json() == first
    assert (first["drawing"], first["revision"]) == (2, 1) and "/compare/" in first["to"]
    assert draft.conversion.drafts.count() == 2


def test_the_answer_to_a_save_holds_the_drawing_as_it_was_settled(organiser, oak, draft):
    site = json.loads(json.dumps(draft.site))
    site["patches"][0]["corners"][3]["x"] = -1
    told = sent(organiser, oak, draft, site, save="no uid").json()
    assert told["site"] == now(draft)
    assert [corner["x"] for corner in told["site"]["patches"][0]["corners"]] == [1, 10, 10, 0]


def test_a_lawn_drawn_anew_on_the_board_under_its_old_name_is_the_same_ground(organiser, oak):
    kept = make_kept(oak)
    anew = rectangle("9", "6", label="")
    body = {"drawing": 0, "revision": 0, "site": json.dumps({"patches": [anew], "beds": []})}
    organiser.post(url(oak, kept), body)
    later = kept.conversion.drawing()
    assert [patch["uid"] for patch in later.site["patches"]] == [kept.site["patches"][0]["uid"]]
    page = organiser.post(
        oak.url(f"yards/{kept.conversion_id}/plan/keep/"), {"drawing": 2, "revision": later.revision}, follow=True
    )
    assert "The plan is kept." in page.content.decode()


def test_a_kept_drawing_is_left_and_the_change_begins_the_next(organiser, oak):
    kept = make_kept(oak)
    site = {**kept.site, "north_deg": 90}
    answer = organiser.post(
        url(oak, kept), {"drawing": 0, "revision": 0, "site": json.dumps(site)}, headers={"Accept": "application/json"}
    )
    assert answer.json()["to"].endswith("?drawing=2")
    kept.refresh_from_db()
    assert kept.site.get("north_deg") is None
    assert kept.conversion.drawing().site["north_deg"] == 90


@pytest.mark.parametrize(
    "text",
    [
        "nonsense",
        "[]",
        "null",
        "[" * 5000,
        '{"patches": 3}',
        '{"patches": [{"uid": "x"}]}',
        '{"beds": [{"uid": 1}]}',
        '{"north_deg": "up"}',
    ],
)
def test_a_drawing_that_cannot_be_read_is_refused_in_words(organiser, oak, draft, text):
    before = draft.site
    for path in ("", "try/"):
        answer = organiser.post(
            url(oak, draft, path), carried(draft, site=text), headers={"Accept": "application/json"}
        )
        assert answer.status_code == (422 if not path else 200)
    assert now(draft) == before


HALF, NUL = (
    "\ud83d",
    "\0",
)  # half of a sign of two parts, as a browser sends one cut in the middle; what no database takes


def test_signs_that_cannot_be_kept_are_dropped_from_every_word_of_a_drawing(organiser, oak, draft):
    word = f"oa{HALF}k{NUL}"
    site = json.loads(json.dumps(draft.site))
    patch = site["patches"][0]
    patch["label"] = word
    patch["corners"][0]["typed"] = word
    patch["features"] = [
        {"kind": "tree", "x": 2, "y": 2, "trunk_m": 0.2, "label": word},
        {"kind": "line", "service": word, "points": [[0, 1], [9, 1]]},
        {"kind": "building", "edge": word, "points": []},
    ]
    patch["marks"] = [{"kind": "tap", "x": 9, "y": 6, "label": word}]
    patch["typed"]["measured"] = [{"from": f"A{HALF}", "to": f"C{NUL}", "tape_m": 10.8}]
    assert sent(organiser, oak, draft, site).status_code == 200
    kept = json.dumps(now(draft))
    assert "\\ud83d" not in kept and "\\u0000" not in kept
    patch = now(draft)["patches"][0]
    assert [patch["label"], *(row.get("label") for row in patch["features"][:1] + patch["marks"])] == ["oak"] * 3
    assert [(row["from"], row["to"]) for row in patch["typed"]["measured"]] == [("A", "C")]
    plan = oak.url(f"yards/{draft.conversion_id}/plan/")
    assert [organiser.get(page).status_code for page in (plan, url(oak, draft))] == [200, 200]


def test_signs_that_cannot_be_kept_are_dropped_from_words_typed_in_the_list(organiser, oak, draft):
    organiser.post(url(oak, draft), carried(draft, **{"patches.0.label": "By\0 the gate"}))
    assert now(draft)["patches"][0]["label"] == "By the gate"


@pytest.mark.parametrize("placed", [{"x": float("nan")}, {"x": 0, "y": float("inf")}, {"turn": "far"}])
def test_a_place_in_the_whole_yard_is_in_numbers(organiser, oak, draft, placed):
    before = draft.site
    site = json.loads(json.dumps(before))
    site["patches"][0]["placed"] = placed
    assert sent(organiser, oak, draft, site).status_code == 422
    assert now(draft) == before


def test_a_patch_is_a_circle_or_has_corners(organiser, oak, draft):
    before = draft.site
    site = json.loads(json.dumps(before))
    site["patches"][0]["circle"] = {"x": 3, "y": 3, "diameter": 6, "beyond": "open"}
    assert sent(organiser, oak, draft, site).status_code == 422
    assert now(draft) == before


def test_a_name_of_a_corner_that_could_stand_in_no_address_is_refused(organiser, oak, draft):
    site = json.loads(json.dumps(draft.site))
    site["patches"][0]["corners"][0]["id"] = "A/../B"
    assert sent(organiser, oak, draft, site).status_code == 422


def test_more_than_half_a_hectare_is_refused_and_says_how_much_it_is(organiser, oak, draft):
    site = json.loads(json.dumps(draft.site))
    site["patches"][0]["corners"][1]["x"] = site["patches"][0]["corners"][2]["x"] = 4000
    answer = sent(organiser, oak, draft, site)
    assert answer.status_code == 422 and "24000.0 m²" in answer.json()["words"].replace(",", "").replace(" ", " ")
    assert "24000" in tried(organiser, oak, draft, site)["says"].replace(",", "").replace(" ", "")


def test_more_beds_than_a_drawing_can_hold_are_refused(organiser, oak, draft):
    site = {**draft.site, "beds": [mound(draft) for _ in range(limits.MOST_BEDS + 1)]}
    said = "A drawing can hold at most 80 beds; this one has 81. Take some off."
    assert sent(organiser, oak, draft, site).json()["words"] == said
    assert tried(organiser, oak, draft, site)["says"] == said


def rounded(count):
    turns = [-2 * math.pi * i / count for i in range(count)]
    spots = [(round(5 + 5 * math.cos(turn), 3), round(5 + 5 * math.sin(turn), 3)) for turn in turns]
    return [{"id": f"C{i}", "x": x, "y": y, "beyond": "kerb", "typed": ""} for i, (x, y) in enumerate(spots)]


@pytest.mark.parametrize(
    ("count", "said"), [(40, None), (41, "A patch can have at most 40 corners; this one has 41. Take some out.")]
)
def test_a_patch_has_no_more_corners_than_its_pages_can_be_made_of(organiser, oak, draft, count, said):
    site = json.loads(json.dumps(draft.site))
    site["patches"][0]["corners"] = rounded(count)
    assert sent(organiser, oak, draft, site).json().get("words") == said


def test_all_patches_together_are_no_larger_than_half_a_hectare(organiser, oak, draft):
    patches = [rectangle("50", "40", label=f"Lawn {n}") for n in range(3)]
    said = sent(organiser, oak, draft, {**draft.site, "patches": patches}).json()["words"]
    assert "6000.0" in said.replace(",", "").replace("\u202f", "")


def test_an_older_drawing_that_holds_more_can_still_be_opened_and_made_smaller(organiser, oak, draft):
    site = {**draft.site, "beds": [mound(draft) for _ in range(limits.MOST_BEDS + 20)]}
    save_site(draft=draft, revision=draft.revision, site=site, by=oak.organiser)
    draft.refresh_from_db()
    assert organiser.get(url(oak, draft)).status_code == 200
    assert sent(organiser, oak, draft, {**site, "beds": [*site["beds"], mound(draft)]}).status_code == 422
    assert sent(organiser, oak, draft, {**site, "beds": site["beds"][:-5]}).status_code == 200
    assert len(now(draft)["beds"]) == limits.MOST_BEDS + 15


def test_a_tree_that_an_answer_put_there_still_follows_that_answer(organiser, oak, draft):
    site = json.loads(json.dumps(draft.site))
    site["patches"][0]["features"] = [{"kind": "tree", "x": 2, "y": 2, "trunk_m": 0.2, "label": "", "by": "visit"}]
    save_site(draft=draft, revision=draft.revision, site=site, by=oak.organiser)
    draft.refresh_from_db()
    moved = json.loads(json.dumps(draft.site))
    moved["patches"][0]["features"][0]["x"] = 2.5
    sent(organiser, oak, draft, moved)
    assert now(draft)["patches"][0]["features"][0] == {
        "kind": "tree",
        "x": 2.5,
        "y": 2.0,
        "trunk_m": 0.2,
        "by": "visit",
    }


# ---- figures of what is not saved


def test_figures_come_from_the_engine_with_what_they_differ_by(organiser, oak, draft):
    told = tried(organiser, oak, draft, {**draft.site, "beds": [mound(draft)]})
    rows = {row["key"]: row for row in told["figures"]}
    assert rows["compost"]["by"].startswith("+")
    assert rows["cover"]["by"] == ""
    assert now(draft)["beds"] == []


def test_a_bed_in_a_tree_ring_is_marked_at_the_bed(organiser, oak, draft):
    site = json.loads(json.dumps({**draft.site, "beds": [mound(draft)]}))
    site["patches"][0]["features"] = [{"kind": "tree", "x": 7.0, "y": 3.0, "trunk_m": 0.2}]
    told = tried(organiser, oak, draft, site)
    assert list(told["problems"]) == ["beds.0"] and "tree ring" in told["problems"]["beds.0"][0]
    assert told["says"].startswith("Mounded bed 1: This bed lies in ground kept free of beds")


def test_the_first_of_what_does_not_fit_is_said_and_how_many_more(organiser, oak, draft):
    site = {**draft.site, "beds": [mound(draft, x=20 + 5 * n) for n in range(3)]}
    told = tried(organiser, oak, draft, site)
    assert told["says"].startswith("Mounded bed 1: This bed lies outside its patch. Move it inside. 2 more are marked.")


def test_before_the_first_save_a_step_differs_from_the_one_before(organiser, oak):
    yard = make_yard(oak)
    page = oak.url(f"yards/{yard.pk}/plan/draw/try/")
    site = {"patches": [rectangle("9", "6")]}
    first = organiser.post(page, {"drawing": 0, "revision": 0, "site": json.dumps(site)}).json()
    assert first["says"].startswith("Lawn to cover")
    before = json.dumps({row["key"]: row["is"] for row in first["figures"]})
    site["beds"] = [mound_on(site["patches"][0]["uid"])]
    body = {"drawing": 0, "revision": 0, "site": json.dumps(site), "before": before}
    told = organiser.post(page, body).json()
    rows = {row["key"]: row["by"] for row in told["figures"]}
    assert rows["compost"].startswith("+") and rows["cover"] == ""
    assert "(+" in told["says"] and not told["says"].startswith("Lawn to cover")


@pytest.mark.parametrize("before", ["", "[]", "3", '{"cover": "x"}', '{"cover": null}', "{" * 9000, "nonsense"])
def test_what_is_no_step_before_is_left(organiser, oak, before):
    yard = make_yard(oak)
    body = {"drawing": 0, "revision": 0, "site": json.dumps({"patches": [rectangle("9", "6")]}), "before": before}
    told = organiser.post(oak.url(f"yards/{yard.pk}/plan/draw/try/"), body).json()
    assert told["says"].startswith("Lawn to cover")


def test_sides_that_cross_are_said_and_not_sized(organiser, oak, draft):
    site = json.loads(json.dumps(draft.site))
    corners = site["patches"][0]["corners"]
    corners[2]["x"], corners[3]["x"] = corners[3]["x"], corners[2]["x"]
    told = tried(organiser, oak, draft, site)
    assert told["figures"] == [] and told["problems"]
    assert (
        sent(organiser, oak, draft, site).status_code == 200
    )  # kept as drawn; only keeping the plan asks for sound ground


def test_a_side_of_400_m_is_asked_about_at_its_corner(organiser, oak, draft):
    site = json.loads(json.dumps(draft.site))
    site["patches"][0]["corners"][1]["x"] = site["patches"][0]["corners"][2]["x"] = 400
    for corner in site["patches"][0]["corners"][:2]:
        corner["y"] = 6
    told = tried(organiser, oak, draft, site)
    assert told["problems"]["patches.0.corners.0"] == ["A to B is 400.00 m long. Is that right?"]
    assert told["says"].startswith("Front lawn: A to B is 400.00 m long. Is that right?")


def test_the_words_of_every_kind_are_there_for_the_script():
    told = board.spec("metric")
    assert set(told["kinds"]) == set(KINDS)
    assert all(told["words"].values())


def test_what_runs_along_a_marked_line_is_never_answered_by_a_default(organiser, oak, draft):
    organiser.post(url(oak, draft), carried(draft, do="add line 0"))
    assert now(draft)["patches"][0]["features"][0]["service"] == ""
    page = organiser.get(url(oak, draft)).content.decode()
    assert '<option value="" selected>Not known</option>' in page and "Marked line" in page
