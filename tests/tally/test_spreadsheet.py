"""The ledger as a spreadsheet."""

import csv
import datetime
import io
from decimal import Decimal

import pytest

from conversions.builds import ledger
from conversions.common.cells import safe
from tests.builds.rows import make_bare_day, make_built, make_patch


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@sum", "\tx", "\rx"])
def test_a_text_that_would_be_a_formula_is_made_harmless(cell):
    assert safe(cell) == f"'{cell}"


@pytest.mark.parametrize("cell", ["front lawn", "", Decimal("-3.50"), 5])
def test_words_and_figures_stay_as_they_are(cell):
    assert safe(cell) is cell


def test_every_entry_is_a_row_and_no_address_is_in_it(oak, client):
    patch = make_patch(oak, "40.00", label="=HYPERLINK(1)")
    day = make_bare_day(oak, datetime.date(2025, 6, 1))
    built = make_built(day, patch, "30.00", why_different="+ a strip, kept")
    row = ledger.write(day=day, patch=patch, as_built=built, by=oak.lead)
    ledger.correct(ground=row, m2=Decimal("-2.50"), reason="taped again", by=oak.organiser)
    response = oak.sign_in(client, "reader").get(oak.url("tally/ground.csv?year=2025"))
    assert response["Content-Type"].startswith("text/csv")
    assert response.content.startswith(b"\xef\xbb\xbf")
    rows = list(csv.reader(io.StringIO(response.content.decode("utf-8-sig"))))
    head, first, second = rows
    assert len(head) == len(first) == len(second)
    assert first[:6] == ["2025-06-01", "2025", "6", "lawn converted", "30.00", "0.00"]
    assert first[7] == "'=HYPERLINK(1)" and first[10] == "'+ a strip, kept"
    assert second[3:5] == ["correction", "-2.50"] and second[12] == first[11]
    assert "Millrace" not in response.content.decode()


def test_helpers_and_leads_do_not_take_the_spreadsheet_away(oak, client):
    for role in ("helper", "lead", "visitor"):
        assert oak.sign_in(client, role).get(oak.url("tally/ground.csv")).status_code == 403
