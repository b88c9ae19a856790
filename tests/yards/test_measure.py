"""Between rows and the engine: what can be sized, and how it is said."""

from conversions import sizing
from conversions.yards import measure, sketch
from conversions.yards.reach import phone_pattern, read_reach
from tests.rows import make_kept, make_open, make_site, rectangle


def test_a_plan_read_back_is_the_same_plan(oak):
    draft = make_kept(oak)
    assert sizing.write_site(measure.site_of(draft)) == draft.site


def test_a_document_has_the_same_sha_whatever_the_order_of_its_keys():
    site = make_site()
    assert measure.sha_of(dict(reversed(site.items()))) == measure.sha_of(site)


def test_what_does_not_fit_is_left_out_and_named_and_the_rest_is_sized():
    site = make_site(rectangle("8.6", "6"))
    lost = {**site["beds"][1], "x": 50.0}
    look = measure.look(sketch.with_bed(site, lost))
    assert [problem.where.uid for problem in look.problems] == [lost["uid"]]
    assert [bed["uid"] for bed in look.drawable["beds"]] == [site["beds"][0]["uid"]]
    assert look.takeoff["figures"]["cover"]["value"] == 49.02
    assert not look.is_sound


def test_an_empty_plan_has_no_figures_and_no_problems():
    look = measure.look(sketch.new_document())
    assert (look.takeoff, look.problems) == ({}, ())


def test_the_groups_own_pace_changes_the_hours_and_says_so(oak):
    site = make_site()
    book, _problems = measure.takeoff_of(site, oak.group)
    oak.group.pace = {"factor": 2.0, "days": 3}
    own, _problems = measure.takeoff_of(site, oak.group)
    assert own["figures"]["hours"]["value"] > book["figures"]["hours"]["value"] * 1.8
    rows = {row["key"]: row for row in measure.figure_rows(own, oak.group)}
    assert rows["hours"]["whose"] == "yours, from 3 days"
    assert rows["chips"]["whose"] == ""


def test_figures_are_shown_in_the_groups_units_with_the_other_beside(oak):
    takeoff = make_open(oak).takeoff
    rows = {row["key"]: row for row in measure.figure_rows(takeoff, oak.group)}
    assert (rows["cover"]["value_shown"], rows["cover"]["other_shown"]) == ("49.0 m²", "528 sq ft")
    assert (rows["cover"]["number"], rows["cover"]["unit"]) == ("49.0", "m²")
    oak.group.units = "imperial"
    rows = {row["key"]: row for row in measure.figure_rows(takeoff, oak.group)}
    assert (rows["cover"]["value_shown"], rows["cover"]["other_shown"]) == ("528 sq ft", "49.0 m²")
    assert (rows["trench"]["number"], rows["trench"]["unit"]) == ("65 ft 7½ in", "")


def test_a_problem_is_a_sentence_with_its_numbers():
    problem = sizing.Problem(
        "negative", sizing.Where("", "A to B"), "{side} comes to {length_m} m.", {"side": "A to B", "length_m": -1}
    )
    assert measure.words(problem) == "A to B comes to -1 m."


def test_beds_keep_their_distance_from_the_top_when_a_patch_grows():
    site = make_site(rectangle("8.6", "6"))
    before = site["beds"][0]
    grown = sketch.with_patch(site, rectangle("8.6", "7", uid=site["patches"][0]["uid"]))
    assert 7 - grown["beds"][0]["y"] == 6 - before["y"]
    assert site["beds"][0] == before


def test_the_route_follows_from_what_was_typed():
    assert read_reach(" 000  111 222 ").phone == "000 111 222"
    assert read_reach("+00 (0)111-222 ext. 4").route == "phone"
    assert read_reach("ruth@oak.example").route == "email"


def test_a_number_is_the_same_however_it_is_spaced():
    import re

    pattern = phone_pattern("(000) 111-222")
    assert re.match(pattern, "000 111 222")
    assert not re.match(pattern, "000 111 2223")


def test_shares_are_said_in_percent_and_small_cuts_keep_their_figures(oak):
    rows = {row["key"]: row for row in measure.figure_rows(make_kept(oak).takeoff, oak.group)}
    said = {key: {part["label"]: part["shown"] for part in row["inputs"]} for key, row in rows.items()}
    assert said["chips"]["settling"] == said["compost"]["settling"] == "20 %"
    assert said["trench_soil"]["section"] == "0.015 m²"
    assert said["people"]["crew factor"] == "75 %"
