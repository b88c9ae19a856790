"""The examples worked in docstrings are true."""

import doctest
import importlib

import pytest

MODULES = (
    "advice", "beds", "cardboard", "pile", "edges", "labour", "learning", "materials", "mulch", "own", "shapes", "zones",
)  # fmt: skip


@pytest.mark.parametrize("name", MODULES)
def test_every_docstring_example_comes_out_as_written(name):
    module = importlib.import_module(f"conversions.sizing.{name}")
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0
