"""Amounts follow the answers: each is written once into the open drawing, and says so."""

import pytest
from django.utils import timezone

from conversions.visits.actions import add_entries, book_visit
from conversions.visits.plan import write_into_plan
from tests.rows import make_kept, make_open, make_yard, rectangle


@pytest.fixture
def draft(oak):
    return make_open(oak, None, rectangle("8", "5", beyond={"A": "house", "C": "path"}), beds=False)


@pytest.fixture
def visit(oak, draft):
    return book_visit(conversion=draft.conversion, by=oak.visitor, due_at=timezone.now())


def give(visit, world, **values):
    """Answers kept and taken into the plan, as the page does it."""
    given = [{"question": question, "value": value} for question, value in values.items()]
    add_entries(visit=visit, by=world.visitor, entries=given)
    return write_into_plan(conversion=visit.conversion, by=world.visitor, questions=values)


def metres(value, typed=""):
    return {"m": value, "typed": typed or f"{value} m"}


def figure(draft, name):
    draft.refresh_from_db()
    return draft.takeoff["figures"][name]["value"]


def test_creeping_grass_brings_one_more_layer_and_wider_laps(oak, draft, visit):
    before = figure(draft, "cardboard")
    out = give(visit, oak, grass={"grass": "runners"})
    assert out.done == [
        "The plan now has 4 layers of card; before it was 3.",
        "The plan now has laps of 0.20 m in the card.",
    ]
    assert figure(draft, "cardboard") > before
    assert (draft.site["cardboard"]["layers"], draft.site["cardboard"]["lap_m"]) == (4, 0.2)
    assert give(visit, oak, grass={"grass": "bindweed"}).done == []


def with_card(draft, **card):
    draft.site["cardboard"] |= card
    draft.save()


@pytest.mark.parametrize(
    ("drawn", "wanted", "words"),
    [
        ({"layers": 1, "lap_m": 0.3}, (2, 0.3), ["The plan now has 2 layers of card; before it was 1."]),
        ({"layers": 2, "lap_m": 0.2}, (3, 0.2), ["The plan now has 3 layers of card; before it was 2."]),
        ({"layers": 5, "lap_m": 0.1}, (5, 0.2), ["The plan now has laps of 0.20 m in the card."]),
        ({"layers": 4, "lap_m": 0.25}, (4, 0.25), []),
    ],
)
def test_what_was_drawn_gets_one_layer_more_and_never_less_and_only_that_is_told(
    oak, draft, visit, drawn, wanted, words
):
    with_card(draft, **drawn)
    assert give(visit, oak, grass={"grass": "runners"}).done == words
    assert give(visit, oak, grass={"grass": "bindweed"}).done == []
    draft.refresh_from_db()
    assert (draft.site["cardboard"]["layers"], draft.site["cardboard"]["lap_m"]) == wanted


def test_laps_are_told_in_feet_and_inches_where_the_group_measures_so(oak, draft, visit):
    oak.group.units = "imperial"
    oak.group.save()
    visit.conversion.group.refresh_from_db()
    assert "The plan now has laps of 8 in in the card." in give(visit, oak, grass={"grass": "runners"}).done


@pytest.mark.parametrize(
    ("answers", "key", "value", "words"),
    [
        ({"way_in": {"way": "narrow", "gate": metres(0.7)}}, "gate_m", 0.7, "a gate of 0.70 m"),
        ({"haul": {"haul": "measured", "far": metres(45)}}, "haul_m", 45, "45.00 m from the heap"),
        ({"fall": {"fall": "measured", "drop": metres(0.75)}}, "slope", 0.25, "a slope of 25 %"),
        ({"feel": {"feel": "heavy"}}, "soil", "heavy", "this soil: heavy"),
        ({"fire": {"fire": "yes", "wide": metres(1.52)}}, "fire_strip_m", 1.52, "keeps 1.52 m free"),
    ],
)
def test_an_answer_is_written_once_with_a_sentence(oak, draft, visit, answers, key, value, words):
    out = give(visit, oak, **answers)
    draft.refresh_from_db()
    assert draft.site[key] == value and words in out.done[0]
    assert give(visit, oak, **answers).done == []


def test_what_was_changed_by_hand_since_is_not_put_back_by_another_answer(oak, draft, visit):
    give(visit, oak, feel={"feel": "heavy"})
    draft.refresh_from_db()
    draft.site["soil"] = "light"
    draft.save()
    give(visit, oak, tap={"tap": "yes"}, grass={"grass": "runners"})
    draft.refresh_from_db()
    assert draft.site["soil"] == "light" and draft.site["cardboard"]["layers"] == 4


def test_a_farther_heap_a_slope_and_a_narrow_gate_each_take_more_work(oak, draft, visit):
    hours = [figure(draft, "hours")]
    way = {"way": "narrow", "gate": metres(0.7)}
    for answers in (
        {"way_in": way},
        {"haul": {"haul": "measured", "far": metres(60)}},
        {"fall": {"fall": "measured", "drop": metres(0.6)}},
    ):
        give(visit, oak, **answers)
        hours.append(figure(draft, "hours"))
    assert hours == sorted(set(hours))


def test_the_rule_of_the_group_says_how_wide_where_the_visitor_does_not(oak, draft, visit):
    oak.group.fire_strip_m = "1.52"
    oak.group.save()
    visit.conversion.group.refresh_from_db()
    give(visit, oak, fire={"fire": "yes"})
    draft.refresh_from_db()
    assert draft.site["fire_strip_m"] == 1.52


@pytest.mark.parametrize(
    ("at", "point"), [("outside", (2.0, 6.5)), ("inside", (2.0, 3.5))]
)  # side A runs along the top, from (0, 5) to the right
def test_a_tree_stands_on_the_plan_with_its_ring(oak, draft, visit, at, point):
    tree = {"trees": "near", "trunk": metres(0.26), "off": metres(1.5)}
    assert give(visit, oak, trees=tree).done == []  # nobody knows yet where
    before = figure(draft, "trench")
    out = give(visit, oak, tree_at={"at": at, "side": "a", "along": metres(2)})
    draft.refresh_from_db()
    (feature,) = draft.site["patches"][0]["features"]
    assert out.done == ["The plan now has the tree with its ring."]
    assert (feature["kind"], feature["x"], feature["y"], feature["trunk_m"]) == ("tree", *point, 0.26)
    assert draft.takeoff and figure(draft, "trench") <= before
    give(visit, oak, tree_at={"at": at, "side": "B"})
    draft.refresh_from_db()
    assert len(draft.site["patches"][0]["features"]) == 1  # the same tree, moved


def test_a_tree_shortens_the_trench_within_its_ring(oak, draft, visit):
    before = figure(draft, "trench")
    give(visit, oak, trees={"trees": "near", "trunk": metres(0.26), "off": metres(1.0)})
    give(visit, oak, tree_at={"at": "outside", "side": "C"})
    # ring 12 x 0.26 = 3.12 m; a chord 1 m from the middle is 2 x sqrt(3.12^2 - 1) = 5.911 m of the 8 m
    assert before == pytest.approx(8, abs=0.01)
    assert figure(draft, "trench") == pytest.approx(8 - 5.911, abs=0.02)


def test_a_side_that_is_not_there_is_told(oak, draft, visit):
    give(visit, oak, trees={"trees": "near", "trunk": metres(0.2), "off": metres(1)})
    out = give(visit, oak, tree_at={"at": "outside", "side": "K"})
    assert out.left == ["The tree is not on the plan: Front lawn has no such side."]


def test_a_side_whose_two_corners_lie_on_one_spot_is_told_as_none(oak, draft, visit):
    first, second = draft.site["patches"][0]["corners"][:2]
    second["x"], second["y"] = first["x"], first["y"]
    draft.save()
    give(visit, oak, trees={"trees": "near", "trunk": metres(0.2), "off": metres(1)})
    out = give(visit, oak, tree_at={"at": "outside", "side": first["id"], "along": metres(1)})
    assert out.left == ["The tree is not on the plan: Front lawn has no such side."]


def plant(visit, world, side="A"):
    give(visit, world, trees={"trees": "near", "trunk": metres(0.26), "off": metres(1.5)})
    give(visit, world, tree_at={"at": "inside", "side": side})


def features(draft):
    draft.refresh_from_db()
    return draft.site["patches"][0]["features"]


def test_a_tree_that_an_answer_put_there_goes_when_the_answer_says_there_is_none(oak, draft, visit):
    plant(visit, oak)
    plant(visit, oak, side="B")
    by_hand = {"kind": "tree", "x": 1, "y": 1, "trunk_m": 0.1, "label": "Pear"}
    features(draft).append(by_hand)
    draft.save()
    out = give(visit, oak, trees={"trees": "none"})
    assert out.done == ["The plan no longer has the tree: the answer says there is none."] and out.left == []
    assert features(draft) == [by_hand]
    assert give(visit, oak, trees={"trees": "none"}).done == []


def test_a_tree_that_was_moved_by_hand_stays_and_a_sentence_says_so(oak, draft, visit):
    plant(visit, oak)
    features(draft)[0]["x"] += 0.5
    draft.save()
    out = give(visit, oak, trees={"trees": "none"})
    assert out.done == [] and "moved by hand, so it stays" in out.left[0]
    assert len(features(draft)) == 1


@pytest.mark.parametrize("answer", [{"trees": "near"}, {"trees": "not sure"}])
def test_a_tree_stays_while_no_answer_says_that_there_is_none(oak, draft, visit, answer):
    plant(visit, oak)
    give(visit, oak, trees=answer)
    assert len(features(draft)) == 1


def test_a_tree_of_another_patch_stays(oak):
    draft = make_kept(oak, None, rectangle("8", "5"), rectangle("4", "3", label="Side", zone="side"), beds=False)
    front, side = draft.conversion.place.patches.order_by("pk")
    draft.state = "open"
    draft.save()
    visit = book_visit(conversion=draft.conversion, by=oak.visitor, due_at=timezone.now())
    tree, at = {"trees": "near", "trunk": metres(0.2), "off": metres(1)}, {"at": "inside", "side": "A"}

    def say(**values):
        entries = [{"question": code, "value": value, "patch": patch} for code, (patch, value) in values.items()]
        add_entries(visit=visit, by=oak.visitor, entries=entries)
        return write_into_plan(conversion=visit.conversion, by=oak.visitor, questions=values)

    for patch in (front, side):
        say(trees=(patch, tree), tree_at=(patch, at))
    say(trees=(side, {"trees": "none"}))
    draft.refresh_from_db()
    assert [len(patch["features"]) for patch in draft.site["patches"]] == [1, 0]


def test_a_kept_plan_stays_as_promised_and_a_sentence_says_so(oak):
    draft = make_kept(oak)
    visit = book_visit(conversion=draft.conversion, by=oak.visitor, due_at=timezone.now())
    out = give(visit, oak, grass={"grass": "runners"})
    assert out.done == [] and "kept as it was promised" in out.left[0]
    assert draft.conversion.drafts.count() == 1


def test_without_a_drawing_one_is_begun_only_where_there_is_something_to_write(oak):
    yard = make_yard(oak)
    visit = book_visit(conversion=yard, by=oak.visitor, due_at=timezone.now())
    give(visit, oak, grass={"grass": "clumps"})
    assert yard.drafts.count() == 0
    give(visit, oak, grass={"grass": "runners"})
    site = yard.drafts.get().site
    assert site["cardboard"] == {"sheet_m": [1.2, 0.8], "lap_m": 0.2, "layers": 4, "tuck_m": 0.1}


def test_the_page_says_what_changed_and_the_phone_is_told(client, oak, draft, visit):
    oak.sign_in(client, "visitor")
    data = {"way_in-way": "narrow", "way_in-way-gate": "70 cm"}
    html = client.post(oak.url(f"visits/{visit.pk}/entries/"), data, follow=True).content.decode()
    assert "The plan now has a gate of 0.70 m." in html
    told = client.post(oak.url(f"visits/{visit.pk}/queue/"), {"feel-feel": "light"}).json()
    assert told["plan"] == ["The plan now has this soil: light."]


def test_the_year_of_the_house_is_kept_with_the_place_once(oak, visit):
    give(visit, oak, past={"past": "paint", "soil": "untested"}, built={"built": "known", "year": 1962})
    visit.conversion.place.refresh_from_db()
    assert visit.conversion.place.built_year == 1962
    give(visit, oak, built={"built": "known", "year": 1990})
    visit.conversion.place.refresh_from_db()
    assert visit.conversion.place.built_year == 1962


def test_a_year_that_cannot_be_is_not_kept_with_the_place(oak, visit):
    give(visit, oak, built={"built": "known", "year": 62})
    visit.conversion.place.refresh_from_db()
    assert visit.conversion.place.built_year is None


def test_a_trunk_of_300_m_that_was_kept_once_is_never_drawn(oak, draft, visit):
    give(visit, oak, trees={"trees": "near", "trunk": metres(300), "off": metres(2)})
    assert give(visit, oak, tree_at={"at": "outside", "side": "B"}).done == []
    assert give(visit, oak, way_in={"way": "narrow", "gate": metres(80)}).done == []
