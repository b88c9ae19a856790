"""Sizing a file from the shell."""

import json
import subprocess
import sys

import pytest

from conversions.sizing import Takeoff, read_site, takeoff
from conversions.sizing.__main__ import main

from .yards import YARDS, document, patch

FILE = str(YARDS / "plain_front.json")


def test_the_figures_and_the_work_are_printed(capsys):
    assert main([FILE]) == 0
    shown = capsys.readouterr().out
    assert "chips                     5.2 m3" in shown
    assert "edge_trench_medium" in shown


def test_the_same_comes_as_data(capsys):
    assert main([FILE, "--json"]) == 0
    found = Takeoff.from_dict(json.loads(capsys.readouterr().out))
    assert found == takeoff(read_site(json.loads((YARDS / "plain_front.json").read_text())))


def test_a_figure_is_explained(capsys):
    assert main([FILE, "--explain", "chips"]) == 0
    shown = capsys.readouterr().out
    for words in ("5.2 m3", "÷ (1 − settling)", "before rounding", "5.17", "common practice"):
        assert words in shown


def test_a_figure_with_a_number_of_ones_own_says_yours_and_what_the_book_has(tmp_path, capsys):
    path = tmp_path / "yard.json"
    path.write_text(json.dumps({**json.loads((YARDS / "plain_front.json").read_text()), "own": {"repose": 40}}))
    assert main([str(path), "--explain", "compost"]) == 0
    shown = capsys.readouterr().out
    for words in (
        "slope at which compost stands",
        "40 degrees",
        "Yours: repose",
        "the book has 35 degrees, from memory",
    ):
        assert words in shown
    assert "From the book." not in shown


def test_an_unknown_figure_names_those_there_are(capsys):
    assert main([FILE, "--explain", "gold"]) == 2
    assert "cardboard" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("", "not a JSON file"),
        ("[" * 100_000, "not a JSON file"),
        ("[1, 2]", "The site must be a group of named values."),
        ("{}", "schema must be 1"),
        ('{"schema": 1, "haul_m": 1' + "0" * 400 + "}", "haul_m is larger than any yard."),
        ('{"schema": 1, "patches": [{"uid": "front\\nyard"}]}', "front yard: This patch has no outline yet"),
        ('{"schema": 1, "haul_m": NaN}', "haul_m must be a number."),
        (
            json.dumps(document(patch([(0, 4), (4, 0), (4, 4), (0, 0)]))),
            "front, A to B: Side A to B crosses side C to D",
        ),
        (json.dumps(document(soil="mud", haul_m=-1)), "soil is 'mud'"),
        (json.dumps(document(own={"repose": 90})), "repose is 90; it must be from 30 to 45 degrees."),
    ],
)
def test_a_bad_file_gets_a_clear_line_for_each_fault_and_exit_2(content, says, tmp_path, capsys):
    path = tmp_path / "yard.json"
    path.write_text(content, encoding="utf-8")
    assert main([str(path)]) == 2
    error = capsys.readouterr().err
    assert says in error
    assert "Traceback" not in error
    assert len(error.splitlines()) == (2 if "mud" in content else 1)


def test_a_mark_that_an_editor_put_in_front_does_no_harm(tmp_path, capsys):
    path = tmp_path / "yard.json"
    path.write_text((YARDS / "plain_front.json").read_text(encoding="utf-8"), encoding="utf-8-sig")
    assert main([str(path), "--explain", "cover"]) == 0
    assert capsys.readouterr().out.startswith("cover")


def test_bytes_that_are_no_text_and_files_that_are_not_there(tmp_path, capsys):
    path = tmp_path / "photo.json"
    path.write_bytes(b"\xff\xd8\xff\xe0")
    assert main([str(path)]) == 2
    assert main([str(tmp_path / "gone.json")]) == 2
    assert main([str(tmp_path)]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 3


def test_it_runs_as_a_module():
    command = [sys.executable, "-m", "conversions.sizing", FILE, "--explain", "cover"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=YARDS.parents[1], check=True)
    assert done.stdout.startswith("cover")
