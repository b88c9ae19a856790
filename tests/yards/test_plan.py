"""The walk round the edge and the plan that answers it, through the pages."""

import re
import uuid

import pytest

from conversions.yards.models import Conversion, Draft, Patch
from tests.rows import make_kept, make_open, make_yard, rectangle


def text(answer) -> str:
    return re.sub(r"\s+", " ", answer.content.decode())


def walk(shape="rectangle", **values) -> dict:
    """A walk as the browser posts it: nothing drawn yet, a house on A to B of a rectangle, the rest open."""
    sides = {"rectangle": "ABCD", "L": "ABCDEF", "triangle": "ABC", "trapezium": "ABCD", "circle": ["round"]}[shape]
    data = {"shape": shape, "uid": str(uuid.uuid4()), "drawing": "0", "revision": "0", "zone": "front"}
    data |= {f"beyond_{corner}": "open" for corner in sides} | {"ground_before": "lawn"}
    if shape == "rectangle":
        data["beyond_A"] = "house"
    if shape == "L":
        data |= {f"turn_{corner}": "left" if corner == "C" else "right" for corner in "BCDEF"}
    return {**data, **{key.replace("len_", "length_"): value for key, value in values.items()}}


class Desk:
    """A yard and its plan, as one person works on them."""

    def __init__(self, client, world, yard=None):
        self.client, self.world, self.yard = client, world, yard or make_yard(world)

    def url(self, path=""):
        return self.world.url(f"yards/{self.yard.pk}/plan/{path}")

    @property
    def draft(self) -> Draft:
        return self.yard.drafts.order_by("-number").first()

    @property
    def site(self) -> dict:
        return self.draft.site

    def carry(self, **values) -> dict:
        draft = self.draft
        return {"drawing": draft.number, "revision": draft.revision, **values}

    def draw(self, shape="rectangle", **values):
        data = walk(shape, **values)
        return self.client.post(self.url("patches/new/"), data | (self.carry() if self.draft else {}))

    def post(self, path, **values):
        return self.client.post(self.url(path), self.carry(**values))

    def page(self) -> str:
        return text(self.client.get(self.url()))


@pytest.fixture
def desk(organiser, oak) -> Desk:
    return Desk(organiser, oak)


def points(site: dict) -> list[tuple]:
    return [(corner["x"], corner["y"]) for corner in site["patches"][0]["corners"]]


def beside(page: str, field: str) -> str:
    """The part of a page that stands with one field."""
    start = page.index(f'id="div_id_{field}"')
    return page[start : start + 700]


# ---- the shapes


def test_looking_at_a_plan_writes_nothing(desk):
    page = desk.page()
    assert "as long as A to B" in page
    assert not desk.yard.drafts.exists()


def test_two_typed_sides_draw_a_rectangle_with_the_house_along_the_first(desk):
    answer = desk.draw(len_A="8.6", len_B="6")
    assert answer.status_code == 302
    assert points(desk.site) == [(0, 6), (8.6, 6), (8.6, 0), (0, 0)]
    assert [corner["beyond"] for corner in desk.site["patches"][0]["corners"]] == ["house", "open", "open", "open"]
    page = desk.page()
    assert "<svg" in page
    assert "49.0" in page
    assert "3 sides lie open: no trench there." in page
    assert (desk.draft.number, desk.draft.revision, desk.draft.state) == (1, 2, "open")


def test_mixed_units_are_read_as_written_and_both_raw_entries_stay(desk):
    desk.draw(len_A="12'6\"", len_B="5.2 m", beyond_A="open")
    patch = desk.site["patches"][0]
    assert patch["typed"] == {"lengths": {"A": "12'6\"", "B": "5.2 m"}, "units": "metric"}
    assert [corner["typed"] for corner in patch["corners"]] == ["12'6\"", "5.2 m", "12'6\"", "5.2 m"]
    page = desk.page()
    assert "19.8" in page
    assert "213 sq ft" in page
    assert "12 ft 6 in" in page
    assert "12.5000" not in page


def test_a_comma_in_a_metric_field_is_a_decimal_comma(desk):
    desk.draw(len_A="7,5", len_B="4")
    assert points(desk.site)[1] == (7.5, 4)


def test_a_comma_before_three_digits_is_asked_about_before_anything_is_saved(desk):
    page = text(desk.draw(len_A="1,250", len_B="4"))
    assert "Is this 1.25 or 1250?" in beside(page, "length_A")
    assert 'value="1,250"' in page
    assert not desk.yard.drafts.exists()


def test_a_group_of_feet_reads_bare_numbers_as_feet(desk, oak):
    oak.group.units = "imperial"
    oak.group.save()
    desk.draw(len_A="12.5", len_B="10")
    assert points(desk.site)[1] == (3.81, 3.048)
    assert desk.site["patches"][0]["typed"]["units"] == "imperial"
    oak.group.units = "metric"
    oak.group.save()
    page = text(desk.client.get(desk.url(f"patches/{desk.site['patches'][0]['uid']}/")))
    assert 'value="12.5 ft"' in page


def test_an_l_turns_left_once_and_its_blanks_follow_from_the_rest(desk):
    desk.draw("L", len_A="5", len_B="2", len_C="3", len_D="4", len_E="", len_F="")
    assert points(desk.site) == [(0, 6), (5, 6), (5, 4), (8, 4), (8, 0), (0, 0)]
    assert desk.draft.takeoff["patches"][desk.site["patches"][0]["uid"]]["measured_m2"] == 42.0


def test_an_l_that_does_not_close_says_by_how_much_and_stays_unkept_with_its_words(desk):
    page = text(desk.draw("L", len_A="5", len_B="2", len_C="3", len_D="4", len_E="7", len_F="6"))
    assert "walking back to A ends 1.0 m away" in page
    for typed in ("5", "2", "3", "4", "7", "6"):
        assert f'value="{typed}"' in page
    assert not desk.yard.drafts.exists()


def test_an_l_with_two_lefts_says_what_an_l_is(desk):
    page = text(desk.draw("L", len_A="5", len_B="2", len_C="3", len_D="4", len_E="8", len_F="6", turn_D="left"))
    assert "An L has six sides" in page


def test_a_triangle_is_drawn_from_three_sides_and_refused_when_they_cannot_meet(desk):
    page = text(desk.draw("triangle", len_A="9", len_B="3", len_C="5"))
    assert "1.0 m short of meeting" in beside(page, "length_A")
    desk.draw("triangle", len_A="4", len_B="3", len_C="5")
    assert points(desk.site) == [(0, 3), (4, 3), (4, 0)]


@pytest.mark.parametrize(
    ("offset", "corners"),
    [
        ("1", [(0, 3), (6, 3), (5, 0), (1, 0)]),
        ("", [(0, 3), (6, 3), (4, 0), (0, 0)]),
        ("0", [(0, 3), (6, 3), (4, 0), (0, 0)]),
        ("-0.5 m", [(0.5, 3), (6.5, 3), (4, 0), (0, 0)]),
    ],
)
def test_a_trapezium_is_drawn_from_two_sides_their_distance_and_offset(desk, offset, corners):
    desk.draw("trapezium", len_A="6", len_C="4", len_distance="3", len_offset=offset)
    assert points(desk.site) == corners


def test_a_circle_stays_a_circle(desk):
    desk.draw("circle", len_across="3", beyond_round="path")
    circle = desk.site["patches"][0]["circle"]
    assert (circle["diameter"], circle["beyond"], circle["typed"]) == (3.0, "path", "3")
    assert desk.draft.takeoff["figures"]["measured"]["value"] == 7.07
    assert "Round" in desk.page()


def test_a_circle_has_no_corner_to_begin_at(desk):
    page = text(desk.client.get(desk.url("?shape=circle")))
    assert "Measure straight across its middle." in page and "corner A" not in page


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("0", "more than nothing"),
        ("-4", "less than nothing"),
        ("long", "We cannot read this"),
        ("", "Write a length."),
    ],
)
def test_what_is_no_side_is_refused_beside_its_field(desk, typed, message):
    page = text(desk.draw(len_A=typed, len_B="6"))
    assert message in beside(page, "length_A")
    assert 'value="6"' in page
    assert not desk.yard.drafts.exists()


def test_four_hundred_metres_are_asked_about_and_kept_with_a_reason(desk):
    page = text(desk.draw(len_A="400", len_B="4"))
    assert "about four football pitches long. Check the unit." in beside(page, "length_A")
    assert "Why is it this long?" in page
    assert 'value="400"' in page
    desk.draw(len_A="400", len_B="4", why_long="A verge along the old railway")
    assert desk.site["patches"][0]["typed"]["why_long"] == "A verge along the old railway"
    page = desk.page()
    assert "This length because: A verge along the old railway" in page


def test_five_centimetres_are_asked_about_too(desk):
    page = text(desk.draw(len_A="0,05", len_B="4"))
    assert "less than the width of a hand" in beside(page, "length_A")
    assert not desk.yard.drafts.exists()
    desk.draw(len_A="0,05", len_B="4", why_long="A strip beside the drive")
    assert desk.site["patches"][0]["typed"]["why_long"] == "A strip beside the drive"


def test_the_head_of_the_walk_points_to_each_side_that_needs_mending(desk):
    page = desk.draw("triangle", len_A="4", len_B="0", len_C="x").content.decode()
    head = page[page.index("Please mend:") : page.index("walkrows")]
    assert 'href="#div_id_length_B">B to C' in head and 'href="#div_id_length_C">C to A' in head
    assert "length_A" not in head and 'id="div_id_length_B"' in page


def test_an_l_that_does_not_close_says_by_how_much_and_what_to_check(desk):
    page = text(desk.draw("L", len_A="6", len_B="2", len_C="2", len_D="3", len_E="8", len_F="5.5"))
    said = beside(page, "length_F")
    assert "ends 0.5 m away from it" in said and "Check the lengths and the turns." in said
    assert not desk.yard.drafts.exists()


def test_ground_larger_than_any_lawn_is_refused_in_words(desk):
    page = text(desk.draw(len_A="400", len_B="400", why_long="really"))
    assert "No lawn laid by hand is that large" in page
    assert not desk.yard.drafts.exists()


def test_a_lawn_narrower_than_the_strip_kept_at_the_house_is_told_so(desk):
    page = text(desk.draw(len_A="8", len_B="0.2"))
    assert "The strip left clear along A to B is wider than the lawn" in page


# ---- what is done to a plan afterwards


def test_what_lies_beyond_a_side_changes_the_trench_at_once(desk):
    desk.draw(len_A="8.6", len_B="6")
    uid = desk.site["patches"][0]["uid"]
    desk.post(f"patches/{uid}/sides/C/", beyond="pavement")
    assert desk.site["patches"][0]["corners"][2]["beyond"] == "pavement"
    assert desk.draft.takeoff["figures"]["trench"]["value"] == 8.6
    assert "Trench 8.60 m" in desk.page()


def test_a_side_made_longer_takes_its_opposite_along(desk):
    desk.draw(len_A="8.6", len_B="6")
    uid = desk.site["patches"][0]["uid"]
    desk.post(f"patches/{uid}/sides/A/", length="9 m", beyond="house")
    assert points(desk.site) == [(0, 6), (9, 6), (9, 0), (0, 0)]
    assert desk.site["patches"][0]["typed"]["lengths"] == {"A": "9 m", "B": "6"}


def test_a_side_that_opens_the_walk_shows_the_whole_walk_again(desk):
    desk.draw("triangle", len_A="4", len_B="3", len_C="5")
    uid = desk.site["patches"][0]["uid"]
    page = text(desk.post(f"patches/{uid}/sides/A/", length="11", beyond="path"))
    assert "short of meeting" in page
    assert 'value="11"' in page
    assert points(desk.site) == [(0, 3), (4, 3), (4, 0)]


def test_a_plan_holds_several_patches_each_with_its_own_name(desk):
    desk.draw(len_A="8.6", len_B="6")
    desk.draw(len_A="5", len_B="4")
    desk.draw(len_A="3", len_B="4", zone="back", label="By the shed")
    assert [patch["label"] for patch in desk.site["patches"]] == ["Front lawn", "Front lawn 2", "By the shed"]
    page = text(desk.draw(len_A="3", len_B="4", label="By the shed"))
    assert "Another patch has this name." in page


def test_a_patch_taken_off_the_plan_comes_back_by_take_back(desk):
    desk.draw(len_A="8.6", len_B="6")
    uid = desk.site["patches"][0]["uid"]
    desk.post(f"patches/{uid}/remove/")
    assert desk.site["patches"] == []
    desk.post("back/")
    assert [patch["uid"] for patch in desk.site["patches"]] == [uid]


def test_a_first_layout_puts_one_mounded_and_one_framed_bed(desk):
    desk.draw(len_A="8.6", len_B="6")
    desk.post(f"patches/{desk.site['patches'][0]['uid']}/layout/")
    assert [bed["kind"] for bed in desk.site["beds"]] == ["mounded", "framed"]
    page = desk.page()
    assert "Mounded bed 1" in page
    assert "Framed bed 2" in page


def pocket(**values) -> dict:
    usual = {
        "uid": str(uuid.uuid4()),
        "left": "2",
        "top": "1.5",
        "top_m": "400",
        "bottom_m": "20 cm",
        "height_m": "0.2 m",
    }
    return {**usual, **values}


def test_a_bed_is_typed_by_its_distance_from_the_left_and_the_top(desk):
    desk.draw(len_A="8.6", len_B="6")
    patch = desk.site["patches"][0]["uid"]
    desk.post(f"patches/{patch}/beds/pocket/", **pocket())
    (bed,) = desk.site["beds"]
    assert (bed["kind"], bed["x"], bed["y"], bed["patch"]) == ("pocket", 2.0, 4.5, patch)
    assert (bed["top_m"], bed["bottom_m"], bed["height_m"]) == (0.4, 0.2, 0.2)
    desk.post(f"beds/{bed['uid']}/", **pocket(uid=bed["uid"], left="3"))
    assert desk.site["beds"][0]["x"] == 3.0
    desk.post(f"beds/{bed['uid']}/remove/")
    assert desk.site["beds"] == []


def test_a_bed_outside_its_patch_is_refused_with_what_was_typed(desk):
    desk.draw(len_A="8.6", len_B="6")
    page = text(desk.post(f"patches/{desk.site['patches'][0]['uid']}/beds/pocket/", **pocket(left="50")))
    assert "This bed lies outside its patch." in page
    assert 'value="50"' in page
    assert desk.site["beds"] == []


def test_beds_over_one_another_are_refused_without_codes(desk):
    desk.draw(len_A="8.6", len_B="6")
    patch = desk.site["patches"][0]["uid"]
    desk.post(f"patches/{patch}/beds/pocket/", **pocket())
    page = text(desk.post(f"patches/{patch}/beds/pocket/", **pocket()))
    assert "This bed lies over another one. Move one of them." in page


def test_a_mound_too_steep_to_stand_is_told_beside_its_height(desk):
    desk.draw(len_A="8.6", len_B="6")
    sizes = {"length_m": "3", "width_m": "1.2", "height_m": "2000", "turn_deg": "0"}
    bed = {"uid": str(uuid.uuid4()), "left": "4", "top": "3", **sizes}
    page = text(desk.post(f"patches/{desk.site['patches'][0]['uid']}/beds/mounded/", **bed))
    assert "would slide off" in beside(page, "height_m")


def test_a_bed_keeps_its_place_when_an_untouched_length_was_shown_rounded(desk, oak):
    oak.group.units = "imperial"
    oak.group.save()
    desk.draw(len_A="8.6 m", len_B="6 m")
    desk.post(f"patches/{desk.site['patches'][0]['uid']}/layout/")
    before = desk.site["beds"][0]
    page = desk.client.get(desk.url(f"beds/{before['uid']}/"))
    shown = {field.name: field.value() for field in page.context["form"]}
    desk.post(f"beds/{before['uid']}/", **shown)
    assert desk.site["beds"][0] == before


def test_a_side_made_shorter_leaves_a_bed_out_and_says_which(desk):
    desk.draw(len_A="8.6", len_B="6")
    uid = desk.site["patches"][0]["uid"]
    desk.post(f"patches/{uid}/layout/")
    desk.post(f"patches/{uid}/sides/A/", length="5", beyond="house")
    assert len(desk.site["beds"]) == 2
    page = desk.page()
    assert "Not ready to keep" in page
    assert "Mounded bed 1" in page
    assert re.search(r"<button[^>]* disabled>Quote it", page)
    desk.post("keep/")
    assert desk.draft.state == "open"


def test_depths_and_layers_are_changed_on_their_own_page(desk):
    desk.draw(len_A="8.6", len_B="6")
    usual = desk.draft.takeoff["figures"]["cardboard"]["value"]
    values = {"depth": "75", "layers": 4, "trench_width": "150 mm", "trench_depth": "100 mm", "soil": "heavy"}
    desk.post("depths/", **values, haul="20 m")
    assert desk.site["mulch"]["depth_m"] == 0.075
    assert (desk.site["cardboard"]["layers"], desk.site["soil"]) == (4, "heavy")
    card = desk.draft.takeoff["figures"]["cardboard"]
    assert ["layers", 4, ""] in card["inputs"]
    assert card["value"] > usual
    page = text(desk.post("depths/", **{**values, "depth": "30"}, haul="20 m"))
    assert "Too thin: the card will show." in page


@pytest.mark.parametrize(("name", "typed"), [("haul", "150000"), ("trench_width", "150000 m"), ("trench_depth", "3 m")])
def test_a_setting_that_nobody_could_mean_is_refused_beside_its_field_and_kept_as_typed(desk, name, typed):
    desk.draw(len_A="8.6", len_B="6")
    values = {
        "depth": "90",
        "layers": "3",
        "trench_width": "150",
        "trench_depth": "100",
        "soil": "medium",
        "haul": "20 m",
    }
    before = desk.site
    page = text(desk.post("depths/", **{**values, name: typed}))
    assert "Check the unit." in page and f'value="{typed}"' in page
    assert desk.site == before


def test_every_figure_opens_with_inputs_formula_rounding_and_source(desk):
    desk.draw(len_A="8.6", len_B="6")
    page = desk.page()
    assert page.count("How we got") == len(desk.draft.takeoff["figures"])
    assert "How we got 49.0 m²" in page
    for part in ("<dt>Measured</dt><dd>51.60 m²</dd>", "Measured ground less the ground kept.", "Rounded to 0.01 m²."):
        assert part in page
    assert page.count("Source: ") == len(desk.draft.takeoff["figures"])


def test_the_script_may_ask_for_a_drawing_without_keeping_it(desk):
    answer = desk.client.post(desk.url("try/"), walk(len_A="8.6", len_B="6")).json()
    assert answer["svg"].startswith("<svg")
    assert answer["says"] == "Lawn to cover 49.0 m² (528 sq ft), Edge trench 0.00 m (0 ft)"
    assert desk.client.post(desk.url("try/"), walk(len_A="8.6", len_B="")).json() == {"svg": "", "says": ""}
    assert not desk.yard.drafts.exists()


# ---- keeping


def test_keeping_a_plan_writes_its_patch_and_a_change_afterwards_begins_a_new_drawing(desk):
    desk.draw(len_A="8.6", len_B="6")
    desk.post("keep/")
    kept = desk.draft
    assert kept.state == "kept"
    assert (
        Patch.of(desk.world.group).get().lawn_m2
        == kept.conversion.planned.get().planned_m2 + Patch.of(desk.world.group).get().kept_m2
    )
    page = desk.page()
    assert "A change begins a new drawing" in page
    uid = kept.site["patches"][0]["uid"]
    desk.client.post(desk.url(f"patches/{uid}/layout/"), {"drawing": 0, "revision": 0})
    assert (desk.draft.number, desk.draft.state, desk.draft.parent) == (2, "open", kept)
    kept.refresh_from_db()
    assert kept.site["beds"] == []


def test_the_same_name_drawn_again_is_the_same_ground(desk):
    desk.draw(len_A="8.6", len_B="6")
    desk.post("keep/")
    patch = Patch.of(desk.world.group).get()
    desk.client.post(desk.url(f"patches/{patch.uid}/remove/"), {"drawing": 0, "revision": 0})
    desk.draw(len_A="7", len_B="6")
    desk.post("keep/")
    again = Patch.of(desk.world.group).get()
    assert (again.pk, again.lawn_m2) == (patch.pk, 42)


def test_an_empty_plan_cannot_be_kept(desk, oak):
    draft = make_open(oak, desk.yard)
    desk.post(f"patches/{draft.site['patches'][0]['uid']}/remove/")
    desk.post("keep/")
    assert desk.draft.state == "open"
    assert "Draw at least one patch first." in desk.page()


# ---- two people


@pytest.fixture
def two(desk, oak):
    """A drawing that somebody else saved after this desk's page was opened: (desk, what the page carries)."""
    draft = make_open(oak, desk.yard, beds=False)
    carried = {"drawing": draft.number, "revision": draft.revision}
    uid = draft.site["patches"][0]["uid"]
    visitor = oak.sign_in(type(desk.client)(), "visitor")
    visitor.post(desk.url(f"patches/{uid}/sides/C/"), {**carried, "beyond": "kerb"})
    return desk, {**carried, "uid": uid}


def mine(two):
    desk, carried = two
    return desk.client.post(
        desk.url(f"patches/{carried['uid']}/sides/A/"), {**carried, "length": "7", "beyond": "house"}
    )


def test_the_later_of_two_has_a_drawing_of_its_own_beside_the_first_and_sees_both(two):
    desk, _carried = two
    answer = mine(two)
    assert answer.status_code == 302 and answer["Location"].endswith("/plan/compare/?one=1&other=2")
    page = text(desk.client.get(answer["Location"]))
    assert "Somebody saved this plan while you were drawing. Both drawings are kept: yours is number 2." in page
    assert "Organiser Oak" in page and "Visitor Oak" in page and "From drawing 1" in page
    assert page.count('class="plan"') == 2
    assert "<td>49.0 m²</td><td><b>39.9 m²</b></td>" in page
    first, second = desk.yard.drafts.order_by("number")
    assert (second.parent, second.by) == (first, desk.world.organiser)
    assert points(first.site)[1] == (8.6, 6) and first.site["patches"][0]["corners"][2]["beyond"] == "kerb"
    assert points(second.site)[1] == (7, 6) and second.site["patches"][0]["corners"][2]["beyond"] == "pavement"


def test_the_same_old_page_sent_twice_makes_one_drawing(two):
    desk, _carried = two
    assert mine(two)["Location"] == mine(two)["Location"]
    assert desk.yard.drafts.count() == 2


def test_either_of_two_drawings_may_be_used_and_the_other_stays(two):
    desk, _carried = two
    mine(two)
    first, second = desk.yard.drafts.order_by("number")
    assert "There is more than one drawing" in desk.page()
    assert "Use this drawing" in text(desk.client.get(desk.url("?drawing=1")))
    assert text(desk.client.get(desk.url("compare/"))).count(">Use drawing ") == 2
    desk.client.post(desk.url("keep/"), {"drawing": 1, "revision": first.revision})
    assert desk.yard.drawing() == first
    assert desk.yard.drafts.get(number=2).site == second.site


def test_keeping_what_somebody_changed_meanwhile_waits_for_a_look(two):
    desk, carried = two
    answer = desk.client.post(desk.url("keep/"), carried, follow=True)
    assert "The plan was saved in between." in text(answer)
    assert desk.draft.state == "open"


def test_a_plan_kept_by_somebody_else_is_not_changed_under_them(desk, oak):
    draft = make_open(oak, desk.yard)
    carried = {"drawing": draft.number, "revision": draft.revision}
    make = {"length": "7", "beyond": "house"}
    desk.post("keep/")
    desk.client.post(desk.url(f"patches/{draft.site['patches'][0]['uid']}/sides/A/"), {**carried, **make})
    kept = desk.yard.drafts.get(number=1)
    assert kept.state == "kept" and points(kept.site)[1] == (8.6, 6)
    assert (desk.draft.number, desk.draft.state) == (2, "open")
    assert points(desk.site)[1] == (7, 6)


def test_a_double_press_draws_once_and_frightens_nobody(desk):
    data = walk(len_A="8.6", len_B="6")
    first, second = (desk.client.post(desk.url("patches/new/"), data) for _press in range(2))
    assert first.status_code == second.status_code == 302
    assert len(desk.site["patches"]) == 1
    layout = desk.url(f"patches/{desk.site['patches'][0]['uid']}/layout/")
    carried = desk.carry()
    assert [desk.client.post(layout, carried).status_code for _press in range(2)] == [302, 302]
    assert len(desk.site["beds"]) == 2
    assert [desk.client.post(desk.url("keep/"), desk.carry()).status_code for _press in range(2)] == [302, 302]
    assert desk.yard.drafts.count() == 1


def test_taking_back_an_old_state_waits_for_a_look(two):
    desk, carried = two
    before = desk.site
    desk.client.post(desk.url("back/"), carried)
    assert desk.site == before
    assert "The plan was saved in between." in desk.page()


# ---- who may


@pytest.mark.parametrize(("role", "status"), [("visitor", 200), ("lead", 403), ("reader", 403), ("helper", 403)])
def test_only_organisers_and_visitors_draw(client, oak, role, status):
    yard = make_yard(oak)
    assert oak.sign_in(client, role).get(oak.url(f"yards/{yard.pk}/plan/")).status_code == status


def test_a_visitor_keeps_a_plan_and_leaves_quoting_to_an_organiser(client, oak):
    draft = make_open(oak)
    page = text(oak.sign_in(client, "visitor").get(oak.url(f"yards/{draft.conversion_id}/plan/")))
    assert "Keep the plan" in page
    assert "Quote it" not in page


def test_another_groups_drawing_is_not_there(organiser, oak, elm):
    theirs, ours = make_open(elm), make_yard(oak)
    assert organiser.get(oak.url(f"yards/{theirs.conversion_id}/plan/")).status_code == 404
    assert organiser.get(oak.url(f"yards/{ours.pk}/plan/?drawing={theirs.number}")).status_code == 404
    uid = theirs.site["patches"][0]["uid"]
    assert organiser.post(oak.url(f"yards/{ours.pk}/plan/patches/{uid}/layout/")).status_code == 404


@pytest.mark.parametrize(
    "path",
    ["patches/x/", "patches/new/?shape=star", "beds/6f1d2a4e-0b7c-4c1e-9d53-8a2b7c9e1f00/", "?drawing=99", "back/"],
)
def test_odd_addresses_never_crash(desk, path):
    assert desk.client.get(desk.url(path)).status_code in (200, 404, 405)
    assert desk.client.post(desk.url(path), {"drawing": "x", "revision": "-1"}).status_code in (200, 302, 404, 405)


def test_two_patches_of_the_same_plan_are_both_planned(oak):
    draft = make_kept(oak, None, rectangle("8.6", "6"), rectangle("5", "4", label="Back lawn", zone="back", beyond={}))
    assert [float(row.planned_m2) for row in draft.conversion.planned.all()] == [49.02, 20.0]
    assert Conversion.of(oak.group).with_facts().get().stage == "enquiry"
