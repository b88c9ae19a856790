"""The numbers of the book that a group may set itself."""

import json
from pathlib import Path

import pytest
from hypothesis import given

from conversions import sizing
from conversions.sizing import OWN, Own, SiteError, read_own, read_site, write_site

from .test_sitefile import anything
from .yards import document

SITEFILE = Path(sizing.__file__).parent / "SITEFILE.md"
NAMES = sorted(OWN)


def listed(row):
    whole = ", whole" if row.is_whole else ""
    bounds = f"{row.default:g} | {row.least:g} to {row.most:g}{whole} | {row.unit or '-'}"
    return f"| `{row.name}` | {row.label.replace('_', ' ')} | {bounds} | {row.source} |"


@pytest.mark.parametrize("name", NAMES)
def test_every_number_of_the_book_lies_within_its_own_bounds_and_says_where_it_is_from(name):
    row = OWN[name]
    assert row.least <= row.default <= row.most and row.least < row.most
    assert row.label and row.source
    assert not row.is_whole or row.default == int(row.default)


@pytest.mark.parametrize("name", NAMES)
def test_both_bounds_of_every_number_can_be_set_and_what_lies_beyond_is_refused(name):
    row = OWN[name]
    assert read_own({name: row.least})[name] == row.least
    assert read_own({name: row.most})[name] == row.most
    for value in (row.least - 0.001, row.most + 0.001):
        with pytest.raises(SiteError) as caught:
            read_own({name: value})
        (problem,) = caught.value.problems
        assert (problem.code, problem.where.part) == ("own-range", name)
        assert problem.sentence.startswith(f"{name} is {value}; it must be from {row.least} to {row.most}")


def test_what_is_set_as_in_the_book_is_not_a_change():
    assert read_own({"repose": 35, "least_crew": 4}) == Own()
    assert not read_own({"repose": 35}).has("repose") and read_own({"repose": 36}).has("repose")


@pytest.mark.parametrize(
    ("given", "code", "part", "sentence"),
    [
        ({"gravity": 9.8}, "own-unknown", "gravity", "gravity is not one of the numbers a group can set."),
        ({"repose": "steep"}, "not-a-number", "repose", "repose must be a number."),
        ({"repose": True}, "not-a-number", "repose", "repose must be a number."),
        ({"repose": None}, "not-a-number", "repose", "repose must be a number."),
        ({"repose": float("nan")}, "not-a-number", "repose", "repose must be a number."),
        ({"repose": float("inf")}, "not-a-number", "repose", "repose must be a number."),
        ({"repose": [35]}, "not-a-number", "repose", "repose must be a number."),
        ({"least_crew": 4.5}, "own-not-whole", "least_crew", "least_crew is 4.5; it must be a whole number."),
        ([1], "not-an-object", "own", "own must be a group of named values."),
        ("repose", "not-an-object", "own", "own must be a group of named values."),
    ],
)
def test_a_number_that_cannot_be_used_is_refused_in_words(given, code, part, sentence):
    for read in (read_own, lambda own: read_site(document(own=own))):
        with pytest.raises(SiteError) as caught:
            read(given)
        (problem,) = caught.value.problems
        assert (problem.code, problem.where.part, problem.sentence) == (code, part, sentence)


def test_every_number_at_fault_is_named_at_once():
    with pytest.raises(SiteError) as caught:
        read_own({"repose": 10**400, "gravity": 1, "freeboard": -1})
    assert {problem.where.part for problem in caught.value.problems} == {"repose", "gravity", "freeboard"}


def test_a_site_keeps_its_own_numbers_and_leaves_out_what_is_as_in_the_book():
    site = read_site(document(own={"repose": 40, "card_mass": 0.65}))
    assert site.own == Own((("repose", 40.0),))
    written = json.loads(json.dumps(write_site(site)))
    assert written["own"] == {"repose": 40.0} and read_site(written) == site
    assert "own" not in write_site(read_site(document()))
    assert read_site(document(own=None)).own == Own()


@given(anything)
def test_rubbish_among_the_own_numbers_is_refused_in_words_and_never_breaks(rubbish):
    for own in (rubbish, {"repose": rubbish}):
        try:
            assert isinstance(read_own(own), Own)
        except SiteError as error:
            assert all(problem.sentence for problem in error.problems)


def test_the_documentation_of_the_site_file_lists_every_number_with_bounds_and_source():
    text = SITEFILE.read_text(encoding="utf-8").splitlines()
    assert [line for line in text if line.startswith("| `") and line.count("|") == 7] == [
        listed(r) for r in OWN.values()
    ]
