"""Rows for tests, made by the real actions: a yard, a kept drawing, and what other parts add below."""

import io
import uuid
from decimal import Decimal

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from conversions.people import links
from conversions.quotes.actions import draft_quote, send_quote
from conversions.quotes.book_actions import set_price
from conversions.quotes.models import Quote
from conversions.quotes.proposal import offer, paper_of, prepare
from conversions.yards import sketch, walk
from conversions.yards.actions import keep_draft, open_draft, save_site
from conversions.yards.enquiries import take_enquiry
from conversions.yards.models import Conversion, Draft

# ---- yards

HOUSE_AND_PAVING = {"A": "house", "B": "drive", "C": "pavement", "D": "path"}


def make_yard(world, **values) -> Conversion:
    """An enquiry as somebody wrote it down: Ruth Okafor, 14 Tansy Row, unless told otherwise."""
    asked = {"name": "Ruth Okafor", "reach": "000 111 222", "address": "14 Tansy Row", "tenure": "own", **values}
    return take_enquiry(group=world.group, by=asked.pop("by", world.organiser), **asked)


def rectangle(
    width="8.6", depth="6", *, label="Front lawn", zone="front", beyond=HOUSE_AND_PAVING, uid=None, **more
) -> dict:
    """A rectangular patch as the walk round the edge writes it."""
    return walk.patch_document(
        uid=uid or str(uuid.uuid4()),
        label=label,
        zone=zone,
        shape="rectangle",
        metres={"A": Decimal(width), "B": Decimal(depth)},
        raw={"A": width, "B": depth},
        beyond=beyond,
        **more,
    )


def make_site(*patches: dict, beds: bool = True) -> dict:
    """A plan's document of these patches (one front lawn of 8.6 x 6 m if none), each with a first layout."""
    site = sketch.new_document()
    for patch in patches or (rectangle(),):
        site = sketch.with_patch(site, patch)
        site = sketch.laid_out(site, patch["uid"]) if beds else site
    return site


def make_open(world, conversion=None, *patches: dict, beds: bool = True, by=None) -> Draft:
    """An open drawing with something on it."""
    conversion = conversion or make_yard(world)
    by = by or world.organiser
    draft = open_draft(conversion=conversion, by=by)
    return save_site(draft=draft, revision=draft.revision, site=make_site(*patches, beds=beds), by=by)


def make_kept(world, conversion=None, *patches: dict, beds: bool = True, by=None) -> Draft:
    """A kept drawing: its Patch and Planned rows are there (draft.conversion, .conversion.planned)."""
    draft = make_open(world, conversion, *patches, beds=beds, by=by)
    return keep_draft(draft=draft, revision=draft.revision, by=by or world.organiser)


# ---- pictures


def jpeg(colour="olive", size=(640, 480)) -> SimpleUploadedFile:
    """A picture of one colour, as a phone sends it."""
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "JPEG")
    return SimpleUploadedFile("lawn.jpg", out.getvalue(), "image/jpeg")


# ---- quotes

PRICES = {"compost": "48", "compost delivery": "45", "frame": "74", "plants": "62"}


def make_prices(world, prices=PRICES) -> None:
    """The prices a first quote asks for, kept in the book from today."""
    for item, price in prices.items():
        set_price(group=world.group, item=item, price=Decimal(price), by=world.organiser)


def make_quote(world, draft=None, prices=PRICES) -> Quote:
    """A quote not sent yet, every price set."""
    make_prices(world, prices)
    return draft_quote(draft=draft or make_kept(world), by=world.organiser)


def make_sent(world, quote=None, *, is_rendered=False, **said) -> Quote:
    """A quote as sent, with its document and link; its paper is really rendered only where a test reads it."""
    quote = quote or make_quote(world)
    paper = prepare(quote, **said) if is_rendered else paper_of(offer(quote, **said), b"%PDF-1.7 not rendered")
    return send_quote(quote=quote, revision=quote.revision, by=world.organiser, paper=paper)


def make_newer(world, quote) -> Quote:
    """The next version, not sent yet: the same drawing kept anew."""
    drawing = open_draft(conversion=quote.conversion, by=world.organiser)
    return draft_quote(
        draft=keep_draft(draft=drawing, revision=drawing.revision, by=world.organiser), by=world.organiser
    )


def plan_token(quote) -> str:
    """What stands in the address of the household's plan."""
    return links.token(links.make("plan", "quote", quote))
