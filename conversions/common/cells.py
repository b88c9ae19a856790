"""Spreadsheet files: cells that no program takes for a formula, and text out of whatever encoding came back."""

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

BOM = "\ufeff"  # so that spreadsheet programs read the accents right
RISKY = ("=", "+", "-", "@", "\t", "\r")


def safe(cell: Any) -> Any:
    """A typed text that a spreadsheet would take for a formula gets an apostrophe: `safe("=1+1") == "'=1+1"`.

    Figures of ours are numbers, not texts, so a correction of -3.50 stays a number.
    """
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(RISKY) else cell


def unsafe(cell: str) -> str:
    """What `safe` made of a text, as it was: `unsafe("'=1+1") == "=1+1"`."""
    return cell[1:] if cell[:1] == "'" and cell[1:].startswith(RISKY) else cell


def write(rows: Iterable[Sequence[Any]], delimiter: str = ",") -> bytes:
    """UTF-8 with a mark at its start; lines end as the format wants."""
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter).writerows([safe(cell) for cell in row] for row in rows)
    return (BOM + out.getvalue()).encode()


def decoded(content: bytes) -> str:
    """The text of a file as spreadsheet programs save it; signs that no encoding explains become question marks."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", "replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")


def read(text: str) -> list[list[str]]:
    """The rows of a file whose columns are parted by commas, semicolons or tabs, whichever its first line has most of.

    Raises csv.Error where the text is no such file.
    """
    first = text.split("\n", 1)[0]
    delimiter = max((",", ";", "\t"), key=first.count)
    rows = csv.reader(io.StringIO(text.replace("\x00", ""), newline=""), delimiter=delimiter)
    return [[unsafe(cell.strip()) for cell in row] for row in rows]
