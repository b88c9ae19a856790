"""The only file that makes PDFs: a template and its context in, tagged bytes out."""

import logging
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from django.contrib.staticfiles import finders
from django.core.exceptions import SuspiciousFileOperation
from django.template.loader import render_to_string

log = logging.getLogger(__name__)
TYPES = {"css": "text/css", "svg": "image/svg+xml", "jpg": "image/jpeg"}


def render(template: str, context: Mapping[str, Any], photos: Mapping[int, bytes] | None = None) -> bytes:
    """A PDF/UA-1 document. `photos` are the only pictures it may show, named photo:<id> in the page."""
    from weasyprint import HTML  # slow to import, and missing system libraries should stop a paper, not the site
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class House(URLFetcher):
        """Knows photo:<id> and static:<name>; everything else, the network and file paths included, is refused."""

        def __init__(self) -> None:
            super().__init__(allowed_protocols={"photo", "static"}, allow_redirects=False)

        def fetch(self, url: str, headers: Any = None) -> Any:
            kind, _colon, name = url.partition(":")
            if kind == "photo" and name.isdecimal() and int(name) in (photos or {}):
                return URLFetcherResponse(url, photos[int(name)], {"Content-Type": "image/jpeg"})
            if kind == "static" and (found := _static(name)):
                return URLFetcherResponse(url, found[0], {"Content-Type": found[1]})
            log.warning("a paper asked for something it may not have (%s)", kind)
            raise ValueError(f"refused {kind}")

    page = HTML(string=render_to_string(template, dict(context)), base_url=None, url_fetcher=House())
    return page.write_pdf(pdf_variant="pdf/ua-1", dpi=150, jpeg_quality=80, finisher=_finish)


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


def _scope_cells(pdf: Any, row: Any) -> None:
    cells = [pdf.objects[int(bytes(k).split()[0])] if isinstance(k, bytes) else k for k in row.get("K", [])]
    cells = [c for c in cells if hasattr(c, "get")]
    scope = "/Row" if any(c.get("S") == "/TD" for c in cells) else "/Column"
    for cell in cells:
        if cell.get("S") == "/TH":
            attributes = cell.get("A")
            if hasattr(attributes, "get"):
                attributes["Scope"] = scope
