"""The head of a visit's page."""

import re

import pytest
from django.utils import timezone

from conversions.visits.actions import book_visit
from tests.rows import make_yard

pytestmark = pytest.mark.django_db


def test_two_go_and_one_goes(organiser, oak):
    yard = make_yard(oak)
    for goers, said in (([oak.visitor], "Visitor Oak goes."), ([oak.organiser, oak.visitor], "Visitor Oak go.")):
        visit = book_visit(conversion=yard, by=oak.organiser, due_at=timezone.now(), goers=goers)
        page = re.sub(r"\s+", " ", organiser.get(oak.url(f"visits/{visit.pk}/")).content.decode())
        assert said in page
