"""What is done once a night for every group: forget what has run out. Safe to run again at any hour."""

from collections.abc import Callable
from typing import Any

from django.core.management.base import BaseCommand
from django.db import transaction

from conversions.groups.models import Group
from conversions.office import forget
from conversions.yards.pictures import drop_originals

# Each takes the group and its own date, and says how many rows it changed.
STEPS: list[tuple[str, Callable]] = [
    ("gate codes forgotten", forget.gate_codes),
    ("pictures as they came taken away", drop_originals),
]


class Command(BaseCommand):
    help = __doc__

    def handle(self, *args: Any, **options: Any) -> None:
        for group in Group.objects.order_by("pk"):
            for words, step in STEPS:
                with transaction.atomic():
                    count = step(group, group.today())
                self.stdout.write(f"{group.slug}: {words}: {count}")
