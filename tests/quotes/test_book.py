"""The price book: how a thing is sold, its history, and the whole as a file out and in."""

import csv
import datetime
import doctest
import io
from dataclasses import replace
from decimal import Decimal

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import translation

from conversions.common import cells
from conversions.quotes import actions, book_actions, book_file, sizes, units
from conversions.quotes.book import book, history
from conversions.quotes.models import Price
from conversions.quotes.pricing import START, price
from conversions.sizing import read_site, takeoff
from tests.rows import make_kept, make_prices, make_site

from .test_lines import now, text

pytestmark = pytest.mark.django_db
SITE = make_site()  # one mounded and one framed bed of 2.4 x 1.2 x 0.2 m
TAKEOFF = takeoff(read_site(SITE)).as_dict()


def line(item, **said):
    lines = price(TAKEOFF, {item: replace(START[item], **said)}, SITE["beds"])
    return next(one for one in lines if one.item == item)


def loose(figure) -> Decimal:
    return next(Decimal(str(v)) for label, v, _u in TAKEOFF["figures"][figure]["inputs"] if label == "before rounding")


# ---- unit, size, steps, rounding


def test_the_docstrings_say_what_is_true():
    assert doctest.testmod(units).failed == doctest.testmod(sizes).failed == doctest.testmod(cells).failed == 0


def test_compost_by_the_bag_is_whole_bags_that_hold_what_is_needed():
    bags = line("compost", unit="bag", holds=Decimal("0.05"), pack=Decimal(1)).quantity
    assert bags % 1 == 0
    # a twentieth of a bag is let go, as the engine does everywhere
    assert bags * Decimal("0.05") >= loose("compost") - Decimal("0.0025")
    assert (bags - 1) * Decimal("0.05") < loose("compost")


def test_bags_by_the_pallet_come_in_whole_pallets():
    assert line("compost", unit="bag", holds=Decimal("0.05"), pack=Decimal(40)).quantity == 40


def test_chips_by_the_load_are_whole_loads():
    assert line("chips", unit="load", holds=Decimal("6"), pack=Decimal(1)).quantity == 1
    assert line("chips", unit="load", holds=Decimal("4"), pack=Decimal(1)).quantity == 2


def test_a_frame_by_the_board_counts_the_boards_it_is_cut_from():
    # one course: 2 x 2.4 m and 2 x 1.124 m; out of boards of 2.4 m: two whole, and the two short ones from a third
    assert line("frame", unit="board", holds=Decimal("2.4"), face=Decimal("0.184")).quantity == 3
    # two courses of a lower board: four whole, and four short ones two to a board
    assert line("frame", unit="board", holds=Decimal("2.4"), face=Decimal("0.140")).quantity == 6


def test_cardboard_in_bundles_is_rounded_up_to_whole_bundles():
    sheets = Decimal(str(TAKEOFF["figures"]["cardboard"]["value"]))
    assert line("cardboard", pack=Decimal(25)).quantity >= sheets
    assert line("cardboard", pack=Decimal(25)).quantity % 25 == 0


def test_rounding_may_go_to_the_nearest_step_or_not_happen():
    exact = loose("compost")
    near = line("compost", rounding="nearest").quantity
    assert abs(near - exact) <= Decimal("0.25")
    assert line("compost", rounding="none").quantity == exact.quantize(Decimal("0.001"))


@pytest.mark.parametrize(
    ("typed", "unit", "system", "m3"),
    [
        ("50 l", "bag", "imperial", "0.050000"),
        ("50", "bag", "metric", "0.050000"),
        ("2", "bag", "imperial", "0.056634"),  # 2 x 0.3048^3
        ("2 cu. ft", "bag", "metric", "0.056634"),
        ("8 yd³", "load", "metric", "6.116439"),  # 8 x 0.9144^3
        ("6,5", "load", "metric", "6.500000"),
        ("8 ft", "board", "metric", "2.438"),
    ],
)
def test_a_size_is_read_as_people_say_it(typed, unit, system, m3):
    assert sizes.read_size(typed, unit, system) == Decimal(m3)


@pytest.mark.parametrize("typed", ["", "big", "0", "5 kg", "9999999", "-2 l"])
def test_what_is_no_size_is_refused_in_words(typed):
    with pytest.raises(sizes.NotASize):
        sizes.read_size(typed, "bag", "metric")


# ---- the page of one price


def whole(oak, **said):
    return {
        "price": "6,50", "unit": "bag", "holds": "50 l", "pack": "10", "rounding": "up", "bringer": "household",
        "from_on": oak.today.isoformat(), **said,
    }  # fmt: skip


def test_unit_size_steps_and_usual_bringer_are_kept_with_the_day_they_hold_from(organiser, oak):
    assert organiser.post(oak.url("prices/compost/"), whole(oak)).status_code == 302
    values = book(oak.group)["compost"].values
    assert (values.unit, values.holds, values.pack, values.bringer) == ("bag", Decimal("0.05"), 10, "household")
    assert (values.price, book(oak.group)["compost"].from_on) == (Decimal("6.5"), oak.today)


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("price", ""),
        ("price", "-1"),
        ("holds", ""),
        ("holds", "big"),
        ("pack", "0"),
        ("pack", "1.5"),
        ("from_on", "2020-01-01"),
    ],
)
def test_a_slip_stands_beside_its_field_and_nothing_is_kept(organiser, oak, field, typed):
    page = organiser.post(oak.url("prices/compost/"), whole(oak, **{field: typed}))
    assert f'id="id_{field}_error"' in page.content.decode()
    assert not Price.of(oak.group).exists()


def test_the_history_of_a_price_is_shown_with_days_and_names(organiser, oak):
    with time_machine.travel(datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)):
        make_prices(oak, {"compost": "40"})
    with time_machine.travel(datetime.datetime(2026, 5, 1, 12, tzinfo=datetime.UTC)):
        make_prices(oak, {"compost": "48"})
        organiser.force_login(oak.organiser.user, backend="django.contrib.auth.backends.ModelBackend")
        page = text(organiser.get(oak.url("prices/compost/")))
    assert [row.price for row in history(oak.group, "compost")] == [48, 40]
    assert "from 1 April 2026" in page
    assert "from 1 May 2026 holds now (Organiser Oak)" in page


def test_a_price_of_a_day_to_come_waits_for_its_day(oak):
    make_prices(oak, {"compost": "48"})
    later = oak.today + datetime.timedelta(days=30)
    book_actions.keep_row(
        group=oak.group, item="compost", values=replace(START["compost"], price=Decimal(52)), by=oak.organiser, from_on=later
    )  # fmt: skip
    assert (book(oak.group)["compost"].values.price, book(oak.group, later)["compost"].values.price) == (48, 52)


def test_a_quote_that_waits_for_a_price_is_counted_anew_when_the_thing_is_now_sold_otherwise(oak):
    quote = actions.draft_quote(draft=make_kept(oak), by=oak.organiser)
    values = replace(START["frame"], unit="board", holds=Decimal("2.4"), face=Decimal("0.184"), price=Decimal(9))
    book_actions.keep_row(group=oak.group, item="frame", values=values, by=oak.organiser)
    row = now(quote).lines.get(item="frame")
    assert (row.unit, row.quantity, row.amount) == ("board", 3, Decimal("27.00"))


# ---- as a file


def upload(client, oak, content: bytes):
    return client.post(oak.url("prices/file/"), {"file": SimpleUploadedFile("prices.csv", content)})


def write(client, oak, content: bytes):
    return client.post(oak.url("prices/file/"), {"do": "write", "text": cells.decoded(content)})


def changed(content: bytes, item: str, **said) -> bytes:
    """The file with some cells of one row typed over, as a spreadsheet program would save it."""
    rows = list(csv.reader(io.StringIO(content.decode("utf-8-sig"))))
    for row in rows[1:]:
        if row[0] == item:
            for name, value in said.items():
                row[rows[0].index(name)] = value
    return cells.write(rows)


@pytest.mark.parametrize("language", ["en", "de", "es"])
def test_the_file_taken_out_and_brought_back_changes_nothing(oak, language):
    make_prices(oak)
    book_actions.set_price(
        group=oak.group, item="compost", price=Decimal("6.125"), by=oak.organiser, unit="bag", holds=Decimal("0.056634")
    )  # fmt: skip
    with translation.override(language):
        read = book_file.read(cells.decoded(book_file.write(oak.group)), oak.group)
    assert (read.changes, read.errors, read.same) == ([], [], 9)


def test_a_group_that_writes_a_comma_gets_commas_and_semicolons(oak):
    make_prices(oak, {"compost": "48.50"})
    with translation.override("de"):
        text = cells.decoded(book_file.write(oak.group))
    assert "compost;" in text
    assert ";48,5;" in text


def test_a_changed_price_is_shown_first_and_written_by_a_second_press(organiser, oak):
    make_prices(oak)
    content = changed(organiser.get(oak.url("prices/prices.csv")).content, "compost", price="52")
    page = upload(organiser, oak, content)
    assert "price $52.00; it was $48.00" in text(page)
    assert book(oak.group)["compost"].values.price == 48
    assert write(organiser, oak, content).status_code == 302
    assert book(oak.group)["compost"].values.price == 52


def test_an_old_day_in_the_file_does_not_rewrite_the_past(organiser, oak):
    with time_machine.travel(datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)):
        make_prices(oak, {"compost": "40"})
    content = changed(book_file.write(oak.group), "compost", price="52")
    write(organiser, oak, content)
    assert [(row.price, row.from_on) for row in history(oak.group, "compost")] == [
        (52, oak.today),
        (40, datetime.date(2026, 4, 1)),
    ]


def test_each_bad_row_is_told_in_words_with_its_line_and_nothing_is_written(organiser, oak):
    rows = b"item,price,unit,pack\ncompost,dear,,\nframe,12,sheet,\ngold,1,,\nplants,1,,\nplants,2,,\ntools,-1,,\n"
    page = upload(organiser, oak, rows)
    words = text(page)
    assert page.status_code == 422
    for told in (
        "Line 2: Compost: “dear” is not a number.",
        "Line 3: Framed bed: This is not sold so.",
        "Line 4: “gold” is not in the price book.",
        "Line 6: Seedlings and seed stands here a second time.",
        "Line 7: Tools: -1 is less than nothing.",
    ):
        assert told in words
    assert write(organiser, oak, rows).status_code == 422
    assert not Price.of(oak.group).exists()


def test_another_unit_in_the_file_starts_with_steps_of_one(oak):
    read = book_file.read("item,price,unit,holds\ncompost,5,bag,0.05\n", oak.group)
    assert [(one.values.unit, one.values.pack) for one in read.changes] == [("bag", 1)]


def test_a_number_that_could_mean_thousands_is_asked_about(oak):
    read = book_file.read('item,price\ncompost,"1,250"\n', oak.group)
    assert read.errors == [(2, "Compost: is this 1.250 or 1250?")]
    with translation.override("de"):
        read = book_file.read("item;price\ncompost;1.250\n", oak.group)
        assert [words for _line, words in read.errors] == ["Compost: is this 1,250 or 1250?"]


@pytest.mark.parametrize(
    "content",
    [b"", b"\x00\x00\x00", b"hello", b"item\ncompost\n", b"%PDF-1.7", b"item,price\n" * 300, b"\xff\xfe\x00\xd8"],
)
def test_a_file_that_is_no_price_book_is_refused_kindly(organiser, oak, content):
    page = upload(organiser, oak, content or b" ")
    assert page.status_code in (200, 422)
    assert not Price.of(oak.group).exists()


def test_a_file_far_too_large_is_refused(organiser, oak):
    page = upload(organiser, oak, b"item,price\n" + b"x" * 70_000)
    assert b'id="id_file_error"' in page.content


@pytest.mark.parametrize("risky", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx"])
def test_a_cell_that_a_spreadsheet_would_run_is_made_harmless_and_comes_back_as_it_was(risky):
    line = cells.write([["item", risky]])
    assert f"'{risky}".encode() in line
    assert cells.unsafe(cells.safe(risky)) == risky


def test_no_cell_of_the_file_starts_a_formula(oak, organiser):
    make_prices(oak)
    rows = csv.reader(io.StringIO(cells.decoded(organiser.get(oak.url("prices/prices.csv")).content)))
    assert not [cell for row in rows for cell in row if cell.startswith(cells.RISKY)]


def test_a_name_that_no_price_book_has_is_a_page_that_is_not_there(organiser, oak):
    assert organiser.get(oak.url("prices/gold/")).status_code == 404


def test_the_price_book_costs_the_same_queries_with_a_long_history(organiser, oak, django_assert_max_num_queries):
    for day in range(1, 9):
        with time_machine.travel(datetime.datetime(2026, 4, day, 12, tzinfo=datetime.UTC)):
            make_prices(oak)
    for path in ("prices/", "prices/compost/", "prices/prices.csv"):
        organiser.get(oak.url(path))
        with django_assert_max_num_queries(7):
            assert organiser.get(oak.url(path)).status_code == 200
