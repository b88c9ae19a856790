"""A PDF read back: its tags, and what a screen reader says, each element with the words marked as its own."""

import io
import re

from pypdf import PdfReader


def read(content) -> PdfReader:
    return PdfReader(io.BytesIO(bytes(content)))


def tags(paper: PdfReader) -> list:
    """Every element of the structure tree, last first."""
    found, rest = [], [paper.trailer["/Root"]["/StructTreeRoot"]]
    while rest:
        node = rest.pop().get_object()
        if isinstance(node, list):
            rest += node
        elif hasattr(node, "get"):
            if "/S" in node:
                found.append(node)
            if "/K" in node and not isinstance(node["/K"], int):
                rest.append(node["/K"])
    return found


def spoken(content: bytes) -> list[tuple[str, str]]:
    """(tag, words) of each block, in the order of the structure tree: [("H1", "Your garden at ..."), ("P", ...)]."""
    reader = read(content)
    marked = {page.indirect_reference.idnum: _marked(page) for page in reader.pages}
    out: list[tuple[str, str]] = []
    _walk(reader.trailer["/Root"]["/StructTreeRoot"], "", None, marked, out)
    tidy = [(tag, re.sub(r"\s+", " ", words).strip()) for tag, words in out]
    return [(tag, words) for tag, words in tidy if words]


def _marked(page) -> dict[int, str]:
    """Words by the number of the marked piece they stand in."""
    pieces: dict[int, str] = {}
    now: list[int | None] = []

    def before(operator, operands, _cm, _tm):
        if operator == b"BDC":
            told = operands[1] if len(operands) > 1 and hasattr(operands[1], "get") else {}
            now.append(int(told["/MCID"]) if "/MCID" in told else None)
        elif operator == b"BMC":
            now.append(None)
        elif operator == b"EMC" and now:
            now.pop()

    def note(words, *_where):
        if now and now[-1] is not None:
            pieces[now[-1]] = pieces.get(now[-1], "") + words

    page.extract_text(visitor_operand_before=before, visitor_text=note)
    return pieces


BLOCKS = {"/P", "/H1", "/H2", "/H3", "/TH", "/TD", "/LI", "/LBody", "/Caption", "/Figure", "/BlockQuote"}


def _walk(node, block: str, page: int | None, marked, out) -> None:
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        for child in node:
            _walk(child, block, page, marked, out)
    elif hasattr(node, "get"):
        if "/Pg" in node:
            page = node.raw_get("/Pg").idnum
        if node.get("/S") in BLOCKS and not (node["/S"] == "/P" and block == "/P"):
            block = node["/S"]
            out.append((block[1:], node.get("/Alt", "") if block == "/Figure" else ""))
        if "/K" in node:
            _walk(node["/K"], block, page, marked, out)
    elif isinstance(node, int) and block != "/Figure" and out:
        tag, words = out[-1]
        out[-1] = (tag, f"{words} {marked.get(page, {}).get(int(node), '')}")
