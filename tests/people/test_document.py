"""A paper as it left the house."""

import hashlib

from conversions.people.models import Document


def test_a_paper_may_be_checked_before_it_is_saved_and_its_fingerprint_is_worked_out_on_saving(oak):
    paper = Document(group=oak.group, kind="care sheet", title="Looking after your garden", content=b"%PDF-1.7 x")
    paper.full_clean()
    assert paper.sha256 == ""
    paper.save()
    assert paper.sha256 == hashlib.sha256(b"%PDF-1.7 x").hexdigest()
