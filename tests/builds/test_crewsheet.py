"""The crew sheet, read back from the PDF as it would be printed."""

import re
import uuid
from datetime import timedelta
from decimal import Decimal
from io import BytesIO

import pytest
from django.utils import timezone, translation
from pypdf import PdfReader

from conversions.builds import actions, crewsheet, gates, jobs
from conversions.builds.agreed import papers_of, quote_of
from conversions.builds.models import Day
from conversions.common import measures
from conversions.people.models import Person
from conversions.quotes.models import Line, Quote
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


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_yard_of_three_beds_and_three_pockets_still_goes_on_two_pages(oak, language, size):
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
    day.group.paper, day.group.units = size, "imperial" if size == "Letter" else "metric"
    with translation.override(language):
        pdf, pegs = read(day), crewsheet.context(day)["yards"][0]["pegs"]
        string = measures.length(0.6, day.group.units)
    assert len(pegs) == 13 and len(pdf.pages) == 2
    assert pegs[7].label in text_of(pdf) and string in text_of(pdf)


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


def test_hours_and_times_are_those_of_the_plan_they_said_yes_to(oak, day):
    """With the helpers the engine asks for the list ends when the quote says; its hours add up to the quote's."""
    papers = [papers_of(day.yards[0])]
    figures = papers[0][1]["figures"]
    day.helpers_wanted = int(figures["people"]["value"])
    rows = [row for row in jobs.jobs_of(day, papers) if row.when == "day"]
    starts = [row.minute for row in rows]
    assert starts == sorted(starts) and starts[:2] == [570, 600]
    assert rows[-1].ends - rows[0].minute == pytest.approx(figures["clock_hours"]["value"] * 60, abs=6)
    assert float(sum(row.hours or 0 for row in rows)) == figures["hours"]["value"]
    assert f"In all {figures['hours']['value']}" in text_of(read(day))


def test_with_too_few_hands_the_list_says_by_how_much_it_runs_over(oak, day):
    papers = [papers_of(day.yards[0])]
    day.helpers_wanted = int(papers[0][1]["figures"]["people"]["value"])
    assert jobs.hours_over(day, jobs.jobs_of(day, papers)) == 0
    day.helpers_wanted = 4
    few = jobs.jobs_of(day, papers)
    assert jobs.hours_over(day, few) == -(-(few[-1].ends - 14 * 60) // 60) >= 3


def test_compost_is_said_as_it_comes_and_as_it_is_needed(oak, day):
    """Sold by the half cubic metre: 1.5 comes where 1.2 is needed; the same amount is not said twice."""
    yard = day.yards[0]
    quote, needed = quote_of(yard), papers_of(yard)[1]["figures"]
    values = {"quote": quote, "group": oak.group, "unit_price": Decimal(0)}
    chips, compost = (Decimal(str(needed[key]["value"])) for key in ("chips", "compost"))
    made(Line(n=1, item="chips", quantity=chips, unit="m3", **values))
    made(Line(n=2, item="compost", quantity=compost + Decimal("0.3"), unit="m3", **values))
    both = f"Compost, {measures.volume(compost + Decimal('0.3'))} to come, {measures.volume(compost)} needed"
    text = text_of(read(fresh(day)))
    assert both in text and f"Wood chips, {measures.volume(chips)} " in text and "to come" not in text.replace(both, "")
    assert both in [gate.words for gate in gates.ready(fresh(day))]
    quote.lines.filter(item="compost").update(quantity=40, unit="bag")
    assert f"Compost, 40 bags to come, {measures.volume(compost)} needed" in text_of(read(fresh(day)))


def test_a_sheet_in_feet_names_no_metres(oak, day):
    oak.group.units, oak.group.paper = "imperial", "Letter"
    oak.group.save()
    text = text_of(read(fresh(day)))
    assert "Hand tools only within 2 ft of a mark" in text and "6 in of wall shows" in text
    shown = re.sub(r"\([\d.]+ m²\)", "", text)  # the whole area is said both ways on top
    assert not re.search(r"\d\s?(mm|m|m²|m³)\b", shown), re.search(r".{20}\d\s?(mm|m|m²|m³)\b", shown)
    listed, job = (
        re.search(words, text)[1] for words in (r"Wood chips, ([\d.]+) cu yd", r"rake, about ([\d.]+) cu yd")
    )
    assert listed == job


def test_the_widest_band_of_the_plans_is_the_one_that_is_read_out(oak, day):
    quote = quote_of(day.yards[0])
    quote.frozen["site"]["own"] = {"line_band": 1.2}
    Quote.of(oak.group).filter(pk=quote.pk).update(frozen=quote.frozen)
    assert "Hand tools only within 1.2 m of a mark" in text_of(read(fresh(day)))


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_usual_yard_is_two_pages_in_every_language_and_no_page_holds_a_line_alone(oak, day, language, size):
    for n in range(7):
        actions.sign_up(day=day, name=f"Helper {n}", phone="", role="rake")
    day.group.paper, day.group.units = size, "imperial" if size == "Letter" else "metric"
    day.group.save()
    with translation.override(language):
        pages = [page.extract_text().strip().splitlines() for page in read(fresh(day)).pages]
    assert len(pages) == 2 and min(map(len, pages)) > 15


def test_two_yards_on_one_day_share_a_sheet(oak, day):
    other = make_agreed(oak, make_yard(oak, name="Sam Nakata", address="19 Millrace Lane", reach="000 222 222"))
    both = fresh(make_day(oak, day.yards[0], other, on=oak.today + timedelta(days=20)))
    text = text_of(read(both))
    assert "14 Tansy Row" in text and "19 Millrace Lane" in text and "Cut the trench, 40.00 m" in text


def test_two_patches_are_drawn_one_by_one_so_that_each_can_be_read(oak):
    yard = make_agreed(oak, None, rectangle("6", "5"), rectangle("6", "4", label="Back lawn", zone="back"))
    text = text_of(read(fresh(make_day(oak, yard, on=oak.today + timedelta(days=20)))))
    assert len(re.findall(r"1:(75|100)\b", text)) == 2 and "Back lawn" in text
    assert "Mounded bed, middle of round end a" in text and "corner l" in text, "letters run through the yard"


def test_the_sheet_is_served_as_a_pdf_and_kept_nowhere(client, oak, day):
    answer = oak.sign_in(client, "lead").get(oak.url(f"days/{day.pk}/crew-sheet.pdf"))
    assert answer["Content-Type"] == "application/pdf" and answer.content.startswith(b"%PDF")
    assert "no-store" in answer["Cache-Control"]


def test_on_the_day_the_page_reads_out_the_ticket_and_until_when_it_is_marked(client, oak, day):
    page = oak.sign_in(client, "lead").get(oak.url(f"days/{day.pk}/?at=on")).content.decode()
    aloud = page[page.index('id="h-sos"') :]
    assert "14 Tansy Row, ticket T-0420." in aloud and "Marked until" in aloud
    assert "Hand tools only within 0.6 m of a mark" in aloud
