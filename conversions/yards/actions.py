"""What changes in the ground and in a plan: drawings, and keeping one."""

from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from conversions.groups.models import Group, Member
from conversions.groups.tenancy import Stale, change

from . import measure, naming
from .models import Conversion, Draft, DraftSave, Patch, Planned
from .writing import kept, next_number

CENT = Decimal("0.01")


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


def _new_draft(
    conversion: Conversion, by: Member, site: dict, takeoff: dict, parent: Draft | None, uid: UUID | None = None
) -> Draft:
    number = next_number(conversion.drafts)
    draft = Draft(group=conversion.group, conversion=conversion, number=number, by=by, parent=parent, site=site)
    draft.site_sha, draft.takeoff = measure.sha_of(site), takeoff
    draft.engine_version = takeoff.get("engine_version", "")
    return _remembered(kept(draft), by, uid)


def _remembered(draft: Draft, by: Member, uid: UUID | None) -> Draft:
    kept(DraftSave(group=draft.group, draft=draft, revision=draft.revision, site=draft.site, by=by, uid=uid))
    return draft


def saved_as(conversion: Conversion, uid: UUID | None) -> DraftSave | None:
    """What a page saved under this uid, whatever was saved since: its answer may have been lost."""
    if uid is None:
        return None
    return DraftSave.of(conversion.group_id).filter(draft__conversion=conversion, uid=uid).first()


def _engine(site: dict, takeoff: dict) -> dict:
    return {
        "site_sha": measure.sha_of(site),
        "takeoff": takeoff,
        "engine_version": takeoff.get("engine_version", ""),
    }


def save_site(*, draft: Draft, revision: int, site: dict, by: Member | None = None, uid: UUID | None = None) -> Draft:
    """Save a changed drawing. Raises Stale when somebody saved or kept it after `revision`, or when this very save came
    before: `saved_as` tells.

    A drawing with a bed that no longer fits is saved too, without figures; only keeping it asks for sound ground.
    """
    takeoff, _problems = measure.takeoff_of(site, draft.group)
    values = {"site": site, **_engine(site, takeoff), "saved_at": timezone.now()}
    if by is not None:
        values["by"] = by
    with transaction.atomic():
        standing = Draft.of(draft.group).select_for_update().get(pk=draft.pk)
        if standing.state != "open" or saved_as(draft.conversion, uid):
            raise Stale(standing)
        return _remembered(change(draft, revision, **values), by or draft.by, uid)


def take_back(*, draft: Draft, revision: int, by: Member) -> Draft:
    """Go back to the state before the last save; that is a save too, so it can be taken back itself."""
    before = draft.saves.filter(revision__lt=revision).order_by("-revision").first()
    if before is None:
        return draft
    return save_site(draft=draft, revision=revision, site=before.site, by=by)


def save_beside(*, draft: Draft, site: dict, by: Member, uid: UUID | None = None) -> Draft:
    """Keep a second drawing next to the one somebody else saved; a person picks between them later. One that stands
    there already is not made twice."""
    takeoff, _problems = measure.takeoff_of(site, draft.group)
    with transaction.atomic():
        Conversion.of(draft.group).select_for_update().get(pk=draft.conversion_id)
        if known := saved_as(draft.conversion, uid):
            return known.draft
        if twin := draft.children.filter(site_sha=measure.sha_of(site)).first():
            return twin
        return _new_draft(draft.conversion, by, site, takeoff, parent=draft, uid=uid)


def keep_draft(*, draft: Draft, revision: int, by: Member) -> Draft:
    """Fix a drawing: the place's patches and what is planned on each are written from it."""
    if draft.state == "kept":
        return draft
    site = naming.known_again(draft.conversion.place, draft.site)
    takeoff = _sound(site, draft.group)
    with transaction.atomic():
        Conversion.of(draft.group).select_for_update().get(pk=draft.conversion_id)
        values = {"state": "kept", "kept_at": timezone.now(), "site": site, **_engine(site, takeoff)}
        change(draft, revision, **values)
        naming.free_names(draft.conversion.place, {row["uid"]: row["label"] for row in site["patches"]})
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
    if not _stands_measured(draft, patch, sized):
        patch.lawn_m2, patch.measured_from, patch.why_measured = cents(sized["measured_m2"]), "draft", ""
    patch.kept_m2 = sum((cents(m2) for m2 in sized["kept_m2"].values()), Decimal(0))
    if patch.pk and patch.coverable_m2 < converted_m2([patch]).get(patch.pk, 0):
        raise ValidationError(
            _("%(label)s: more of it is converted already than this drawing has. Check its sides.")
            % {"label": patch.label}
        )
    return kept(patch)


def _stands_measured(draft: Draft, patch: Patch, sized: dict) -> bool:
    """Whether this patch was measured a second time, and its outline is still the one that was corrected by it."""
    if patch.measured_from != "second measure":
        return False
    earlier = Draft.of(draft.group).filter(conversion__place=patch.place_id, state="kept").exclude(pk=draft.pk)
    for takeoff in earlier.order_by("-kept_at", "-pk").values_list("takeoff", flat=True):
        if before := takeoff.get("patches", {}).get(str(patch.uid)):
            return cents(before["measured_m2"]) == cents(sized["measured_m2"])
    return False


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
        kept(row)
    for row in rows.values():
        if row.complete_on is None:
            row.planned_m2, row.draft = Decimal(0), draft
            kept(row)
