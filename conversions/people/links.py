"""Links for people without an account: nothing secret is stored, and a link can be printed again."""

import base64
import datetime
import hmac

from django.conf import settings
from django.db.models import QuerySet
from django.urls import reverse
from django.utils import timezone

from conversions.common.asked import whole

from .models import Link, Person
from .models_invite import Invite


class Dead(Exception):
    """Unknown, revoked or expired; `link` is the row where the token named one truly."""

    def __init__(self, link: "Link | Invite | None" = None):
        super().__init__("this link does not open anything")
        self.link = link


def make(
    purpose: str,
    subject_type: str,
    subject: object,
    *,
    person: Person | None = None,
    expires_at: datetime.datetime | None = None,
) -> Link:
    """The link for this subject; made once, found again afterwards."""
    link, _made = Link.everywhere.get_or_create(
        group=subject.group,
        purpose=purpose,
        subject_type=subject_type,
        subject_id=subject.pk,
        person=person,
        defaults={"expires_at": expires_at},
    )
    return link


def _sign(link: Link | Invite) -> str:
    message = f"{link.purpose}:{link.pk}:{link.generation}".encode()
    digest = hmac.digest(settings.LINK_KEY.encode(), message, "sha256")[:20]
    return base64.urlsafe_b64encode(digest).decode().rstrip("=")


def token(link: Link | Invite) -> str:
    return f"{link.pk}.{_sign(link)}"


def address(link: Link | Invite, request=None) -> str:
    """The whole address to copy or print, with the operator's base address where one is set."""
    path = reverse(
        {"plan": "plan-public", "sign-up": "sign-up-public", "care": "care-public", "join": "join"}[link.purpose],
        args=[token(link)],
    )
    if settings.BASE_URL:
        return settings.BASE_URL + path
    return request.build_absolute_uri(path) if request else path


def read(purpose: str, text: str) -> Link:
    """The link that `text` names. Raises Dead when it is unknown, forged, revoked or expired."""
    return _read(Link.everywhere.select_related("group", "person").filter(purpose=purpose), text)


def read_invite(text: str) -> Invite:
    """The invitation that `text` names; one that was used is dead too."""
    invite = _read(Invite.everywhere.select_related("group", "by__user"), text)
    if invite.used_by_id:
        raise Dead(invite)
    return invite


def _read(rows: QuerySet, text: str) -> Link | Invite:
    pk, _dot, signature = text.partition(".")
    link = rows.filter(pk=whole(pk)).first()
    if link is None or not hmac.compare_digest(signature.encode(), _sign(link).encode()):
        raise Dead
    if link.revoked_at or (link.expires_at and link.expires_at < timezone.now()):
        raise Dead(link)
    return link
