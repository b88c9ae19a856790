"""Make the word lists of all places ready for use; run when a text or a list has changed (./dev does)."""

from typing import Any

from django.core.management.base import BaseCommand

from conversions.common import gather, words


class Command(BaseCommand):
    help = __doc__
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument("--gather", metavar="LANGUAGE", help="take new texts into this language's list first")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["gather"]:
            waiting, gone = gather.gather(options["gather"])
            self.stdout.write(f"{options['gather']}: {waiting} texts to translate, {gone} let go")
            for fault in gather.faults(options["gather"]):
                self.stdout.write(f"  {fault}")
        for language in words.languages():
            count = words.compile_one(language)
            if options["verbosity"]:
                self.stdout.write(f"{language}: {count} texts differ")
