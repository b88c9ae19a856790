"""The paper a household gets, read back: words, pages, tags, language, and where it was made."""

import datetime
import logging
import re

import pytest
from django.db import connection

from conversions.common import pdf as printer
from conversions.quotes import proposal
from conversions.quotes.line_actions import change_line
from conversions.quotes.models import Quote
from conversions.quotes.paper.drawn import drawings
from conversions.quotes.paper.rooms import layout_of
from conversions.visits.actions import add_entries, book_visit
from conversions.yards.actions import keep_draft, open_draft
from tests.quotes.readback import read, tags
from tests.rows import make_kept, make_quote, make_sent, make_yard, rectangle

pytestmark = pytest.mark.django_db
SEPTIC = {"septic": "here"}
WISH = "I want beans, and no more mowing."


def words(content) -> str:
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in read(content).pages))


def printed(world, **said) -> bytes:
    return bytes(make_sent(world, is_rendered=True, **said).document.content)


@pytest.fixture
def wish(oak):
    return make_kept(oak, make_yard(oak, wish=WISH))


def test_the_first_page_says_wish_price_day_and_how_to_say_yes(oak, wish):
    on = oak.today + datetime.timedelta(days=40)
    quote = make_sent(oak, make_quote(oak, wish), is_rendered=True, sentence="Here it is.", offered_on=on)
    first = re.sub(r"\s+", " ", read(quote.document.content).pages[0].extract_text())
    assert "Your garden at 14 Tansy Row" in first and "For Ruth Okafor" in first
    assert WISH in first and "Here it is." in first
    assert "$277.00" in first and f"{on:%A} {on.day} {on:%B}" in first
    assert "000 000 000" in first and "Yes, no, or let’s talk" in first


def test_price_and_day_stand_in_the_top_third_at_more_than_14_points(oak):
    on = oak.today + datetime.timedelta(days=40)
    page = read(printed(oak, offered_on=on)).pages[0]
    found = {}

    def note(text, _cm, tm, _font, size):
        for word in ("$277.00", f"{on:%B}"):
            if word in text:
                found.setdefault(word, (tm[5], abs(size * tm[3])))

    page.extract_text(visitor_text=note)
    # a drawing turned upside down on the page has its own axis, so both are told as a share of the page
    height = float(page.mediabox.height)
    assert set(found) == {"$277.00", f"{on:%B}"}
    for place, size in found.values():
        from_top = place if place < height / 2 else height - place
        assert from_top < height / 3
        assert size >= 14


def test_the_second_page_has_scale_section_table_and_dates(oak):
    second = re.sub(r"\s+", " ", read(printed(oak)).pages[1].extract_text())
    assert "The plan, drawn at 1:100" in second
    for word in ("Cardboard", "225 sheets", "We bring", "Given free", "0, free", "$96.00", "In all", "Dates"):
        assert word in second
    assert "wood chips" in second and "cardboard, 3 layers" in second


def test_the_slip_has_three_answers_and_names_its_version(oak):
    last = re.sub(r"\s+", " ", read(printed(oak)).pages[-1].extract_text())
    for word in ("Yes", "Let’s talk", "No", "Signature", f"Plan of {oak.today.day} {oak.today:%B %Y}"):
        assert word in last


def test_the_paper_is_tagged_and_has_a_language_and_a_title(oak):
    paper = read(printed(oak))
    root = paper.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert paper.metadata.title == "Your garden at 14 Tansy Row"
    assert "pdfuaid" in root["/Metadata"].get_data().decode()


def test_every_drawing_has_words_and_every_header_cell_a_scope(oak):
    rows = tags(read(printed(oak)))
    figures = [row for row in rows if row["/S"] == "/Figure"]
    headers = [row for row in rows if row["/S"] == "/TH"]
    assert len(figures) == 3 and all(row.get("/Alt") for row in figures)
    assert len(headers) > 10
    for row in headers:
        told = row["/A"].get_object()
        assert (told[0] if isinstance(told, list) else told)["/Scope"] in ("/Row", "/Column")


def test_headings_skip_no_level(oak):
    order = [row["/S"] for row in tags(read(printed(oak))) if re.fullmatch("/H[1-6]", row["/S"])]
    assert order.count("/H1") == 1 and "/H2" in order
    assert "/H3" not in order or "/H2" in order


@pytest.mark.parametrize(("size", "points"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_the_paper_has_the_size_of_the_group_and_four_sides_at_most(oak, size, points):
    oak.group.paper = size
    oak.group.save()
    paper = read(printed(oak))
    box = paper.pages[0].mediabox
    assert (round(float(box.width)), round(float(box.height))) == points
    assert len(paper.pages) == 3  # nothing but a soil that was not tested: it stands on the page of the slip


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("letters", [100, 300, 800])
def test_many_words_and_a_wide_lawn_still_fit_on_four_sides(oak, size, letters):
    oak.group.paper = size
    oak.group.save()
    half = ("lots of beans and peas please " * 14)[: letters // 2]
    wide, deep = rectangle("19", "7.5"), rectangle("7", "16", label="Back", zone="back")
    kept = make_kept(oak, make_yard(oak, wish=half, tenure="rent"), wide, deep)
    on = oak.today + datetime.timedelta(days=40)
    quote = make_sent(oak, make_quote(oak, kept), is_rendered=True, sentence=half, offered_on=on, offered_rain_on=on)
    assert len(read(quote.document.content).pages) == 4


def test_no_address_of_a_link_stands_in_the_paper(oak):
    content = printed(oak)
    assert "/p/" not in words(content) and "http" not in words(content)
    assert not [page for page in read(content).pages if page.get("/Annots")]


def test_only_the_two_faces_of_the_house_and_their_stand_in_are_used(oak):
    names = set()
    for page in read(printed(oak)).pages:
        fonts = page["/Resources"].get("/Font", {})
        names |= {font.get_object()["/BaseFont"].split("+")[1] for font in fonts.values()}
    assert names and all(name.startswith(("Charis", "Open-Sans", "DejaVu")) for name in names)
    serifs = {name.split("-")[0] for name in names if name.startswith(("Charis", "DejaVu-Serif"))}
    assert len(serifs) == 1  # one face for headings, figures and the corners of the plan alike


def test_cautions_of_this_yard_alone_are_printed_with_whom_to_ask_when_and_who_pays(oak):
    kept = make_kept(oak)
    visit = book_visit(conversion=kept.conversion, by=oak.organiser, due_at=datetime.datetime.now(datetime.UTC))
    entries = [{"question": "septic", "value": SEPTIC, "as_typed": "", "patch": None}]
    add_entries(visit=visit, by=oak.organiser, entries=entries)
    quote = make_sent(oak, make_quote(oak, kept), is_rendered=True)
    ours = [caution for caution in quote.frozen["cautions"] if caution["is_ours"]]
    assert any("septic" in caution["key"] for caution in ours)
    text = words(quote.document.content)
    for caution in ours:
        assert caution["text"] in text
        assert caution["ask"] and caution["ask"] in text
    # what holds on every build day is for the crew: on this paper stands what this yard brings up
    others = [caution["text"] for caution in quote.frozen["cautions"] if not caution["is_ours"]]
    assert others and not [words for words in others if words in text]


def test_what_was_sent_does_not_move_when_prices_and_drawing_do(oak):
    quote = make_sent(oak, is_rendered=True)
    before, lines = bytes(quote.document.content), list(quote.lines.values_list("amount", flat=True))
    again = open_draft(conversion=quote.conversion, by=oak.organiser)
    keep_draft(draft=again, revision=again.revision, by=oak.organiser)
    make_quote(oak, quote.draft, {"compost": "999"})
    quote = Quote.of(oak.group).get(pk=quote.pk)
    assert bytes(quote.document.content) == before
    assert list(quote.lines.values_list("amount", flat=True)) == lines


def test_the_same_quote_gives_the_same_bytes(oak):
    quote = make_sent(oak)
    assert proposal.pdf(quote) == proposal.pdf(quote)


def test_a_draft_shows_what_is_missing_and_never_calls_it_free(oak):
    quote = make_quote(oak, prices={"compost": "48"})
    text = words(proposal.prepare(quote).content)
    assert text.count("price not set") == 3
    assert "You pay nothing for the cardboard, the wood chips, our work and the tools." in text


def test_what_others_pay_and_what_they_bring_is_said(oak):
    quote = make_quote(oak)
    for item, change in (("frame", {"paid_by": "grant"}), ("plants", {"brought_by": "household"})):
        row = quote.lines.get(item=item)
        kept = {"quantity": row.quantity, "brought_by": row.brought_by, "paid_by": row.paid_by} | change
        change_line(quote=quote, revision=quote.revision, n=row.n, **kept)
    text = words(proposal.prepare(Quote.of(oak.group).get()).content)
    assert "The wooden frame: paid by others, not by you." in text
    assert "You bring the plants." in text
    assert "$141.00 in all: compost and its delivery." in text


@pytest.mark.django_db(transaction=True)
def test_no_paper_is_rendered_inside_a_transaction(oak, client, monkeypatch):
    quote, inside, render = make_quote(oak), [], printer.render

    def watch(*args, **kwargs):
        inside.append(connection.in_atomic_block)
        return render(*args, **kwargs)

    monkeypatch.setattr(printer, "render", watch)
    oak.sign_in(client).post(oak.url(f"quotes/{quote.pk}/send/"), {"revision": quote.revision, "day": ""})
    assert Quote.of(oak.group).get().state == "sent"
    assert inside == [False]


def test_the_paper_asks_for_nothing_but_its_own_stylesheet(oak, caplog):
    with caplog.at_level(logging.WARNING):
        printed(oak)
    assert not [record for record in caplog.records if "may not have" in record.getMessage()]


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("several", [2, 3])
def test_several_patches_a_long_address_and_a_tenant_still_fit_on_four_sides(oak, size, units, several):
    oak.group.paper, oak.group.units = size, units
    oak.group.save()
    patches = (
        rectangle(),
        rectangle("6", "5", label="Side", zone="side"),
        rectangle("7", "4", label="Back", zone="back"),
    )
    yard = make_yard(oak, address="1735 Long Meadow Terrace North", tenure="rent", wish="I want beans, no more mowing.")
    quote = make_sent(oak, make_quote(oak, make_kept(oak, yard, *patches[:several])), is_rendered=True)
    paper = read(quote.document.content)
    assert len(paper.pages) == 4
    assert "Dates" in paper.pages[1].extract_text()


def test_of_three_patches_the_letter_shows_the_largest(oak):
    small, large = rectangle("3", "3", label="Side", zone="side"), rectangle("9", "7", label="Back", zone="back")
    quote = make_sent(oak, make_quote(oak, make_kept(oak, None, small, large, rectangle("4", "4"))))
    drawn = drawings(quote, layout_of(quote.frozen["site"], "A4"))
    assert "Plan to scale: Back<" in drawn["mini"]
