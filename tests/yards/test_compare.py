"""Two drawings of one yard beside each other."""

import uuid

from conversions.yards.actions import keep_draft, save_beside
from tests.rows import make_open, make_site, make_yard, rectangle
from tests.yards.test_plan import text


def three(oak):
    """A drawing, one made from it, and one more."""
    draft = make_open(oak, None, rectangle("8", "6"), beds=False)
    for width in ("7", "5"):
        save_beside(draft=draft, site=make_site(rectangle(width, "6"), beds=False), by=oak.visitor)
    return draft.conversion


def test_two_of_three_are_picked_and_laid_beside_each_other(organiser, oak):
    yard = three(oak)
    page = text(organiser.get(oak.url(f"yards/{yard.pk}/plan/compare/?one=1&other=2")))
    assert (
        "<td>45.6 m²</td><td><b>39.9 m²</b></td>" in page
    )  # 8 x 6 less the wall's strip of 8 x 0.3; 7 x 6 less 7 x 0.3
    assert page.count('class="plan"') == 2 and page.count("<option") == 6


def test_without_numbers_the_one_that_counts_stands_beside_the_newest_other(organiser, oak):
    yard = three(oak)
    page = text(organiser.get(oak.url(f"yards/{yard.pk}/plan/compare/?one=99&other=x")))
    assert '<h2 id="h-one">Drawing 3</h2>' in page and '<h2 id="h-other">Drawing 2</h2>' in page
    assert page.count("This one counts now") == 1


def test_one_drawing_alone_leads_to_the_plan(organiser, oak):
    draft = make_open(oak)
    answer = organiser.get(oak.url(f"yards/{draft.conversion_id}/plan/compare/"))
    assert answer.status_code == 302 and answer["Location"].endswith("/plan/")
    assert organiser.get(oak.url(f"yards/{make_yard(oak, address='3 Elm Way').pk}/plan/compare/")).status_code == 302


def test_a_drawing_that_is_not_sound_is_shown_and_cannot_be_used(organiser, oak):
    draft = make_open(oak)
    site = make_site(rectangle("8", "6"), beds=False)
    site["patches"][0]["corners"][2], site["patches"][0]["corners"][3] = (
        site["patches"][0]["corners"][3],
        site["patches"][0]["corners"][2],
    )
    save_beside(draft=draft, site=site, by=oak.organiser)
    page = text(organiser.get(oak.url(f"yards/{draft.conversion_id}/plan/compare/")))
    assert page.count(">Use drawing ") == 1 and ">Use drawing 1<" in page and "not sized" in page
    assert "It cannot be used yet: put right what does not fit." in page


def test_comparing_asks_a_fixed_number_of_questions(organiser, oak, django_assert_max_num_queries):
    yard = three(oak)
    with django_assert_max_num_queries(12):
        organiser.get(oak.url(f"yards/{yard.pk}/plan/compare/"))


def two_over_one_another(oak):
    """A drawing, and one beside it whose second bed lies over the first."""
    draft = make_open(oak)
    site = make_site(rectangle("8.6", "6"))
    bed = site["beds"][0]
    site["beds"] = [bed, {**bed, "uid": str(uuid.uuid4())}]
    return save_beside(draft=draft, site=site, by=oak.organiser)


def test_a_bed_over_another_one_is_told_by_names_never_by_what_the_machine_calls_it(organiser, oak):
    draft = two_over_one_another(oak)
    page = text(organiser.get(oak.url(f"yards/{draft.conversion_id}/plan/compare/")))
    assert "<b>Mounded bed 2.</b> This bed lies over another one (Mounded bed 1). Move one of them." in page, (
        "which one, and over which"
    )
    assert draft.site["beds"][0]["uid"] not in page


def test_each_side_that_may_be_used_has_one_main_button_and_a_kept_one_says_why_not(organiser, oak):
    yard = three(oak)
    page = text(organiser.get(oak.url(f"yards/{yard.pk}/plan/compare/?one=1&other=2")))
    assert ">Use drawing 1<" in page and ">Use drawing 2<" in page and page.count('class="btn main"') == 2
    first = yard.drafts.get(number=1)
    keep_draft(draft=first, revision=first.revision, by=oak.organiser)
    page = text(organiser.get(oak.url(f"yards/{yard.pk}/plan/compare/?one=1&other=2")))
    assert "Kept already: it stays as it was promised." in page
    assert ">Use drawing 1<" not in page and ">Use drawing 2<" in page


def test_a_drawing_that_does_not_count_says_so_on_its_page_and_can_be_made_to(organiser, oak):
    yard = three(oak)
    address = oak.url(f"yards/{yard.pk}/plan/")
    page = text(organiser.get(address + "?drawing=1"))
    assert "Drawing 1 does not count now" in page and "Drawing 3 is the one that counts" in page
    assert "does not count" not in text(organiser.get(address))
    one = yard.drafts.get(number=1)
    organiser.post(address + "keep/", {"drawing": 1, "revision": one.revision})
    assert yard.drawing() == one and "does not count" not in text(organiser.get(address + "?drawing=1"))
    assert "Drawing 3 does not count now" in text(organiser.get(address + "?drawing=3"))
