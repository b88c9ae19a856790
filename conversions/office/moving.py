"""A household moves: the garden stays with its year and square metres, and goes on with the people who live there now."""

import datetime
import uuid as uuids
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from conversions.builds.models import OPEN
from conversions.care import sheet as paper
from conversions.care.actions import hand_on, write_sheet
from conversions.care.models import CareSheet
from conversions.groups.models import Group, Member
from conversions.groups.tenancy import move
from conversions.people import outbox
from conversions.people.history import note_event
from conversions.people.models import Link, Message, Person
from conversions.visits.actions import finish_visit
from conversions.yards.enquiries import take_enquiry
from conversions.yards.models import Conversion, GateCode, Household


@dataclass(frozen=True)
class Newcomers:
    """Who lives there now, as told. `person` where we know them already."""

    name: str
    reach: str
    tenure: str
    moved_on: datetime.date
    large_print: bool = False
    person: Person | None = None


def why_not(conversion: Conversion) -> str:
    """Why the run cannot pass to new people today; empty where it can."""
    if conversion.household.until_on:
        return _("New people were written down here already.")
    if conversion.day_patches.filter(day__state__in=OPEN).exists():
        return _("A build day is set for this yard. Close it, or call it off, first.")
    return ""


def is_built(conversion: Conversion) -> bool:
    """Whether there is a garden to look after, or only a wish."""
    return conversion.built_by.planned.exclude(complete_on=None).exists()


def new_people(*, conversion: Conversion, who: Newcomers, by: Member, uid: uuids.UUID | None = None) -> Conversion:
    """End the household's time here and begin that of the next; the run that is theirs from now on. Pressed twice is once.

    A built garden goes on as a run of care with the follow-ups still due; a yard without one begins as an enquiry.
    Nothing of the people before stands on it: their links die, their gate code is forgotten, nobody is told for them.
    Raises ValidationError where a build day is still set.
    """
    group = conversion.group
    with transaction.atomic():
        Group.objects.select_for_update().get(pk=group.pk)
        if uid and (stands := Conversion.of(group).filter(uid=uid).first()):
            return stands
        old = Conversion.of(group).select_related("group", "place", "household__contact").get(pk=conversion.pk)
        if problem := why_not(old):
            raise ValidationError(problem)
        before = list(Conversion.of(group).filter(household=old.household, closed_on=None))
        new = take_enquiry(
            group=group, by=by, name=who.name, reach=who.reach, address=old.place.address, tenure=who.tenure,
            place=old.place, person=who.person, large_print=who.large_print, uid=uid,
        )  # fmt: skip
        new.household.from_on = who.moved_on
        new.household.save(update_fields=["from_on"])
        _leave(old.household, who.moved_on)
        for run in before:
            _end(run, _goes_on_as(run, old, new, who, by), who.moved_on, by)
        note_event(group=group, verb="moved-in", by=by, conversion=new)
    return new


def _goes_on_as(run: Conversion, old: Conversion, new: Conversion, who: Newcomers, by: Member) -> Conversion:
    """The run that looks after what this one built; one for each, as each has follow-ups and a sheet of its own."""
    if not is_built(run):
        return new
    if run.pk != old.pk:
        new = take_enquiry(
            group=run.group, by=by, name=new.household.contact.name, reach=who.reach, address=run.place.address,
            tenure=who.tenure, household=new.household,
        )  # fmt: skip
    new.continues = run
    new.save(update_fields=["continues"])
    return new


def _leave(household: Household, on: datetime.date) -> None:
    household.until_on = max(on, household.from_on)
    household.full_clean()
    household.save(update_fields=["until_on"])
    for code in GateCode.of(household.group_id).filter(place=household.place):
        code.code = ""  # an empty one is cleared by the night
        code.save(update_fields=["code"])


def _end(run: Conversion, new: Conversion, on: datetime.date, by: Member) -> None:
    """One run of the people before: closed, untold, its links dead, what is still to be looked at handed on."""
    run.closed_on, run.outcome = on, "done" if is_built(run) else "withdrawn"
    run.full_clean()
    run.save(update_fields=["closed_on", "outcome"])
    quotes = list(run.quotes.all())
    named = Link.of(run.group_id).filter(purpose="plan", subject_type="quote", revoked_at=None)
    named.filter(subject_id__in=[quote.pk for quote in quotes]).update(revoked_at=timezone.now())
    for quote in quotes:
        move(quote, ["sent", "expired"], state="withdrawn")
    for visit in run.visits.filter(state__in=["planned", "under way"]):
        finish_visit(visit=visit, by=by, state="cut short", reason=_("Other people live here now."))
    hand_on(conversion=run, to=new)
    untold = Message.of(run.group_id).filter(conversion_id=run.pk, state__in=outbox.OPEN)
    outbox.drop(run.group, keys=untold.values_list("key", flat=True))
    note_event(group=run.group, verb="moved-out", by=by, conversion=run)


def give_sheets(*, household: Household, by: Member) -> list[CareSheet]:
    """A care sheet for each garden the new people look after, drawn afresh with their name, and queued to them; once."""
    rows = Conversion.of(household.group_id).filter(household=household, care_sheets=None).exclude(continues=None)
    given = []
    for run in rows.select_related("group", "place", "household__contact", "continues"):
        last = CareSheet.of(run.group_id).filter(conversion__in=_runs_before(run)).order_by("-made_at", "-pk").first()
        if last is None:
            continue
        content = paper.pdf(run, first_on=last.first_on, today=run.group.today())  # slow: outside the transaction
        given.append(
            write_sheet(conversion=run, day=last.day, paper=content, title=paper.title(run), newcomers=True, by=by)
        )
    return given


def _runs_before(run: Conversion) -> list[Conversion]:
    runs = []
    while run.continues_id:
        run = run.continues
        runs.append(run)
    return runs
