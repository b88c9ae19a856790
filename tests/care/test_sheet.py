"""The care sheet: what it says, and the paper read back."""

import datetime
import re
import subprocess
from io import BytesIO

import pytest
from pypdf import PdfReader

from conversions.care import sheet
from conversions.care.pictures import PICTURES, task
from conversions.visits.actions import add_entries, book_visit
from conversions.yards.models import Planned
from tests.builds.rows import make_agreed
from tests.rows import make_yard, rectangle

BUILT = datetime.date(2026, 5, 9)
TEXTS = re.compile(r"\s+")


def answer_past(world, conversion, **value):
    visit = book_visit(
        conversion=conversion, by=world.organiser, due_at=datetime.datetime(2026, 4, 1, 17, tzinfo=datetime.UTC)
    )
    add_entries(visit=visit, by=world.organiser, entries=[{"question": "past", "value": value}])


def pages(content: bytes) -> list[str]:
    return [TEXTS.sub(" ", page.extract_text()) for page in PdfReader(BytesIO(content)).pages]


def test_the_paper_is_two_sides_with_dates_picture_words_and_the_phone(oak):
    content = sheet.pdf(make_agreed(oak), first_on=BUILT, today=BUILT)
    first, second = pages(content)
    for words in (
        "14 Tansy Row, built Saturday 9 May 2026",
        "Water in the morning",
        "until Saturday 16 May 2026",
        "until Saturday 31 October 2026",
        "Chips as deep as your hand is wide",
        "When new leaves curl like a cup",
        "Ring us: 000 000 000",
    ):
        assert words in first
    for on in ("16 May 2026", "9 June 2026", "31 October 2026", "9 May 2027", "9 May 2028", "9 May 2029"):
        assert on in second


def words_seen(content: bytes, tmp_path) -> list[tuple[str, float, float, float]]:
    """The words of the first page: each with its left edge, top and foot in points from the upper left corner."""
    (tmp_path / "sheet.pdf").write_bytes(content)
    done = subprocess.run(
        ["pdftotext", "-bbox", "-l", "1", tmp_path / "sheet.pdf", "-"], check=True, capture_output=True
    )
    found = re.findall(r'xMin="(\S+)" yMin="(\S+)" xMax="\S+" yMax="(\S+)">(.*?)<', done.stdout.decode())
    return [(word, float(left), float(top), float(foot)) for left, top, foot, word in found]


@pytest.mark.parametrize(("language", "last", "spring"), [("en", "root.", "Each"), ("es", "manos.", "Cada")])
def test_the_fridge_side_fills_its_page_and_no_word_sits_on_a_rule(oak, tmp_path, language, last, spring):
    conversion = make_agreed(oak)
    contact = conversion.household.contact
    contact.language = language
    contact.save()
    answer_past(oak, conversion, past="none", soil="untested")
    found = words_seen(sheet.pdf(conversion, first_on=BUILT, today=BUILT), tmp_path)
    foot = max(foot for word, _left, _top, foot in found if word == last)
    heading = next(top for word, _left, top, _foot in found if word == spring and top > foot - 15)
    assert heading - foot > 3  # points, above the heading's own rule
    assert max(foot for _word, _left, _top, foot in found if foot < 790) > 0.84 * 842  # of A4, without the page's foot
    title = max(left for word, left, top, _foot in found if top < 40 and left < 300)
    beside = min(left for word, left, top, _foot in found if top < 40 and left > 300)
    assert beside - title > 100, "the address stands well away from the title"


def test_a_sheet_speaks_only_of_the_beds_that_are_built_and_of_no_day_gone_by(oak):
    yard = make_agreed(oak, None, rectangle(label="Front lawn"), rectangle("5", "4", label="Back lawn"))
    front, back = Planned.of(oak.group).filter(conversion=yard).order_by("patch__label").reverse()
    whole = sheet.context(yard, first_on=BUILT, today=BUILT)
    first = sheet.context(yard, first_on=BUILT, today=BUILT, patches={front.patch_id})
    assert first["beds_m2"] < whole["beds_m2"] and first["minutes"].usual < whole["minutes"].usual
    assert sheet.context(yard, first_on=BUILT, today=BUILT, patches={front.patch_id, back.patch_id}) == whole
    Planned.of(oak.group).filter(pk=front.pk).update(complete_on=BUILT)
    assert sheet.context(yard, first_on=BUILT, today=BUILT)["beds_m2"] == first["beds_m2"]
    later = datetime.date(2026, 5, 25)
    again = pages(sheet.pdf(yard, first_on=BUILT, today=later, patches={front.patch_id, back.patch_id}))[0]
    assert "Water in the morning" in again and "16 May 2026" not in again and "until Tuesday 9 June 2026" in again


def test_the_paper_is_tagged_and_names_its_language_and_title(oak):
    reader = PdfReader(BytesIO(sheet.pdf(make_agreed(oak), first_on=BUILT, today=BUILT)))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and root["/Lang"] == "en"
    assert "14 Tansy Row" in reader.metadata.title
    assert "pdfuaid" in reader.xmp_metadata.stream.get_data().decode()


def test_an_untested_soil_bans_roots_and_a_cleared_one_asks_to_peel_them(oak):
    conversion = make_agreed(oak)
    assert "no roots, no salad from the old ground" in pages(sheet.pdf(conversion, first_on=BUILT, today=BUILT))[0]
    answer_past(oak, conversion, past="none", soil="untested")
    first = pages(sheet.pdf(conversion, first_on=BUILT, today=BUILT))[0]
    assert "Peel roots" in first and "soil test" not in first


@pytest.mark.parametrize(
    "value", [{"past": "paint", "soil": "untested"}, {"past": "not sure"}, {"past": "none", "lead": 250}]
)
def test_old_paint_not_sure_and_a_high_test_all_ban_roots(oak, value):
    conversion = make_agreed(oak)
    answer_past(oak, conversion, **value)
    context = sheet.context(conversion, first_on=BUILT, today=BUILT)
    assert context["soil"]
    assert "Peel" not in "".join(job["words"] for band in context["bands"] for job in band["jobs"])


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_the_fridge_side_holds_its_phone_box_even_with_three_soil_cautions(oak, size):
    oak.group.paper = size
    oak.group.save()
    conversion = make_agreed(oak)
    answer_past(oak, conversion, past="both", soil="tested", lead=450)
    conversion.refresh_from_db()
    found = pages(sheet.pdf(conversion, first_on=BUILT, today=BUILT))
    assert len(found) == 2 and "Ring us: 000 000 000" in found[0] and "About your soil" in found[1]


def test_large_print_is_larger_and_still_holds_everything(oak):
    conversion = make_agreed(oak, make_yard(oak, large_print=True))
    text = " ".join(pages(sheet.pdf(conversion, first_on=BUILT, today=BUILT)))
    assert "Ring us: 000 000 000" in text and "9 May 2029" in text


def test_minutes_come_from_the_beds_that_were_agreed(oak):
    context = sheet.context(make_agreed(oak), first_on=BUILT, today=BUILT)
    beds = float(context["beds_m2"])
    assert 0 < beds * 2.9 <= context["minutes"].usual < beds * 2.9 + 5


def test_follow_ups_that_are_past_are_not_announced(oak):
    context = sheet.context(make_agreed(oak), first_on=BUILT, today=datetime.date(2026, 6, 1))
    assert [visit["on"] for visit in context["visits"]][0] == datetime.date(2026, 6, 9)


def test_nothing_about_the_gate_or_other_people_is_on_the_sheet(oak):
    yard = make_yard(oak, note="gate code 4711", wish="ask Ruth's sister")
    text = " ".join(pages(sheet.pdf(make_agreed(oak, yard), first_on=BUILT, today=BUILT)))
    assert "4711" not in text and "sister" not in text and "Okafor" not in text


@pytest.mark.parametrize("name", PICTURES)
def test_every_picture_says_what_it_shows_and_brings_no_style_of_its_own(name):
    svg = task(name, "Water <b>")
    assert "<title>Water &lt;b&gt;</title>" in svg and "style=" not in svg


@pytest.mark.parametrize("language", ["zz", "", "en"])
def test_a_language_we_do_not_speak_falls_back_on_ours(oak, language):
    conversion = make_agreed(oak, make_yard(oak, language=language))
    assert sheet.language_of(conversion) == "en"
