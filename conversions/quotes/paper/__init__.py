"""Puts a plan on paper: the pages a household gets, in the usual size or in large print."""

from typing import Any

from conversions.common import pdf

from ..models import Quote
from . import fit, pictures
from .drawn import drawings, large_drawings, spoken, svgs
from .owner import paragraphs
from .rooms import layout_of


def print_plan(quote: Quote, context: dict[str, Any], *, is_large: bool) -> bytes:
    """The bytes of the paper. `context` is what page and paper share; the language is already the household's."""
    found = pictures.before(quote.conversion)
    photos = pictures.contents(found)
    page = {
        **context,
        "pictures": [picture for picture in found if picture["pk"] in photos],
        "owner": _for_owner(quote) if context["tenure"] == "rent" else [],
    }
    return _large(quote, page, photos) if is_large else _usual(quote, page, photos)


def _for_owner(quote: Quote) -> list[tuple[str, str]]:
    return paragraphs(quote.frozen["site"], quote.frozen["takeoff"], quote.frozen["shown"]["units"])


def _usual(quote: Quote, page: dict[str, Any], photos: dict[int, bytes]) -> bytes:
    is_renter = bool(page["owner"])
    layout = layout_of(quote.frozen["site"], quote.group.paper, is_short=is_renter)
    letters = sum(len(caution["text"]) + len(caution["ask"]) for caution in page["ours"])
    tries = fit.Fitting(
        fit.first_fit(
            pictures=len(page["pictures"]),
            is_renter=is_renter,
            is_overleaf=layout[0] == "alone",
            letters=letters,
        )
    )
    drawn = drawings(quote, layout)
    page |= drawn | {"fit": tries.fit, "alt": spoken(drawn)}
    return pdf.render("quotes/paper.html", page, photos, refit=tries, is_one_sided=True, drawings=svgs(drawn))


def _large(quote: Quote, page: dict[str, Any], photos: dict[int, bytes]) -> bytes:
    """As many pages as it takes; how many is said on the first one, once they are counted."""

    def count(_spans: Any, pages: int) -> dict[str, Any] | None:
        is_right, page["pages"] = page.get("pages") == pages, pages
        return None if is_right else {"pages": pages}

    drawn = large_drawings(quote)
    page |= drawn | {"alt": spoken(drawn)}
    return pdf.render("quotes/paper_large.html", page, photos, refit=count, is_one_sided=True, drawings=svgs(drawn))
