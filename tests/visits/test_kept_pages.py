"""The pages that a phone keeps for when there is no signal."""

import pytest
from django.utils import timezone

from conversions.visits.actions import book_visit
from tests.rows import make_open, rectangle

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("page", ["visits/{visit}/offline/", "yards/{yard}/plan/draw/offline/"])
def test_a_kept_page_holds_nothing_that_was_said_and_leaves_it_to_the_page_looked_at(organiser, oak, page):
    """A phone fetches it in the background: whoever saved a moment ago still has to hear so."""
    draft = make_open(oak, None, rectangle("8", "6"), beds=False)
    yard = draft.conversion
    visit = book_visit(conversion=yard, by=oak.visitor, due_at=timezone.now())
    said = {"drawing": draft.number, "revision": draft.revision}
    organiser.post(oak.url(f"yards/{yard.pk}/plan/draw/"), said | {"north_deg": "40", "do": ""})
    kept = organiser.get(oak.url(page.format(visit=visit.pk, yard=yard.pk)))
    assert kept.status_code == 200 and "Saved." not in kept.content.decode()
    assert "Saved." in organiser.get(oak.url(f"yards/{yard.pk}/plan/")).content.decode()
