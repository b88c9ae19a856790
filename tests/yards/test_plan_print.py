"""The plan alone on paper, read back from the PDF: what it says, its true scale, and real pixels for its colours."""

import io
import json
import shutil
import subprocess
import uuid
from pathlib import Path

import pytest
from django.db import connection
from django.utils import translation
from PIL import Image
from pypdf import PdfReader
from pypdf.generic import ContentStream

from conversions import sizing
from conversions.common import measures
from conversions.common import pdf as printer
from conversions.yards import plan_print
from conversions.yards.actions import keep_draft, open_draft, save_site
from conversions.yards.drawing import band_words, set_out
from conversions.yards.drawing.plan import SIZE
from conversions.yards.models import GateCode
from tests.rows import make_open, make_site, make_yard, rectangle

FIXTURES = Path(__file__).parent.parent.parent / "fixtures" / "yards"
POINTS_PER_MM = 72 / 25.4


def example(name, **more) -> dict:
    """A yard of the fixtures, with identifiers as rows have them."""
    document = json.loads((FIXTURES / f"{name}.json").read_text())
    known = {patch["uid"]: str(uuid.uuid4()) for patch in document["patches"]}
    for patch in document["patches"]:
        patch["uid"] = known[patch["uid"]]
    for bed in document["beds"]:
        bed |= {"uid": str(uuid.uuid4()), "patch": known[bed["patch"]]}
    return sizing.write_site(sizing.read_site(document | more))


def saved(world, document):
    draft = open_draft(conversion=make_yard(world), by=world.organiser)
    return save_site(draft=draft, revision=draft.revision, site=document, by=world.organiser)


def printed(world, draft, bw=False) -> bytes:
    said = {"yard": draft.conversion, "draft": draft, "document": draft.site}
    return plan_print.pdf(**said, group=world.group, bw=bw)


def asked(world, client, draft, role="visitor", **query):
    return world.sign_in(client, role).get(world.url(f"yards/{draft.conversion_id}/plan/print/"), query)


def words(content: bytes) -> str:
    pages = PdfReader(io.BytesIO(content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def lines_as_seen(content: bytes, tmp_path) -> list[str]:
    """The lines of every page as they stand beside one another on it."""
    (tmp_path / "seen.pdf").write_bytes(content)
    done = subprocess.run(["pdftotext", "-layout", tmp_path / "seen.pdf", "-"], check=True, capture_output=True)
    return [" ".join(line.split()) for line in done.stdout.decode().splitlines()]


def times(one, two):
    """Two matrices of a PDF, the first applied first."""
    a, b, c, d, e, f = one
    g, h, i, j, k, m = two
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m)


def boxes_mm(content: bytes, number=0) -> list[tuple[float, float]]:
    """Width and height in millimetres of every path on a page and in the drawings on it, as the page places them."""
    reader = PdfReader(io.BytesIO(content))
    page = reader.pages[number]
    return _boxes(reader, page.get_contents(), page["/Resources"], (1, 0, 0, 1, 0, 0))


def _boxes(reader, stream, resources, matrix) -> list[tuple[float, float]]:
    out, kept, path = [], [], []
    for operands, operator in ContentStream(stream, reader).operations:
        if operator == b"q":
            kept.append(matrix)
        elif operator == b"Q":
            matrix = kept.pop()
        elif operator == b"cm":
            matrix = times([float(value) for value in operands], matrix)
        elif operator in (b"m", b"l", b"re"):
            x, y, *size = (float(value) for value in operands)
            spots = [(x, y), (x + size[0], y + size[1])] if size else [(x, y)]
            if operator == b"m" and len(path) == 1:
                path = []  # moved on before anything was drawn
            path += [times((1, 0, 0, 1, *spot), matrix)[4:] for spot in spots]
        elif operator in (b"f", b"f*", b"S", b"B", b"B*", b"b", b"s", b"n"):
            if path:
                xs, ys = zip(*path, strict=True)
                out.append(((max(xs) - min(xs)) / POINTS_PER_MM, (max(ys) - min(ys)) / POINTS_PER_MM))
            path = []
        elif operator == b"Do":
            form = resources["/XObject"][operands[0]].get_object()
            if form["/Subtype"] == "/Form":
                placed = times([float(value) for value in form.get("/Matrix", (1, 0, 0, 1, 0, 0))], matrix)
                out += _boxes(reader, form, form.get("/Resources", resources), placed)
    return out


def has_box(found, width, height, within=0.05) -> bool:
    return any(abs(w - width) <= within and abs(h - height) <= within for w, h in found)


def pixels(content: bytes, tmp_path, dpi=60) -> list[Image.Image]:
    """Every page as a printer would lay it down."""
    assert shutil.which("pdftoppm"), "the tests of papers need pdftoppm (Debian: poppler-utils)"
    (tmp_path / "paper.pdf").write_bytes(content)
    subprocess.run(["pdftoppm", "-r", str(dpi), "-png", tmp_path / "paper.pdf", tmp_path / "page"], check=True)
    return [Image.open(path).convert("RGB") for path in sorted(tmp_path.glob("page*.png"))]


def most_colour(page: Image.Image) -> int:
    """The widest gap between red, green and blue of any pixel."""
    return max(max(colour) - min(colour) for _count, colour in page.getcolors(page.width * page.height))


# --- what it says ---------------------------------------------------------------------------------------------------
def test_the_paper_has_the_plan_its_scale_and_two_distances_for_every_corner(oak):
    draft = make_open(oak)
    content = printed(oak, draft)
    text, rows = words(content), set_out(draft.site)
    for said in ("14 Tansy Row", "Drawing 1", "not kept yet", "drawn at 1:100", "Setting out", "exactly 5 cm"):
        assert said in text, said
    assert len(rows) == 6  # a frame with four corners and a mound with two round ends
    for row in rows:
        string = f": string {measures.length(row.string_m)}" if row.string_m else ""
        assert f"{row.label}{string} {measures.length(row.first_m)} {measures.length(row.second_m)}" in text
    assert f"from {rows[0].corners[0]} from {rows[0].corners[1]}" in text


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_distances_stand_beside_their_peg_and_no_row_lies_on_another(oak, tmp_path, units):
    oak.group.units = units
    draft = saved(oak, example("l_front"))
    seen = lines_as_seen(printed(oak, draft), tmp_path)
    for row in set_out(draft.site):
        first, second = (measures.length(value, units) for value in (row.first_m, row.second_m))
        begins = row.label[:22]  # long labels run on into a second line
        assert any(begins in line and f"{first} {second}" in line.partition(begins)[2] for line in seen), row


def test_the_paper_is_a4_tagged_and_says_its_language(oak):
    reader = PdfReader(io.BytesIO(printed(oak, make_open(oak))))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and root["/Lang"] == "en"
    assert "Plan, 14 Tansy Row, drawing 1" in reader.metadata.title
    width, height = reader.pages[0].mediabox[2:]
    assert (round(float(width) / POINTS_PER_MM), round(float(height) / POINTS_PER_MM)) == (210, 297)
    heads = [row for row in _elements(root["/StructTreeRoot"]) if row.get("/S") == "/TH"]
    assert len(heads) == 12  # two halves of three columns, six pegs
    for head in heads:
        told = head["/A"]
        assert (told[0] if isinstance(told, list) else told)["/Scope"] in ("/Row", "/Column")
    figures = [row for row in _elements(root["/StructTreeRoot"]) if row.get("/S") == "/Figure"]
    assert figures and all(row.get("/Alt") for row in figures)


def _elements(node):
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        for child in node:
            yield from _elements(child)
    elif hasattr(node, "get"):
        yield node
        if "/K" in node:
            yield from _elements(node["/K"])


def test_another_language_is_the_language_of_the_paper(oak):
    draft = make_open(oak)
    with translation.override("es"):
        reader = PdfReader(io.BytesIO(printed(oak, draft)))
    assert reader.trailer["/Root"]["/Lang"] == "es"
    assert "8,60 m" in " ".join(page.extract_text() for page in reader.pages)


def test_no_name_number_or_code_of_a_person_stands_on_it(oak):
    draft = make_open(oak)
    GateCode.everywhere.create(group=oak.group, place=draft.conversion.place, code="4711", until_on=oak.today)
    content = printed(oak, draft)
    said = words(content) + str(PdfReader(io.BytesIO(content)).metadata)
    for hidden in ("Ruth", "Okafor", "000 111 222", "4711", "Organiser"):
        assert hidden not in said


def test_digging_by_the_plan_alone_is_warned_of_and_more_so_beside_lines_and_trees(oak):
    plain = words(printed(oak, make_open(oak)))
    assert "Dig nothing by this plan alone." in plain and "locating service of your area" in plain
    assert "hand tools only within" not in plain and "ring of a tree" not in plain
    line = {"kind": "line", "service": "gas", "points": [[8.0, 0.0], [8.0, 6.0]]}
    tree = {"kind": "tree", "x": 0.8, "y": 1.0, "trunk_m": 0.1}
    patch = rectangle() | {"features": [line, tree]}
    text = words(printed(oak, make_open(oak, make_yard(oak, address="2 Tansy Row"), patch, beds=False)))
    assert "hand tools only within 0.6 m" in text and "Inside the ring of a tree" in text and "GAS" in text


def test_imperial_groups_measure_in_feet_and_check_two_inches(oak):
    oak.group.units, oak.group.paper = "imperial", "Letter"
    draft = make_open(oak)
    content = printed(oak, draft)
    text = words(content)
    assert "exactly 2 inches" in text and measures.feet_inches(set_out(draft.site)[0].first_m) in text
    assert has_box(boxes_mm(content), 50.8, 3.2)
    width, height = PdfReader(io.BytesIO(content)).pages[0].mediabox[2:]
    assert (float(width), float(height)) == (612, 792)


# --- to scale -------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("across", "deep", "scale"), [("3", "2.5", 50), ("8.6", "6", 100), ("20", "14", 200)])
@pytest.mark.parametrize("bw", [False, True])
def test_a_side_is_as_long_on_the_paper_as_the_scale_says(oak, across, deep, scale, bw):
    """8.60 m at 1:100 are 86.0 mm: read from the page's own coordinates, not from what the drawing says of itself."""
    content = printed(oak, make_open(oak, None, rectangle(across, deep), beds=False), bw)
    assert f"drawn at 1:{scale}" in words(content)
    found = boxes_mm(content)
    assert has_box(found, float(across) * 1000 / scale, float(deep) * 1000 / scale)
    assert has_box(found, 50.0, 3.2), "the bar that checks the print"
    assert not has_box(found, float(across) * 1010 / scale, float(deep) * 1010 / scale), "one in a hundred is seen"


def test_the_check_bar_is_five_centimetres_of_black_on_the_page(oak, tmp_path):
    page = pixels(printed(oak, make_open(oak), bw=True), tmp_path, dpi=254)[0]  # ten pixels a millimetre
    black = 0
    for y in range(page.height // 3, page.height):
        line = page.crop((0, y, page.width, y + 1)).convert("L").tobytes()
        run = next((x for x, value in enumerate(line[152:]) if value > 128), len(line))
        black += line[146] > 200 and 497 <= run <= 499  # from the margin of 15 mm, 150 dots, to 650
    assert 30 <= black <= 34  # and 3.2 mm high


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["l_front", "curved_back", "accessible", "plain_front"])
def test_every_example_keeps_to_the_room_of_its_page(oak, name, paper):
    oak.group.paper = paper
    draft = saved(oak, example(name))
    content = printed(oak, draft)
    assert len(PdfReader(io.BytesIO(content)).pages) <= 2
    leaf = plan_print.context(yard=draft.conversion, draft=draft, document=draft.site, group=oak.group, bw=False)
    for one in leaf["leaves"]:
        wide, high = (float(value) for value in SIZE.search(one.svg).groups())
        assert wide <= plan_print.ROOM_MM[paper][0] and high <= plan_print.ROOM_MM[paper][1]


def test_ground_too_large_for_any_scale_says_that_it_is_not_to_scale(oak):
    content = printed(oak, make_open(oak, None, rectangle("200", "150"), beds=False))
    text = words(content)
    assert "not to scale: too large for this paper" in text and "exactly 5 cm" not in text
    assert len(PdfReader(io.BytesIO(content)).pages) == 1


# --- black and white ------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ["l_front", "curved_back"])
def test_black_and_white_lays_no_colour_on_the_paper(oak, tmp_path, name):
    document = example(name)
    lines = [
        {"kind": "line", "service": service, "points": [[0.2, y], [1.2, y]]}
        for y, service in ((3.0, "gas"), (3.5, "water"))
    ]
    document["patches"][0]["features"] += lines
    draft = saved(oak, document)
    pages = pixels(printed(oak, draft, bw=True), tmp_path)
    assert max(most_colour(page) for page in pages) <= 24  # ink is a very dark warm grey
    assert min(page.convert("L").getextrema()[0] for page in pages) < 60, "something is printed"


def test_in_colour_the_same_paper_has_colour(oak, tmp_path):
    pages = pixels(printed(oak, make_open(oak)), tmp_path)
    assert max(most_colour(page) for page in pages) > 80


# --- more than one patch, curves, nothing ---------------------------------------------------------------------------
def test_two_patches_that_fit_together_share_a_page(oak):
    patches = rectangle("8", "5"), rectangle("8", "4", label="Back lawn", zone="back")
    text = words(printed(oak, make_open(oak, None, *patches)))
    assert text.count("drawn at 1:100") == 1 and "Front lawn, Back lawn" in text
    assert text.count("Setting out") == 1 and text.count("exactly 5 cm") == 1


def test_two_patches_that_would_have_to_shrink_have_a_page_each(oak):
    patches = rectangle("14", "12"), rectangle("14", "11", label="Back lawn", zone="back")
    draft = make_open(oak, None, *patches)
    content = printed(oak, draft)
    reader, text = PdfReader(io.BytesIO(content)), words(content)
    assert "Front lawn, drawn at 1:100" in text and "Back lawn, drawn at 1:100" in text
    assert text.count("exactly 5 cm") == 2 and text.count("Setting out") == 2
    first = next(i for i, page in enumerate(reader.pages) if "Front lawn, drawn" in page.extract_text())
    second = next(i for i, page in enumerate(reader.pages) if "Back lawn, drawn" in page.extract_text())
    assert second > first
    assert has_box(boxes_mm(content, first), 140, 120) and has_box(boxes_mm(content, second), 140, 110)
    marks = [row.mark for row in set_out(draft.site)]
    assert len(set(marks)) == len(marks), "letters run through the yard"
    for row in set_out(draft.site):
        assert row.label in text


def test_a_curved_bed_has_a_string_for_every_bend_and_a_circle_says_where_its_tapes_start(oak):
    text = words(printed(oak, saved(oak, example("curved_back"))))
    for label in ("middle of round end a", "bend b", "bend c", "middle of round end d"):
        assert f"Mounded bed, {label}" in text
    assert text.count("string 0.40 m") == 4 and "Tie it to the peg and swing it" in text
    assert "A and B lie on the edge of the circle, 8.00 m apart." in text


def test_a_yard_with_no_drawing_still_has_a_paper_that_says_what_to_do(oak, client):
    yard = make_yard(oak)
    answer = oak.sign_in(client, "visitor").get(oak.url(f"yards/{yard.pk}/plan/print/"))
    assert answer.status_code == 200
    text = words(answer.content)
    assert "Nothing measured yet" in text and "No drawing yet" in text and "exactly" not in text


def test_what_does_not_fit_is_named_and_left_out(oak):
    site = make_open(oak, make_yard(oak, address="3 Tansy Row")).site
    site["beds"][0] |= {"x": 400.0, "y": 400.0}
    text = words(printed(oak, saved(oak, site)))
    assert "This drawing is not sound yet." in text and "drawn at 1:100" in text


@pytest.mark.parametrize("points", [[(0, 0), (4, 4), (4, 0), (0, 4)], [(0, 0), (4, 0), (8, 0)]])
def test_an_outline_that_makes_no_sense_yet_never_breaks_the_paper(oak, client, points):
    draft = make_open(oak)
    draft.site["patches"][0]["corners"] = [
        {"id": "ABCD"[i], "x": x, "y": y, "beyond": "open", "typed": ""} for i, (x, y) in enumerate(points)
    ]
    draft.save()
    answer = asked(oak, client, draft)
    assert answer.status_code == 200 and "not sound yet" in words(answer.content)


# --- the address ----------------------------------------------------------------------------------------------------
def test_the_print_is_a_pdf_with_a_sensible_name_and_kept_nowhere(oak, client):
    draft = make_open(oak)
    answer = asked(oak, client, draft, drawing=draft.number, bw=1)
    assert answer.status_code == 200 and answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="plan-14-tansy-row-1-bw.pdf"'
    assert "no-store" in answer["Cache-Control"]


def test_an_earlier_drawing_is_printed_when_it_is_asked_for(oak, client):
    draft = make_open(oak, None, rectangle("8.6", "6"))
    kept = keep_draft(draft=draft, revision=draft.revision, by=oak.organiser)
    later = open_draft(conversion=kept.conversion, by=oak.organiser)
    save_site(draft=later, revision=later.revision, site=kept.site | {"beds": []}, by=oak.organiser)
    first, second = (words(asked(oak, client, kept, drawing=number).content) for number in (kept.number, later.number))
    assert "Drawing 1 kept" in first and "Framed bed, corner" in first
    assert f"Drawing {later.number} saved" in second and "Framed bed, corner" not in second
    assert asked(oak, client, kept, drawing=77).status_code == 404


def test_another_groups_yard_is_not_found_and_the_address_only_answers_reading(oak, elm, client):
    draft = make_open(elm)
    assert asked(oak, client, draft, "organiser").status_code == 404
    own = make_open(oak)
    assert asked(oak, client, own, "helper").status_code == 403
    assert oak.sign_in(client).post(oak.url(f"yards/{own.conversion_id}/plan/print/")).status_code == 405


@pytest.mark.django_db(transaction=True)
def test_the_print_is_never_made_inside_a_transaction(oak, client, monkeypatch):
    draft, inside, render = make_open(oak), [], printer.render

    def watch(*args, **kwargs):
        inside.append(connection.in_atomic_block)
        return render(*args, **kwargs)

    monkeypatch.setattr(printer, "render", watch)
    assert asked(oak, client, draft).status_code == 200
    assert inside == [False]


def test_the_paper_names_the_bed_that_does_not_fit_and_the_one_it_lies_over(oak):
    document = make_site(rectangle())
    bed = document["beds"][0]
    document["beds"] = [bed, *({**bed, "uid": str(uuid.uuid4())} for _ in range(2))]
    draft = saved(oak, document)
    said = plan_print.context(yard=draft.conversion, draft=draft, document=draft.site, group=oak.group, bw=False)
    assert [row["name"] for row in said["problems"]] == ["Mounded bed 2", "Mounded bed 3"], "equal words, two beds"
    paper = words(printed(oak, draft))
    assert "Mounded bed 2. This bed lies over another one (Mounded bed 1)." in paper
    assert bed["uid"][:8] not in paper


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_short_table_stays_below_its_drawing_where_there_is_room_for_it(oak, language):
    """A front lawn of 6.70 x 5.00 m with a mound and a frame, at 1:50: six pegs, and a quarter of the page below the key."""
    on = {"patch": "", "turn_deg": 0.0, "uid": ""}
    frame = {
        **on,
        "kind": "framed",
        "x": 1.85,
        "y": 3.8,
        "length_m": 2.4,
        "width_m": 1.2,
        "height_m": 0.2,
        "board_m": 0.038,
    }
    mound = {
        **on,
        "kind": "mounded",
        "x": 3.35,
        "y": 2.0,
        "length_m": 5.4,
        "width_m": 1.2,
        "height_m": 0.15,
        "ends": "round",
    }
    draft = make_open(oak, None, rectangle("6.7", "5"), beds=False)
    uid = draft.site["patches"][0]["uid"]
    draft.site["beds"] = [bed | {"uid": str(uuid.uuid4()), "patch": uid} for bed in (mound, frame)]
    with translation.override(language):
        pages = PdfReader(io.BytesIO(printed(oak, draft))).pages
    assert len(pages) == 1 and "1:50" in pages[0].extract_text()


@pytest.mark.parametrize(
    ("units", "own", "band"),
    [("metric", {}, "0.6 m"), ("imperial", {}, "2 ft"), ("metric", {"line_band": 1.25}, "1.25 m"),
     ("imperial", {"line_band": 1.0}, "3 ft 4 in")],
)  # fmt: skip
def test_the_band_of_hand_tools_is_said_by_the_plans_own_numbers_and_never_too_narrow(units, own, band):
    """1 m is 39.4 inches, said as 40."""
    assert band_words(units, {"own": own}) == band


def test_the_widest_band_of_a_plan_is_the_one_that_is_said():
    lines = [{"kind": "line", "service": "gas", "points": [], "width_m": wide} for wide in (0.4, 0.9)]
    assert band_words("metric", {"patches": [{"features": lines}]}) == "0.9 m"
