"""The words of a message in each form: e-mail, call, text message, letter, card through the door."""

import datetime
import re
import smtplib
from dataclasses import dataclass
from email.utils import formataddr, parseaddr
from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils import timezone, translation
from django.utils.text import slugify
from django.utils.translation import gettext as _

from conversions.common.languages import first_known
from conversions.groups.models import Group

from . import links
from .models import Document, Message, Person

FORMS = {"email": "email", "phone": "call", "text": "text", "post": "letter", "door": "card"}
DATE = re.compile(r"\d{4}-\d\d-\d\d")


@dataclass(frozen=True)
class Letter:
    form: str
    subject: str
    body: str
    core: str = ""  # what it is about, without greeting and end


def language_of(person: Person) -> str:
    """Their language where we have its words, else the group's, else ours."""
    return first_known(person.language, person.group.language)


def compose(message: Message, request: HttpRequest | None = None, *, form: str = "", has_link: bool = True) -> Letter:
    """What to send, say, or put through the door. The first line of a kind's template is the subject.

    `form`: another one than that of its route; `has_link` False: nothing in it asks for a screen.
    """
    form, group = form or FORMS[message.route], message.group
    with translation.override(message.language), timezone.override(group.zone):
        context = {
            **read_values(message.values),
            "form": form,
            "group": group,
            "person": message.person,
            "sender": str(message.by) if message.by else group.name,
            "link": _address(message, request) if has_link else "",
            "has_paper": bool(message.document_id),
            "today": group.today(),
            "is_printed": not has_link,
        }
        subject, _line, core = _tidy(render_to_string(message.template, context)).partition("\n")
        body = render_to_string(f"mail/_{form}.txt", {**context, "core": core.strip(), "subject": subject})
    return Letter(form, " ".join(subject.split()), _tidy(body), core.strip())


def read_values(values: dict[str, Any]) -> dict[str, Any]:
    """Dates were written as text, to stand in JSON."""
    dated = {key: text for key, text in values.items() if isinstance(text, str) and DATE.fullmatch(text)}
    return values | {key: datetime.date.fromisoformat(text) for key, text in dated.items()}


def _address(message: Message, request: HttpRequest | None) -> str:
    """The link, with its token; none where a worker does not know how the site is reached from outside."""
    if message.link is None or message.link.revoked_at or not (settings.BASE_URL or request):
        return ""
    return links.address(message.link, request)


def _tidy(text: str) -> str:
    lines = [line.strip() for line in text.strip().splitlines()]
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip() + "\n"


def sender(group: Group) -> str:
    _name, address = parseaddr(settings.DEFAULT_FROM_EMAIL)
    return formataddr((" ".join(group.name.split()), address or settings.DEFAULT_FROM_EMAIL))


def message_id(message: Message) -> str:
    """The same for every try, because it is made of the key."""
    _name, address = parseaddr(settings.DEFAULT_FROM_EMAIL)
    host = address.rpartition("@")[2] or "localhost"
    return f"<{re.sub(r'[^a-z0-9-]+', '.', message.key.lower())}.g{message.group_id}@{host}>"


def file_name(document: Document) -> str:
    return f"{slugify(document.title) or 'paper'}.pdf"


def why_not(error: Exception) -> str:
    """The reason in words a volunteer can act on."""
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        return _("The mail server does not take this address. Check it, or ring them.")
    if isinstance(error, smtplib.SMTPAuthenticationError):
        return _("The mail server does not take our name and password.")
    if isinstance(error, smtplib.SMTPDataError):
        return _("The mail server refused this letter (%(code)s).") % {"code": error.smtp_code}
    if isinstance(error, smtplib.SMTPException):
        return _("The mail server broke off.")
    if isinstance(error, OSError):
        return _("The mail server could not be reached.")
    return _("Something in this letter could not be made. Tell whoever runs this site.")
