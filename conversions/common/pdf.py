"""The only file that makes PDFs: a template and its context in, tagged bytes out."""

import logging
from collections import Counter
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from django.contrib.staticfiles import finders
from django.core.exceptions import SuspiciousFileOperation
from django.template.loader import render_to_string

log = logging.getLogger(__name__)
TYPES = {"css": "text/css", "svg": "image/svg+xml", "jpg": "image/jpeg"}
LOOK = {"pdf_variant": "pdf/ua-1", "dpi": 150, "jpeg_quality": 80}
MOST_TRIES = 8  # of a paper that does not fit: each says a little less or in smaller type, so few are ever needed

# On how many pages each element with an id stands, and how many there are in all -> what to change; nothing: it is right.
Refit = Callable[[Mapping[str, int], int], Mapping[str, Any] | None]


def render(
    template: str,
    context: Mapping[str, Any],
    photos: Mapping[int, bytes] | None = None,
    *,
    refit: Refit | None = None,
    is_one_sided: bool = False,
    drawings: Mapping[str, str] | None = None,
) -> bytes:
    """A PDF/UA-1 document. `photos` are the only pictures it may show, named photo:<id> in the page.

    `drawings` are SVG by name, shown as drawing:<name>. Written into the page itself they would cost a third more time:
    every line of theirs would be styled as if it were text.

    `refit` looks at how the pages fell and answers with more context for another try, or with nothing.
    `is_one_sided`: something is cut off it, so a printer is asked to leave the back of each sheet empty.
    """
    from weasyprint import HTML  # slow to import, and missing system libraries should stop a paper, not the site
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class House(URLFetcher):
        """Knows photo:<id>, drawing:<name> and static:<name>; everything else, the network and file paths included, is refused."""

        def __init__(self) -> None:
            super().__init__(allowed_protocols={"photo", "drawing", "static"}, allow_redirects=False)

        def fetch(self, url: str, headers: Any = None) -> Any:
            kind, _colon, name = url.partition(":")
            if kind == "photo" and name.isdecimal() and int(name) in (photos or {}):
                return URLFetcherResponse(url, photos[int(name)], {"Content-Type": "image/jpeg"})
            if kind == "drawing" and name in (drawings or {}):
                return URLFetcherResponse(url, drawings[name].encode(), {"Content-Type": "image/svg+xml"})
            if kind == "static" and (found := _static(name)):
                return URLFetcherResponse(url, found[0], {"Content-Type": found[1]})
            log.warning("a paper asked for something it may not have (%s)", kind)
            raise ValueError(f"refused {kind}")

    context, seen = dict(context), {}  # pictures are read once, however often the pages are laid out
    for _try in range(MOST_TRIES):
        page = HTML(string=render_to_string(template, context), base_url=None, url_fetcher=House())
        document = page.render(cache=seen, stylesheets=[_style_sheet()], **LOOK)
        change = refit and refit(_spans(document), len(document.pages))
        if not change:
            break
        context |= change
    return document.write_pdf(finisher=_one_sided if is_one_sided else _finish, **LOOK)


@cache
def _style_sheet() -> Any:
    """The look of every paper, read once for all of them: reading it takes as long as laying out a page."""
    from weasyprint import CSS

    return CSS(string=_static("css/paper.css")[0].decode(), base_url=None)


def _spans(document: Any) -> dict[str, int]:
    """On how many pages each element with an id stands."""
    return dict(Counter(name for page in document.pages for name in page.anchors))


def _static(name: str) -> tuple[bytes, str] | None:
    """The bytes and type of one of our own static files, never of anything outside their folders."""
    kind = TYPES.get(name.rpartition(".")[2])
    try:
        path = finders.find(name) if kind else None
    except SuspiciousFileOperation:
        path = None
    return (Path(path).read_bytes(), kind) if path else None


def _finish(document: Any, pdf: Any) -> None:
    """Scope on every header cell and Print on every link: PDF/UA asks for both and the writer leaves them out."""
    for row in pdf.objects:
        if getattr(row, "get", None) and row.get("S") == "/TR":
            _scope_cells(pdf, row)
        if getattr(row, "get", None) and row.get("Subtype") == "/Link":
            row["F"] = 4


def _one_sided(document: Any, pdf: Any) -> None:
    _finish(document, pdf)
    pdf.catalog["ViewerPreferences"]["Duplex"] = "/Simplex"  # as ISO 32000-1 names it, section 12.2


def _scope_cells(pdf: Any, row: Any) -> None:
    cells = [pdf.objects[int(bytes(k).split()[0])] if isinstance(k, bytes) else k for k in row.get("K", [])]
    cells = [c for c in cells if hasattr(c, "get")]
    scope = "/Row" if any(c.get("S") == "/TD" for c in cells) else "/Column"
    for cell in cells:
        if cell.get("S") == "/TH":
            attributes = cell.get("A")
            if hasattr(attributes, "get"):
                attributes["Scope"] = scope
