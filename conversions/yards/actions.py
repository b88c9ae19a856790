"""What changes in the ground and in a plan: enquiries, drawings, keeping a drawing."""

import datetime
import uuid as uuids
from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.translation import gettext as _

from conversions.groups.models import Group, Member
from conversions.groups.tenancy import Stale, change
from conversions.people.models import Person

from . import holds, measure
from .models import Conversion, Draft, DraftSave, GateCode, Household, Patch, Place, Planned
from .reach import Reach, read_reach

CENT = Decimal("0.01")


class AlreadyKept(Exception):
    """This press wrote a yard before, with other words; `conversion` is what stands."""

    def __init__(self, conversion: Conversion):
        super().__init__("this enquiry was kept before")
        self.conversion = conversion


def _kept(row):
    row.full_clean()
    row.save()
    return row


def _next(rows, field: str = "number") -> int:
    return (rows.aggregate(last=Max(field))["last"] or 0) + 1


# ---- enquiries


def take_enquiry(
    *,
    group: Group,
    by: Member,
    name: str,
    reach: str,
    address: str,
    tenure: str,
    unit: str = "",
    wish: str = "",
    note: str = "",
    place: Place | None = None,
    household: Household | None = None,
    person: Person | None = None,
    large_print: bool = False,
    language: str = "",
    uid: uuids.UUID | None = None,
) -> Conversion:
    """Write down who asked. A known place, household or person is used only where the caller names it."""
    how = read_reach(reach)
    with transaction.atomic():
        Group.objects.select_for_update().get(pk=group.pk)  # two presses, or two phones, one after the other
        stands = Conversion.of(group).filter(uid=uid).select_related("place", "household__contact").first()
        if uid and stands:
            if (stands.household.contact.name, stands.place.address) != (name, address) and household is None:
                raise AlreadyKept(stands)
            return stands
        if household:
            note = _with_news(note, household.contact, name, how)
            place = household.place
        else:
            place = place or _kept(Place(group=group, address=address, unit=unit))
            note = _with_news(note, person, name, how) if person else note
            contact = person or _new_contact(group, name, how, large_print, language)
            today = group.today()
            household = _kept(Household(group=group, place=place, contact=contact, tenure=tenure, from_on=today))
        return _new_conversion(place=place, household=household, by=by, uid=uid, wish=wish, note=note)


def _new_contact(group: Group, name: str, how: Reach, large_print: bool, language: str) -> Person:
    return _kept(
        Person(
            group=group,
            name=name,
            route=how.route,
            phone=how.phone,
            email=how.email,
            large_print=large_print,
            language=language,
        )
    )


def _with_news(note: str, contact: Person, name: str, how: Reach) -> str:
    """What somebody we know told anew: an empty field is filled, anything else goes into the note, nothing is lost."""
    contact.phone, contact.email = contact.phone or how.phone, contact.email or how.email
    _kept(contact)
    news = []
    if name != contact.name:
        news.append(_("%(name)s asked.") % {"name": name})
    for given, had in ((how.phone, contact.phone), (how.email, contact.email)):
        if given and given != had:
            news.append(_("Also reached at %(reach)s.") % {"reach": given})
    return "\n".join([note, *news]).strip()


def _new_conversion(*, place: Place, household: Household, by: Member, uid=None, wish="", note="") -> Conversion:
    row = _kept(
        Conversion(
            group=place.group,
            uid=uid or uuids.uuid4(),
            place=place,
            household=household,
            number=_next(Conversion.of(place.group).filter(place=place)),
            opened_on=place.group.today(),
            opened_by=by,
            wish=wish,
            note=note,
        )
    )
    holds.follow_tenure(conversion=row, by=by)
    return row


def start_again(*, conversion: Conversion, by: Member, uid: uuids.UUID | None = None) -> Conversion:
    """Another run with the same people on the same place; its drawing starts from the place's patches."""
    with transaction.atomic():
        Group.objects.select_for_update().get(pk=conversion.group_id)
        stands = Conversion.of(conversion.group).filter(uid=uid).first() if uid else None
        if not stands and conversion.household.until_on:
            raise ValidationError(_("Other people live here now. Begin it from their page."))
        return stands or _new_conversion(place=conversion.place, household=conversion.household, by=by, uid=uid)


def change_yard(
    *,
    conversion: Conversion,
    revision: int,
    name: str,
    phone: str,
    email: str,
    route: str,
    tenure: str,
    unit: str,
    large_print: bool,
    wish: str,
    note: str,
    gate_code: str = "",
    gate_until: datetime.date | None = None,
) -> Conversion:
    """Change what was written about a yard. Raises Stale when somebody was faster."""
    with transaction.atomic():
        change(conversion, revision, wish=wish, note=note)
        household, contact, place = conversion.household, conversion.household.contact, conversion.place
        contact.name, contact.phone, contact.email, contact.route = name, phone, email, route
        contact.large_print = large_print
        contact.revision += 1
        household.tenure, place.unit = tenure, unit
        for row in (contact, household, place):
            _kept(row)
        _write_gate_code(place, gate_code, gate_until)
        holds.follow_tenure(conversion=conversion, by=conversion.opened_by)
    return conversion


def _write_gate_code(place: Place, code: str, until_on: datetime.date | None) -> None:
    """One code for a place; one taken out stays as an empty row until the night clears it."""
    row = GateCode.of(place.group_id).filter(place=place).first()
    if row is None and not code:
        return
    row = row or GateCode(group=place.group, place=place)
    row.code, row.until_on = code, until_on or row.until_on or place.group.today()
    _kept(row)


# ---- drawings


def open_draft(*, conversion: Conversion, by: Member) -> Draft:
    """The open drawing of a yard; where there is none, the next one, started from what was kept before."""
    drawing = conversion.drawing()
    if drawing and drawing.state == "open":
        return drawing
    site = measure.starting_document(conversion)
    takeoff, _problems = measure.takeoff_of(site, conversion.group)
    with transaction.atomic():
        Conversion.of(conversion.group).select_for_update().get(pk=conversion.pk)
        drawing = conversion.drawing()
        if drawing and drawing.state == "open":
            return drawing
        return _new_draft(conversion, by, site, takeoff, parent=drawing)


def _new_draft(conversion: Conversion, by: Member, site: dict, takeoff: dict, parent: Draft | None) -> Draft:
    number = _next(conversion.drafts)
    draft = Draft(group=conversion.group, conversion=conversion, number=number, by=by, parent=parent, site=site)
    draft.site_sha, draft.takeoff = measure.sha_of(site), takeoff
    draft.engine_version = takeoff.get("engine_version", "")
    return _remembered(_kept(draft), by)


def _remembered(draft: Draft, by: Member) -> Draft:
    _kept(DraftSave(group=draft.group, draft=draft, revision=draft.revision, site=draft.site, by=by))
    return draft


def _engine(site: dict, takeoff: dict) -> dict:
    return {
        "site_sha": measure.sha_of(site),
        "takeoff": takeoff,
        "engine_version": takeoff.get("engine_version", ""),
    }


def save_site(*, draft: Draft, revision: int, site: dict, by: Member | None = None) -> Draft:
    """Save a changed drawing. Raises Stale when somebody saved or kept it after `revision`.

    A drawing with a bed that no longer fits is saved too, without figures; only keeping it asks for sound ground.
    """
    takeoff, _problems = measure.takeoff_of(site, draft.group)
    values = {"site": site, **_engine(site, takeoff), "saved_at": timezone.now()}
    if by is not None:
        values["by"] = by
    with transaction.atomic():
        standing = Draft.of(draft.group).select_for_update().get(pk=draft.pk)
        if standing.state != "open":
            raise Stale(standing)
        return _remembered(change(draft, revision, **values), by or draft.by)


def take_back(*, draft: Draft, revision: int, by: Member) -> Draft:
    """Go back to the state before the last save; that is a save too, so it can be taken back itself."""
    before = draft.saves.filter(revision__lt=revision).order_by("-revision").first()
    if before is None:
        return draft
    return save_site(draft=draft, revision=revision, site=before.site, by=by)


def save_beside(*, draft: Draft, site: dict, by: Member) -> Draft:
    """Keep a second drawing next to the one somebody else saved; a person picks between them later."""
    takeoff, _problems = measure.takeoff_of(site, draft.group)
    with transaction.atomic():
        Conversion.of(draft.group).select_for_update().get(pk=draft.conversion_id)
        return _new_draft(draft.conversion, by, site, takeoff, parent=draft)


def keep_draft(*, draft: Draft, revision: int, by: Member) -> Draft:
    """Fix a drawing: the place's patches and what is planned on each are written from it."""
    if draft.state == "kept":
        return draft
    takeoff = _sound(draft.site, draft.group)
    with transaction.atomic():
        Conversion.of(draft.group).select_for_update().get(pk=draft.conversion_id)
        values = {"state": "kept", "kept_at": timezone.now(), **_engine(draft.site, takeoff)}
        change(draft, revision, **values)
        patches = [_write_patch(draft, row, takeoff["patches"][row["uid"]]) for row in draft.site["patches"]]
        _write_planned(draft, patches, takeoff)
    return draft


def _sound(site: dict, group: Group) -> dict:
    """The take-off of a drawing that may be kept; else every reason why not."""
    if not site.get("patches"):
        raise ValidationError(_("Draw at least one patch first."))
    takeoff, problems = measure.takeoff_of(site, group)
    if problems:
        raise ValidationError([measure.words(problem) for problem in problems])
    return takeoff


def cents(value: object) -> Decimal:
    return Decimal(str(value)).quantize(CENT, ROUND_HALF_UP)


def _write_patch(draft: Draft, row: dict, sized: dict) -> Patch:
    place = draft.conversion.place
    patch = Patch.of(draft.group).select_for_update().filter(uid=row["uid"]).first() or Patch(
        group=draft.group, uid=row["uid"], place=place
    )
    if patch.pk and patch.place_id != place.pk:
        raise ValidationError(_("This patch belongs to another place."))
    patch.label, patch.zone, patch.ground_before = row["label"], row["zone"], row["ground_before"]
    patch.lawn_m2 = cents(sized["measured_m2"])
    patch.kept_m2 = sum((cents(m2) for m2 in sized["kept_m2"].values()), Decimal(0))
    if patch.pk and patch.coverable_m2 < converted_m2([patch]).get(patch.pk, 0):
        raise ValidationError(
            _("%(label)s: more of it is converted already than this drawing has. Check its sides.")
            % {"label": patch.label}
        )
    return _kept(patch)


def converted_m2(patches: Iterable[Patch]) -> dict[int, Decimal]:
    """Square metres already in the ledger, by patch; summed here because databases add decimals as floats."""
    done: dict[int, Decimal] = {}
    for patch in patches:
        lawn = patch.ground.exclude(kind="other ground").exclude(corrects__kind="other ground")
        done[patch.pk] = sum(lawn.values_list("m2", flat=True), Decimal(0))
    return done


def _write_planned(draft: Draft, patches: list[Patch], takeoff: dict) -> None:
    """One row for each patch of the drawing; what an earlier drawing promised elsewhere is set to nothing."""
    rows = {row.patch_id: row for row in draft.conversion.planned.select_for_update()}
    done = converted_m2(patches)
    for patch in patches:
        row = rows.pop(patch.pk, None) or Planned(group=draft.group, conversion=draft.conversion, patch=patch)
        if row.complete_on is None:
            row.planned_m2 = max(Decimal(0), cents(takeoff["patches"][str(patch.uid)]["cover_m2"]) - done[patch.pk])
        row.draft = draft
        _kept(row)
    for row in rows.values():
        if row.complete_on is None:
            row.planned_m2, row.draft = Decimal(0), draft
            _kept(row)
