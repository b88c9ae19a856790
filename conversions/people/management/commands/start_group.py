"""Start a group from the shell: the one way in while registration is closed."""

from typing import Any

from django.conf import settings
from django.contrib.auth.tokens import default_token_generator
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from conversions.groups.models import User
from conversions.people import actions


class Command(BaseCommand):
    help = "Start a group with its first organiser, and print a link that sets the password (it opens once)."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="the group's name")
        parser.add_argument("--email", required=True, help="the first organiser's e-mail")
        parser.add_argument("--your-name", default="", help="the first organiser's name")
        parser.add_argument("--zone", default="UTC", help="time zone, such as Europe/London")
        parser.add_argument("--units", default="metric", choices=["metric", "imperial"])
        parser.add_argument(
            "--base", default=settings.BASE_URL or "http://127.0.0.1:8000", help="where the site is reached"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        email = options["email"].strip().lower()
        user = User.objects.filter(email=email).first() or User(email=email, name=options["your_name"])
        if user.pk is None:
            user.set_unusable_password()
        try:
            member = actions.start_group(
                name=options["name"].strip(), user=user, zone=options["zone"], units=options["units"]
            )
        except ValidationError as error:
            raise CommandError("; ".join(f"{field}: {' '.join(said)}" for field, said in error)) from error
        base = options["base"].rstrip("/")
        self.stdout.write(f"{member.group.name} stands at {base}{reverse('week', args=[member.group.slug])}")
        if user.has_usable_password():
            self.stdout.write(f"{email} has an account already and signs in with its password.")
            return
        keys = {
            "uidb64": urlsafe_base64_encode(force_bytes(user.pk)),
            "token": default_token_generator.make_token(user),
        }
        self.stdout.write(f"Give this link to {email}. It opens once, within three days, and asks for a password:")
        self.stdout.write(f"  {base}{reverse('password-new', kwargs=keys)}")
