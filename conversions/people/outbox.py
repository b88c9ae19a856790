"""The outbox: what is to be told is written once, and sent or done by hand once.

Queueing happens inside the transaction of whatever is told, so that neither exists without the other. Sending
holds a lease: a worker that dies leaves its message to the next one. Only an e-mail cut off between the mail
server's yes and our note goes twice, and then under the same Message-ID, so that a mail program shows it once.
"""

import datetime
import logging
import smtplib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.mail import EmailMessage
from django.db import IntegrityError, transaction
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext as _

from conversions.common.dates import date_format
from conversions.groups.models import Group, Member
from conversions.groups.tenancy import Grouped, move

from . import letters
from .models import Document, Link, Message, Person

log = logging.getLogger(__name__)
LEASE = datetime.timedelta(minutes=5)  # longer than a mail server may take: EMAIL_TIMEOUT for each of a dozen steps
BACK_OFF = [datetime.timedelta(minutes=m) for m in (1, 5, 20, 60, 180, 360, 720)]  # the wait after each try
MOST_TRIES = len(BACK_OFF) + 1  # a day and a half in all; then a person is asked
OPEN = ("due", "by hand", "failed")


def queue(
    *,
    key: str,
    kind: str,
    person: Person,
    by: Member | None = None,
    conversion: Grouped | None = None,
    day: Grouped | None = None,
    values: Mapping[str, Any] | None = None,
    link: Link | None = None,
    document: Document | None = None,
    due_at: datetime.datetime | None = None,
    route: str = "",
) -> Message:
    """One thing to tell one person by their own route (or `route`); the same key twice gives the row that stands.

    The group is the person's. `values` are plain JSON values for the words; never a token.
    """
    for row in (conversion, day):
        if row is not None and row.group_id != person.group_id:
            raise ValidationError(_("This belongs to another group."))
    group, route = person.group, route or person.route
    standing = Message.of(group).filter(key=key).first()
    if standing:
        return standing
    message = Message(
        group=group,
        key=key,
        kind=kind,
        person=person,
        by=by,
        conversion_id=conversion.pk if conversion else None,
        day_id=day.pk if day else None,
        route=route,
        language=letters.language_of(person),
        template=f"mail/{kind}.txt",
        values=dict(values or {}),
        link=link,
        document=document,
        due_at=due_at or timezone.now(),
        state="due" if route == "email" and person.email else "by hand",
    )
    message.full_clean()
    try:
        with transaction.atomic():
            message.save()
    except IntegrityError:  # somebody queued the same a moment ago
        return Message.of(group).get(key=key)
    return message


# ---- by hand


def note_done(*, message: Message, by: Member, outcome: str = "") -> bool:
    """Somebody told them. True for whoever notes it first; a second note changes nothing."""
    values = {"done_at": timezone.now(), "done_by": by, "outcome": outcome.strip()[:300]}
    return move(message, OPEN, state="sent", **values)


def note_try(*, message: Message, by: Member, words: str = "") -> None:
    """One try that reached nobody; it stays to be done."""
    when = date_format(timezone.localtime(timezone.now(), ZoneInfo(by.group.zone)), "j M, H:i")
    told = _("No answer on %(when)s (%(by)s).") % {"when": when, "by": by}
    rows = Message.of(message.group).filter(pk=message.pk, state__in=["by hand", "failed"])
    rows.update(tries=F("tries") + 1, outcome=f"{told} {words}".strip()[:300])


def try_again(*, message: Message) -> bool:
    """Send once more what did not go, to the address as it stands now."""
    state = "due" if message.person.email else "by hand"
    return move(message, ["failed"], state=state, route="email", due_at=timezone.now(), tries=0, outcome="")


def drop(group: Group, *, keys: Iterable[str] = (), day: Grouped | None = None, kinds: Iterable[str] = ()) -> int:
    """Take back what nobody was told yet: it is no longer true. What is being sent this moment goes its way."""
    rows = Message.of(group).filter(state__in=OPEN)
    rows = rows.filter(day_id=day.pk, kind__in=list(kinds)) if day else rows.filter(key__in=list(keys))
    return rows.update(state="dropped", done_at=timezone.now())


# ---- by itself


@dataclass(frozen=True)
class Done:
    """What one try came to: sent, file, put off, failed or by hand."""

    message: Message
    how: str


def deliver_next(*, lease: datetime.timedelta = LEASE, only: Message | None = None) -> Done | None:
    """Send the message that is due longest; None when nothing is due."""
    message = claim(lease=lease, only=only)
    if message is None:
        return None
    if message.tries > MOST_TRIES:  # it took its worker down with it every time
        return _give_up(message, _("Sending broke off every time."))
    if not message.person.email or message.person.erased_at:
        _note(message, state="by hand", outcome=_("No e-mail address is known any more."))
        return Done(message, "by hand")
    try:
        _mail(message).send()
    except Exception as error:  # whatever it is, the messages behind this one must not wait for it
        log.warning("message %s did not go: %s", message.pk, type(error).__name__)
        return _put_off(message, error)
    return _gone(message)


def claim(*, lease: datetime.timedelta = LEASE, only: Message | None = None) -> Message | None:
    """Take one due message, or one whose worker died, for ourselves alone until the lease runs out."""
    now = timezone.now()
    ready = Q(state="due", due_at__lte=now) | Q(state="leased", lease_until__lt=now)
    with transaction.atomic():
        rows = Message.everywhere.filter(ready).order_by("due_at", "pk")
        if only is not None:
            rows = rows.filter(pk=only.pk)
        row = rows.select_for_update(skip_locked=True).first()
        if row is None:
            return None
        values = {"state": "leased", "lease_until": now + lease, "tries": F("tries") + 1}
        Message.everywhere.filter(pk=row.pk).update(**values)
    found = Message.everywhere.select_related("group", "person", "document", "link", "by__user")
    return found.get(pk=row.pk)


def _mail(message: Message) -> EmailMessage:
    letter = letters.compose(message)
    mail = EmailMessage(
        subject=letter.subject,
        body=letter.body,
        from_email=letters.sender(message.group),
        to=[message.person.email],
        headers={"Message-ID": letters.message_id(message), "Auto-Submitted": "auto-generated"},
    )
    if message.document and message.document.content:
        mail.attach(letters.file_name(message.document), bytes(message.document.content), "application/pdf")
    return mail


def _gone(message: Message) -> Done:
    """Also where our lease ran out meanwhile: it did go, and whoever took it over finds it so."""
    if settings.EMAIL_HOST or message.kind == "test":
        outcome = "" if settings.EMAIL_HOST else _("No mail server is set: it lies as a file.")
        _note(message, mine=False, state="sent", done_at=timezone.now(), outcome=outcome)
        return Done(message, "sent" if settings.EMAIL_HOST else "file")
    words = _("No mail server is set: the e-mail lies as a file, and nobody has received it.")
    _note(message, mine=False, state="by hand", outcome=words)
    return Done(message, "file")


def _put_off(message: Message, error: Exception) -> Done:
    words = letters.why_not(error)
    if _is_final(error) or message.tries >= MOST_TRIES:
        return _give_up(message, words)
    wait = BACK_OFF[message.tries - 1]
    _note(message, state="due", due_at=timezone.now() + wait, outcome=words)
    return Done(message, "put off")


def _give_up(message: Message, words: str) -> Done:
    _note(message, state="failed", outcome=words)
    return Done(message, "failed")


def _is_final(error: Exception) -> bool:
    """Whether the server will say the same tomorrow: it does not know this address, or refuses this letter."""
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        return all(code >= 500 for code, _words in error.recipients.values())
    return isinstance(error, smtplib.SMTPDataError) and error.smtp_code >= 500


def _note(message: Message, *, mine: bool = True, **values: Any) -> None:
    """Write down what became of it; `mine`: only while nobody else took it over after our lease ran out."""
    rows = Message.everywhere.filter(pk=message.pk, state="leased")
    if mine:
        rows = rows.filter(tries=message.tries)
    if "outcome" in values:
        values["outcome"] = values["outcome"][:300]
    rows.update(lease_until=None, **values)
    message.refresh_from_db()
