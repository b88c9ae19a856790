"""The crew sheet, read back from the PDF as it would be printed."""

import uuid
from datetime import timedelta
from io import BytesIO

import pytest
from django.utils import timezone
from pypdf import PdfReader

from conversions.builds import actions, crewsheet, jobs
from conversions.builds.agreed import papers_of
from conversions.builds.models import Day
from conversions.common import measures
from conversions.people.models import Person
from conversions.quotes.models import Quote
from conversions.yards.actions import keep_draft, open_draft, save_site
from tests.builds.rows import answer_all, made, make_agreed, make_day
from tests.rows import make_site, make_yard, rectangle


@pytest.fixture
def day(oak):
    yard = make_agreed(oak)
    answer_all(oak, yard)
    on = oak.today + timedelta(days=10)
    day = make_day(
        oak, yard, on=on, rain_on=on + timedelta(days=7), helpers_wanted=8, deputy=oak.visitor,
        meeting_point="the lamp post", notes="Park in the lane",
    )  # fmt: skip
    actions.sign_up(day=day, name="Noor", phone="000 777 888", role="rake")
    return fresh(day)


def fresh(day):
    return Day.of(day.group).for_lists().get(pk=day.pk)


def read(day) -> PdfReader:
    return PdfReader(BytesIO(crewsheet.pdf(day)))


def text_of(pdf: PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in pdf.pages).split())


def test_who_knows_first_aid_is_named_on_top(oak, day):
    assert "First aid: ____" in text_of(read(day))
    Person.of(oak.group).filter(name="Noor").update(first_aid=True)
    text = text_of(read(fresh(day)))
    assert "First aid: Noor" in text and "If not: Visitor Oak leads" in text


def test_the_sheet_is_two_pages_with_all_a_crew_needs(oak, day):
    pdf = read(day)
    assert len(pdf.pages) == 2
    text = text_of(pdf)
    for said in (
        "14 Tansy Row",
        "9:30 to 14:00",
        "Lead Oak",
        "If not: Visitor Oak leads",
        "the lamp post",
        "Smell or hiss",
        "ticket T-0420",
        "Marked until",
        "Park in the lane",
        "Cut the trench, 20.00 m",
        "Cardboard, 3 layers",
        "sheets, tape off",
        "Noor",
        "Thunder",
        "Heat",
        "Lifting",
        "open it with a fork",
        "locating service",
    ):
        assert said in text, said
    assert day.rain_on.strftime("%-d %b") in text


def test_a_yard_of_three_beds_and_three_pockets_still_goes_on_two_pages(oak):
    """Thirteen pegs: two frames with four corners each, the two ends of a mound, three pockets."""
    ground, yard = rectangle("12", "8"), make_yard(oak)
    on = {"patch": ground["uid"]}
    frame = {**on, "kind": "framed", "length_m": 2.4, "width_m": 1.2, "height_m": 0.2, "board_m": 0.038}
    mound = {**on, "kind": "mounded", "length_m": 4.0, "width_m": 1.2, "height_m": 0.15, "ends": "round"}
    hole = {**on, "kind": "pocket", "top_m": 0.4, "bottom_m": 0.2, "height_m": 0.2}
    laid = [(frame, 2.5, 6.0), (frame, 2.5, 2.0), (mound, 7.5, 2.5), *((hole, x, 5.0) for x in (6.0, 7.0, 8.0))]
    beds = [bed | {"uid": str(uuid.uuid4()), "x": x, "y": y} for bed, x, y in laid]
    draft = open_draft(conversion=yard, by=oak.organiser)
    draft = save_site(draft=draft, revision=1, site=make_site(ground, beds=False) | {"beds": beds}, by=oak.organiser)
    draft = keep_draft(draft=draft, revision=draft.revision, by=oak.organiser)
    frozen = {"site": draft.site, "takeoff": draft.takeoff}
    values = {"state": "accepted", "version": 1, "sent_at": timezone.now(), "made_by": oak.organiser, "frozen": frozen}
    made(Quote(group=oak.group, conversion=yard, draft=draft, valid_until=oak.today, **values))
    answer_all(oak, yard)
    day = fresh(make_day(oak, yard, on=oak.today + timedelta(days=5)))
    pdf = read(day)
    assert len(crewsheet.context(day)["yards"][0]["pegs"]) == 13 and len(pdf.pages) == 2
    assert "Framed bed, corner h" in text_of(pdf) and "string 0.60 m" in text_of(pdf)


def test_nobodys_number_goes_round_the_crew(oak, day):
    text = text_of(read(day))
    assert "000 777 888" not in text and "000 111 222" not in text


def test_ground_that_is_not_marked_is_said_loudly(oak):
    yard = make_agreed(oak)
    day = fresh(make_day(oak, yard, on=oak.today + timedelta(days=10)))
    assert "NOT MARKED" in text_of(read(day))


def test_marks_that_die_before_the_rain_date_are_said(oak, day):
    actions.note_marks(day=day, by=oak.lead, state="marked", until=day.on, ticket="T-9")
    assert "Not good on the rain date" in text_of(read(fresh(day)))


def test_the_plan_and_two_distances_for_every_bed_are_on_it(oak, day):
    pdf = read(day)
    site, takeoff = papers_of(day.yards[0])
    text = text_of(pdf)
    for peg in crewsheet.context(day)["yards"][0]["pegs"]:
        assert measures.length(peg.first_m) in text and measures.length(peg.second_m) in text
    assert len(site["beds"]) == len(takeoff["beds"]) == 2


def test_the_paper_is_tagged_and_names_its_day(oak, day):
    pdf = read(day)
    assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert "Crew sheet" in pdf.metadata.title


def test_somebody_under_18_brings_their_own_line(oak, day):
    row = actions.sign_up(day=day, name="Runa", phone="000 777 999")
    row.person.under_18 = True
    row.person.save()
    assert "In sight of their own adult" in text_of(read(fresh(day)))


def test_jobs_follow_the_clock_and_say_when_there_are_too_few_hands(oak, day):
    papers = [papers_of(day.yards[0])]
    rows = [row for row in jobs.jobs_of(day, papers) if row.when == "day"]
    starts = [row.minute for row in rows]
    assert starts == sorted(starts) and starts[:2] == [570, 600]
    # 16.65 likely hours by 8 pairs of hands x 0.75 x 0.75 take 3.7 h from 10:00, so the day holds them
    assert jobs.hours_over(day, rows) == 0
    day.helpers_wanted = 4
    assert jobs.hours_over(day, jobs.jobs_of(day, papers)) == 4


def test_two_yards_on_one_day_share_a_sheet(oak, day):
    other = make_agreed(oak, make_yard(oak, name="Sam Nakata", address="19 Millrace Lane", reach="000 222 222"))
    both = fresh(make_day(oak, day.yards[0], other, on=oak.today + timedelta(days=20)))
    text = text_of(read(both))
    assert "14 Tansy Row" in text and "19 Millrace Lane" in text and "Cut the trench, 40.00 m" in text


def test_two_patches_are_drawn_one_by_one_so_that_each_can_be_read(oak):
    yard = make_agreed(oak, None, rectangle("6", "5"), rectangle("6", "4", label="Back lawn", zone="back"))
    text = text_of(read(fresh(make_day(oak, yard, on=oak.today + timedelta(days=20)))))
    assert text.count("1:100") == 2 and "Back lawn" in text
    assert "Mounded bed, middle of round end a" in text and "corner l" in text, "letters run through the yard"


def test_the_sheet_is_served_as_a_pdf_and_kept_nowhere(client, oak, day):
    answer = oak.sign_in(client, "lead").get(oak.url(f"days/{day.pk}/crew-sheet.pdf"))
    assert answer["Content-Type"] == "application/pdf" and answer.content.startswith(b"%PDF")
    assert "no-store" in answer["Cache-Control"]
