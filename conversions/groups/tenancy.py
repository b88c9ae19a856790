"""The one door between a request and a group's rows: whoever forgets it gets less, never more.

In the URL everything of a group stands below /g/<group>/. `Door` finds the membership and sets
`request.group` and `request.member`. A view without a mark is for organisers only; `open_to` adds roles.
Rows inherit `Grouped` and are reached by `of`, `fetch` and `change`; there is no `objects`.
"""

from collections.abc import Callable, Iterable
from typing import Any, Self

from django import forms
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import models
from django.db.models import Exists, OuterRef
from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404
from django.utils import timezone, translation
from django.utils.cache import patch_cache_control
from django.utils.translation import gettext_lazy as _

from conversions.common.languages import first_known

ROLES = ("organiser", "visitor", "lead", "reader", "helper")


class Stale(Exception):
    """Somebody saved this row after the page was opened; `row` holds what stands now."""

    def __init__(self, row: "Grouped"):
        super().__init__(f"{type(row).__name__} {row.pk} was saved by somebody else")
        self.row = row


class GroupedQuerySet(models.QuerySet):
    def bulk_create(self, objs: Iterable["Grouped"], *args: Any, **kwargs: Any) -> list["Grouped"]:
        objs = list(objs)
        for row in objs:
            row.refuse_foreign_keys()
        return super().bulk_create(objs, *args, **kwargs)


class Grouped(models.Model):
    """A row that belongs to one group, and whose every key points inside that group."""

    group = models.ForeignKey("groups.Group", models.CASCADE, related_name="+")

    everywhere = GroupedQuerySet.as_manager()  # unfiltered on purpose, and named so that it stands out

    personal: tuple[str, ...] = ()  # fields that tell about a person
    plain: tuple[str, ...] = ()  # text, JSON, file and bytes fields that do not

    class Meta:
        abstract = True
        base_manager_name = "everywhere"

    @classmethod
    def of(cls, group: Any) -> models.QuerySet[Self]:
        return cls.everywhere.filter(group=group)

    def refuse_foreign_keys(self) -> None:
        """Raise ValidationError where a key points at another group's row."""
        for field in self._meta.concrete_fields:
            if not field.is_relation or not issubclass(field.related_model, Grouped):
                continue
            key = getattr(self, field.attname)
            if key is None:
                continue
            if field.is_cached(self):
                inside = getattr(self, field.name).group_id == self.group_id
            else:
                inside = field.related_model.everywhere.filter(pk=key, group=self.group_id).exists()
            if not inside:
                raise ValidationError({field.name: _("This belongs to another group.")})

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.refuse_foreign_keys()
        super().save(*args, **kwargs)


def fetch(request: HttpRequest, source: Any, **lookup: Any) -> Any:
    """One row of the current group, or 404. `source` is a model or a queryset that came out of `of`."""
    rows = source.of(request.group) if isinstance(source, type) else source.filter(group=request.group)
    try:
        return get_object_or_404(rows, **lookup)
    except (ValueError, OverflowError) as error:
        raise Http404 from error


def change(row: Grouped, revision: int, **values: Any) -> Grouped:
    """The one optimistic write. Raises Stale, with the row as it stands now, when `revision` is old."""
    rows = type(row).everywhere.filter(pk=row.pk, group=row.group_id, revision=revision)
    if not rows.update(revision=revision + 1, **values):
        raise Stale(type(row).everywhere.get(pk=row.pk))
    row.refresh_from_db()
    return row


def move(row: Grouped, states: Iterable[str], **values: Any) -> bool:
    """A change of state that only one of two people can make: true for the one who was first."""
    changed = type(row).everywhere.filter(pk=row.pk, group=row.group_id, state__in=list(states)).update(**values)
    row.refresh_from_db()
    return bool(changed)


def open_to(*roles: str) -> Callable[[Callable], Callable]:
    """Mark a view as open to these roles too; organisers may always."""
    unknown = set(roles) - set(ROLES)
    assert not unknown, f"no such role: {unknown}"

    def mark(view: Callable) -> Callable:
        view.roles = frozenset(roles) | {"organiser"}
        return view

    return mark


class Door:
    """Turns the slug of the address into the membership of whoever asks."""

    def __init__(self, get_response: Callable):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> Any:
        try:
            response = self.get_response(request)
            if hasattr(request, "member") and not response.has_header("Cache-Control"):
                patch_cache_control(response, private=True, no_cache=True)  # no proxy keeps a group's page
            return response
        finally:
            timezone.deactivate()  # the next request of this worker may be another group's

    def process_view(self, request: HttpRequest, view: Callable, args: tuple, kwargs: dict) -> None:
        if "group" not in kwargs:
            return
        slug = kwargs.pop("group")
        members = request.user.memberships.filter(ended_on=None)
        others = members.model.everywhere.filter(ended_on=None).exclude(pk=OuterRef("pk"))
        member = (
            members.filter(group__slug=slug)
            .select_related("group", "user", "person")
            .annotate(
                has_other_groups=Exists(others.filter(user=OuterRef("user"))),
                is_alone=~Exists(others.filter(group=OuterRef("group"))),
            )
            .first()
        )
        if member is None:
            raise Http404
        if not member.roles & getattr(view, "roles", frozenset({"organiser"})):
            raise PermissionDenied
        request.group, request.member = member.group, member
        timezone.activate(member.group.zone)
        translation.activate(spoken(member))


def spoken(member: Any) -> str:
    """What this member reads: their own choice, else what was written down about them, else the group's language."""
    person = getattr(member, "person", None)
    return first_known(member.user.language, person.language if person else "", member.group.language)


class GroupForm(forms.Form):
    """A form whose every choice of rows is narrowed to the group's own."""

    def __init__(self, *args: Any, group: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.group = group
        for field in self.fields.values():
            rows = getattr(field, "queryset", None)
            if rows is not None and issubclass(rows.model, Grouped):
                field.queryset = rows.filter(group=group)
