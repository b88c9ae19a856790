"""Make the word lists of all places ready for use; run when a text or a list has changed (./dev does)."""

from typing import Any

from django.core.management.base import BaseCommand

from conversions.common import words


class Command(BaseCommand):
    help = __doc__
    requires_system_checks: list[str] = []

    def handle(self, *args: Any, **options: Any) -> None:
        for language in words.languages():
            count = words.compile_one(language)
            if options["verbosity"]:
                self.stdout.write(f"{language}: {count} texts differ")
