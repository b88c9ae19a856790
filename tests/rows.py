"""Rows for tests, made by the real actions: a yard, a kept drawing, and what other parts add below."""

import uuid
from decimal import Decimal

from conversions.yards import sketch, walk
from conversions.yards.actions import keep_draft, open_draft, save_site, take_enquiry
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
