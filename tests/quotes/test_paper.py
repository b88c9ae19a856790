"""The paper in all its kinds: large print, for tenants, with pictures, in grey, much to say; read back from the PDF."""

import datetime
import re
import subprocess

import pytest
from django.utils import translation
from django.utils.translation import gettext as _
from PIL import Image
from pypdf import PdfReader

from conversions.common import pdf as printer
from conversions.quotes import proposal
from conversions.quotes.paper import pictures
from conversions.quotes.paper.fit import Fit, first_fit, tighter
from conversions.visits.actions import add_entries, book_visit
from conversions.yards.models import Photo
from tests.quotes.pictures import add_before
from tests.quotes.readback import read, spoken, tags
from tests.rows import make_kept, make_newer, make_quote, make_sent, make_yard, rectangle

pytestmark = pytest.mark.django_db
MM = 72 / 25.4


def pages(content) -> list[str]:
    return [re.sub(r"\s+", " ", page.extract_text()) for page in read(content).pages]


def sent(world, conversion=None, *patches, **said) -> bytes:
    quote = make_quote(world, make_kept(world, conversion, *patches))
    return proposal.prepare(quote, **said).content


def answer(world, conversion, **answers) -> None:
    visit = book_visit(conversion=conversion, by=world.organiser, due_at=datetime.datetime.now(datetime.UTC))
    rows = [{"question": code, "value": value, "as_typed": "", "patch": None} for code, value in answers.items()]
    add_entries(visit=visit, by=world.organiser, entries=rows)


def large(world, **values):
    yard = make_yard(world, **values)
    contact = yard.household.contact
    contact.large_print = True
    contact.save()
    return yard


def heights(page) -> list[tuple[float, str]]:
    """(points, words) of everything written on a page, drawings too, as it comes out on the sheet."""
    found = []

    def note(text, cm, tm, _font, size):
        if text.strip():
            turned = abs(tm[2]) + abs(tm[3])  # words up the page are as high as words along it
            found.append((round(size * turned * (abs(cm[2]) + abs(cm[3])), 1), text.strip()))

    page.extract_text(visitor_text=note)
    return found


# ---- how high the letters are


def test_no_letters_are_lower_than_10_and_a_half_points_nor_the_first_page_s_words_than_14(oak):
    on = oak.today + datetime.timedelta(days=40)
    paper = read(sent(oak, make_yard(oak, wish="I want beans."), offered_on=on))
    written = [heights(page) for page in paper.pages]
    assert min(size for page in written for size, _words in page) >= 10.4
    said = {words: size for size, words in written[0]}
    assert next(size for words, size in said.items() if words.startswith("What.")) >= 14
    assert next(size for words, size in said.items() if "I want beans." in words) >= 14


def test_in_large_print_every_word_of_the_letter_has_18_points(oak):
    paper = read(sent(oak, large(oak)))
    for n, page in enumerate(paper.pages):
        small = [(size, words) for size, words in heights(page) if size < 17.9]
        in_the_foot = [row for row in small if row[0] >= 15.9]
        if n == 2:  # the plan: its letters too
            assert [row for row in small if row not in in_the_foot] == []
        elif n != 3:  # the numbers on the cut stand in circles
            assert len(small) == len(in_the_foot), small


def test_large_print_is_laid_out_anew_in_one_column_with_the_drawing_on_a_page_of_its_own(oak):
    said = pages(sent(oak, large(oak)))
    assert f"This plan has {len(said)} pages." in said[0]
    assert "The plan, drawn at 1:" in said[2] and "What comes" not in said[2]
    whole = " ".join(said)
    assert "Compost 2.0 m³ (2.6 cu yd) We bring. You pay $96.00." in whole
    assert "You pay $277.00 in all." in whole and "Give us back this page." in whole
    tables = [row for row in tags(read(sent(oak, large(oak, name="Another")))) if row["/S"] == "/Table"]
    assert tables == []


def test_what_is_sent_in_large_print_says_so(oak):
    assert proposal.prepare(make_quote(oak, make_kept(oak, large(oak)))).variant == "large print"
    assert proposal.prepare(make_quote(oak, make_kept(oak, make_yard(oak, name="Another")))).variant == ""


# ---- for tenants


def test_a_tenant_gets_a_page_for_the_owner_and_an_owner_does_not(oak):
    rented, owned = pages(sent(oak, make_yard(oak, tenure="rent"))), pages(sent(oak))
    assert len(rented) == 4
    for words in (
        "For the owner of 14 Tansy Row",
        "What touches the ground.",
        "When your tenants move out.",
        "Oak Street Growers does not write to you unless they ask us to.",
        "Yes, if",
        "Signature",
    ):
        assert words in rented[-1]
    assert "The owner’s page is signed" in rented[2]
    assert "For the owner" not in " ".join(owned) and "You rent." not in " ".join(owned)


def test_the_owner_reads_this_yard_s_own_figures_and_no_price(oak):
    quote = make_quote(oak, make_kept(oak, make_yard(oak, tenure="rent")))
    last = pages(proposal.prepare(quote).content)[-1]
    figures = quote.draft.takeoff["figures"]
    assert f"{figures['cover']['value']:.1f} m² of lawn" in last
    assert f"{figures['trench']['value']:.2f} m long and 100 mm deep" in last
    assert "$277.00" not in last and "Ruth Okafor" not in last


# ---- what others said before


def test_what_changed_and_the_number_stand_on_the_second_version_only(oak):
    first = make_sent(oak, is_rendered=True)
    again = make_newer(oak, first)
    second = proposal.prepare(again, what_changed="The bed is longer.\nYou pay $12 more.").content
    said = pages(second)
    assert "What changed. The bed is longer. You pay $12 more." in said[0]
    assert "It takes the place of the one of" in said[0] and "No. 2." in said[-1]
    before = " ".join(pages(first.document.content))
    assert "What changed" not in before and "No. 2" not in before


def test_if_the_free_chips_do_not_come_it_says_who_decides_and_at_most_how_much(oak):
    quote = make_quote(oak)
    assert "you decide. We buy none before you know the price." in pages(proposal.prepare(quote).content)[0]
    line = quote.lines.get(item="chips")
    line.if_not_free_amount = 180
    line.save()
    again = type(quote).of(oak.group).get(pk=quote.pk)
    assert "you decide. To buy some would cost you $180.00 at most." in pages(proposal.prepare(again).content)[0]
    line.if_not_free_by = "group"
    line.save()
    again = type(quote).of(oak.group).get(pk=quote.pk)
    assert "we buy some and pay for them." in pages(proposal.prepare(again).content)[0]


def test_the_slip_says_where_it_goes_back_and_whom_to_ring(oak):
    oak.group.postal = "2 Harrow Lane\nMilltown 00000"
    oak.group.save()
    last = pages(sent(oak))[-1]
    assert "Back to: Oak Street Growers 2 Harrow Lane Milltown 00000 000 000 000" in last
    assert [last.count(word) for word in ("Let’s talk", "Signature", "not this year")] == [1, 1, 1]


def test_the_paper_asks_a_printer_to_leave_the_back_of_the_slip_empty(oak):
    assert read(sent(oak)).trailer["/Root"]["/ViewerPreferences"]["/Duplex"] == "/Simplex"


# ---- pictures


def images(paper: PdfReader) -> int:
    """How many different photographs are in the file; a drawing's textures are no images."""
    return len({image.data for page in paper.pages for image in page.images})


def test_six_pictures_stay_under_a_megabyte_and_each_has_words(oak):
    yard = make_yard(oak)
    kept = make_kept(oak, yard)
    add_before(oak, yard, 6)
    content = proposal.prepare(make_quote(oak, kept)).content
    assert len(content) < 1_000_000
    paper = read(content)
    assert images(paper) == 6 and len(paper.pages) == 4
    figures = [row for row in tags(paper) if row["/S"] == "/Figure"]
    assert sum("Front lawn" in row["/Alt"] or "Your ground" in row["/Alt"] for row in figures) >= 6
    assert "Your ground, as we saw it" in pages(content)[2]


@pytest.mark.parametrize(("people", "consent", "shown"), [
    ("none", "photo record", 2), ("none", "photo public", 2), ("none", "", 0),
    ("unsure", "photo public", 0), ("adult", "photo public", 0), ("child", "photo public", 0),
])  # fmt: skip
def test_only_pictures_with_a_yes_and_nobody_in_them_are_printed(oak, people, consent, shown):
    yard = make_yard(oak)
    add_before(oak, yard, 2, people=people, consent=consent)
    assert len(pictures.before(yard)) == shown


def test_a_picture_of_another_ground_or_from_the_build_day_is_not_printed(oak):
    yard, other = make_yard(oak), make_yard(oak, name="Another", address="3 Sorrel Lane")
    add_before(oak, other, 1)
    (photo,) = add_before(oak, yard, 1)
    assert len(pictures.before(yard)) == 1
    Photo.of(oak.group).filter(pk=photo.pk).update(taken_for="day")
    assert pictures.before(yard) == []


@pytest.mark.parametrize(("hour", "words"), [(1, ["Your ground from the middle, 3 May"]), (8, [])])
def test_a_picture_belongs_to_the_day_on_the_wall_of_the_group(oak, hour, words):
    """One date in Greenwich; there six in the evening of their last day, or after midnight."""
    oak.group.zone = "America/Los_Angeles"
    oak.group.save()
    yard = make_yard(oak)
    (photo,) = add_before(oak, yard, 1)
    moment = datetime.datetime(2027, 5, 4, hour, tzinfo=datetime.UTC)
    Photo.of(oak.group).filter(pk=photo.pk).update(received_at=moment)
    yard.household.from_on = yard.household.until_on = datetime.date(2027, 5, 3)
    yard.household.save()
    assert [row["words"] for row in pictures.before(yard)] == words


# ---- whatever there is to say, four sides do


ALL = {"septic": {"septic": "away"}, "past": {"past": "both", "soil": "untested"}}


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("tenure", ["own", "rent"])
def test_with_pictures_cautions_and_long_words_four_sides_are_enough(oak, size, tenure):
    oak.group.paper = size
    oak.group.save()
    words = ("lots of beans and peas please " * 14)[:390]
    yard = make_yard(oak, wish=words, tenure=tenure, address="1735 Long Meadow Terrace North, Flat 12")
    answer(oak, yard, **ALL)
    kept = make_kept(oak, yard, rectangle(), rectangle("6", "5", label="Side", zone="side"))
    add_before(oak, yard, 6)
    on = oak.today + datetime.timedelta(days=40)
    content = proposal.prepare(make_quote(oak, kept), sentence=words, offered_on=on, offered_rain_on=on).content
    said = pages(content)
    assert len(said) == 4
    assert "Septic tank nearby" in said[2] and "Asking is free. Any work is for the owner to pay." in said[2]


def test_a_first_try_is_right_for_the_usual_yard(oak, monkeypatch):
    tries = []
    real = printer._spans
    monkeypatch.setattr(printer, "_spans", lambda document: tries.append(1) or real(document))
    sent(oak)
    assert len(tries) == 1


def test_each_part_that_overflows_is_set_tighter_till_no_more_can_be_done():
    fit = first_fit(pictures=6, is_renter=True, is_overleaf=False, letters=2000)
    assert (fit.is_together, fit.shown) == (True, 3)
    assert tighter(fit, {"words": 1, "plan": 1, "last": 1, "owner": 1}) is None
    assert tighter(fit, {"words": 2}).words == 1
    assert tighter(fit, {"plan": 2}).is_overleaf
    assert tighter(fit, {"owner": 2}).is_owner_tight
    steps = []
    while fit := tighter(fit, {"last": 2}):
        steps.append((fit.is_table, fit.shown))
    assert steps == [(True, 3), (True, 3), (True, 0)]
    own = Fit(pictures=0, is_renter=False, is_together=True, is_overleaf=False, last=1)
    assert not tighter(own, {"last": 2}).is_together


# ---- as it is read aloud


def test_it_is_read_out_in_the_order_in_which_it_is_to_be_understood(oak):
    yard = make_yard(oak, tenure="rent", wish="I want beans.")
    add_before(oak, yard, 1)
    said = spoken(sent(oak, yard))
    heads = [words for tag, words in said if tag in ("H1", "H2", "H3")]
    assert heads == [
        "Your garden at 14 Tansy Row", "The plan, drawn at 1:100", "Dates", "The layers, cut through",
        "What comes, and who brings it", "Your ground, as we saw it", "Good to know", "Our answer",
        "For the owner of 14 Tansy Row", "The owner’s answer",
    ]  # fmt: skip
    first = [words for _tag, words in said[: [words for _tag, words in said].index(heads[1])]]
    asked = ("You said:", "You pay", "When", "What.", "When.", "What you pay.", "What you do.", "Yes, no,", "You rent.")
    places = [next(n for n, words in enumerate(first) if words.startswith(start)) for start in asked]
    assert places == sorted(places)
    row = [words for _tag, words in said]
    at = row.index("Compost")
    assert row[at : at + 4] == ["Compost", "2.0 m³ (2.6 cu yd)", "We bring", "$96.00"]


# ---- black and white


def test_in_grey_the_three_ways_of_bringing_and_every_word_can_still_be_told_apart(oak, tmp_path):
    """Shapes differ, and the darkest ink on each page is near black on near white."""
    file = tmp_path / "plan.pdf"
    file.write_bytes(sent(oak))
    subprocess.run(["pdftoppm", "-r", "60", "-gray", str(file), str(tmp_path / "page")], check=True)
    for picture in sorted(tmp_path.glob("page*.pgm")):
        levels = Image.open(picture).histogram()
        assert sum(levels[230:]) > 0.35 * sum(levels) and sum(levels[:60]) > 0.002 * sum(levels)
    for words in ("We bring", "You bring", "Given free"):
        assert words in pages(file.read_bytes())[1]


@pytest.mark.parametrize("kind", ["large", "rent"])
def test_every_kind_is_tagged_with_words_for_drawings_and_levels_that_follow(oak, kind):
    yard = large(oak) if kind == "large" else make_yard(oak, tenure="rent")
    add_before(oak, yard, 1)
    paper = read(sent(oak, yard))
    root = paper.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and root["/Lang"] == "en" and root["/ViewerPreferences"]["/DisplayDocTitle"]
    found = tags(paper)
    assert all(row.get("/Alt") for row in found if row["/S"] == "/Figure")
    levels = [int(row["/S"][2]) for row in reversed(found) if re.fullmatch("/H[1-6]", row["/S"])]
    assert levels.count(1) == 1 and set(levels) <= {1, 2, 3}
    for page in paper.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"]
            assert {"/FontFile2", "/FontFile3"} & set(inner)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_in_large_print_no_list_of_dates_is_cut_by_the_end_of_a_page(oak, size, language):
    oak.group.paper = size
    oak.group.save()
    yard = large(oak)
    yard.household.contact.language = language
    yard.household.contact.save()
    on = oak.today + datetime.timedelta(days=40)
    said = pages(sent(oak, yard, offered_on=on, offered_rain_on=on + datetime.timedelta(days=7)))
    with translation.override(language):
        ends = [(_("Dates"), _("We look in after a week, a month, at the season’s end, and for three years. Ring us any time.")),
                (_("What it looks like, and when"), _("Ill or away?")),
                (_("What comes, and who brings it"), _("Tools"))]  # fmt: skip
    for first, last in ends:
        assert any(first in page and last in page[page.index(first) :] for page in said), first


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("is_large", [False, True])
@pytest.mark.parametrize("language", ["en", "es"])
def test_beside_a_marked_line_the_plan_of_the_paper_says_hand_tools_only(oak, tmp_path, size, is_large, language):
    oak.group.paper = size
    oak.group.save()
    yard = large(oak) if is_large else make_yard(oak)
    yard.household.contact.language = language
    yard.household.contact.save()
    gas = {"kind": "line", "service": "gas", "points": [[6.2, 0.0], [6.2, 6.0]]}
    tap = {"uid": "6b0a3a3e-54cc-4c02-9d0e-0d8d1b7a8f11", "kind": "tap", "x": 1.0, "y": 5.8}
    content = sent(oak, yard, rectangle() | {"features": [gas], "marks": [tap]})
    said = pages(content)
    with translation.override(language):
        heading, rule = _("The plan, drawn at 1:%(scale)s") % {"scale": ""}, _("hand tools only")
    assert any(heading in page and rule in page for page in said)
    assert is_large or len(said) <= 4
