"""Enquiries and drawings, as the actions write them."""

from decimal import Decimal

from tests.rows import make_kept


def test_a_kept_drawing_writes_its_patch_and_what_is_planned_there(oak):
    draft = make_kept(oak)
    patch = draft.conversion.place.patches.get()
    assert (patch.lawn_m2, patch.kept_m2, patch.label) == (Decimal("51.60"), Decimal("2.58"), "Front lawn")
    planned = draft.conversion.planned.get()
    assert (planned.planned_m2, planned.draft, planned.complete_on) == (Decimal("49.02"), draft, None)
    assert {bed["kind"] for bed in draft.site["beds"]} == {"mounded", "framed"}
