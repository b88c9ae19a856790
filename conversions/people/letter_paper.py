"""A message on paper: the letter whose address shows in a window envelope, and for a call the page to ring from."""

import datetime
from typing import Any

from django.utils import timezone, translation
from django.utils.translation import gettext as _

from conversions.common import pdf
from conversions.common.dates import date_format

from . import letters
from .models import Message

BY_PAPER = ("phone", "post", "door")  # the routes that need something printed
WITH_ANSWER = ("quote-sent", "quote-reminder")  # where a yes may be given on the phone


def is_printed(message: Message) -> bool:
    """Whether somebody needs a page in the hand for this message."""
    return message.route in BY_PAPER


def print_letter(message: Message) -> bytes:
    """The bytes: for a call what to say and how to read an answer back, then the letter with its address.

    No link stands in it: whoever gets a letter needs no screen.
    """
    with translation.override(message.language), timezone.override(message.group.zone):
        return pdf.render("people/letter_paper.html", context(message), is_one_sided=True)


def context(message: Message) -> dict[str, Any]:
    person, group = message.person, message.group
    values = letters.read_values(message.values)
    is_call = message.route == "phone"
    sent = letters.compose(message, form="letter", has_link=False)
    return {
        "group": group,
        "person": person,
        "sender": str(message.by) if message.by else group.name,
        "subject": sent.subject,
        "core": sent.core,
        "call": letters.compose(message, form="call", has_link=False).core if is_call else "",
        "address": lines_of(person.postal or values.get("address", "")),
        "from_lines": lines_of(group.postal),
        "today": group.today(),
        "has_paper": bool(message.document_id),
        "takes_answer": is_call and message.kind in WITH_ANSWER,
        "read_back": read_back(message, values) if message.kind in WITH_ANSWER else [],
    }


def lines_of(postal: str) -> list[str]:
    """An address as it goes on an envelope: line by line, or cut at the commas where it was typed in one line."""
    parts = postal.splitlines() if "\n" in postal else postal.split(",")
    return [part.strip() for part in parts if part.strip()]


def read_back(message: Message, values: dict[str, Any]) -> list[str]:
    """What is read to them before a yes counts: which plan, the price, the day and what they do, then the question."""
    sent_on = message.document.made_at if message.document_id else message.made_at
    which = {
        "on": date_format(timezone.localdate(sent_on), "j F Y"),
        "n": values.get("number", 1),
        "address": values["address"],
    }
    plan = _("You say yes to our plan of %(on)s for %(address)s.") % which
    if which["n"] > 1:
        plan = _("You say yes to our plan number %(n)s, the one of %(on)s, for %(address)s.") % which
    said = [
        plan,
        _("You pay %(total)s in all.") % {"total": values["total"]},
    ]
    day = values.get("offered_on")
    if isinstance(day, datetime.date):
        said.append(_("We build on %(day)s.") % {"day": date_format(day, "l j F")})
    else:
        said.append(_("We find the day together."))
    said.append(_("You are at home that day and we use your tap."))
    return [*said, _("Did I say it right? Is that a yes?")]
