"""Load the invented group and say how to get in. A second start changes nothing."""

from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from conversions.groups.models import Group
from conversions.office import demo


class Command(BaseCommand):
    help = "Load the invented group of the demo; if it is there, leave it as it is."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("address", nargs="?", default="127.0.0.1:8000", help="where it will be served")

    def handle(self, *args: Any, **options: Any) -> None:
        if not Group.objects.filter(slug=demo.SLUG).exists():
            self.stdout.write("Loading the invented group. This first time takes about half a minute.")
        group, is_new = demo.load()
        was = "is ready" if is_new else "was here already, with everything you typed"
        self.stdout.write(f"{group.name} {was}. Its people, places and prices are invented.")
        self.stdout.write("")
        self.stdout.write(f"Open    http://{options['address']}/")
        self.stdout.write(f"Sign in with one of these. The password is the same for all:  {demo.PASSWORD}")
        for email, name, role, _flag in demo.SIGN_INS:
            self.stdout.write(f"  {email:<28} {name}, {role}")
