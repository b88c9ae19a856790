""" "Lay it out for me": a first layout by the minutes and the backs the household told of, with a sentence that says why."""

from dataclasses import dataclass, replace

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from conversions import sizing
from conversions.common import measures
from conversions.groups.tenancy import open_to
from conversions.growing.caretime import bed_area
from conversions.sizing.beds import growing_area_m2
from conversions.yards import sketch
from conversions.yards.views.desk import desk, save, to_shown

from .checklist import Answers, read_answers
from .questions import BY_CODE

# What counts of each pick: the least of its band, so that nobody is given more bed than they surely have time for; of
# the lowest band its middle, our own guess. Where nobody waters yet, somebody may still be found for a small bed.
MINUTES = {"nobody": 15, "under 30": 15, "30 to 60": 30, "over 60": 60}

SMALLEST_M2 = 0.12  # less bed than one planting pocket


@dataclass(frozen=True)
class Told:
    """What a household told of its time and its backs."""

    minutes: int | None = None  # a week; None where nobody said it
    bend: str = ""  # no, helped, yes; empty where nobody said it
    is_named: bool = True  # somebody waters
    is_clash: bool = False


@dataclass(frozen=True)
class Room:
    """How much bed a patch may have, and why."""

    most_m2: float | None  # by the minutes, less what the other patches have; None where no minutes are known
    all_m2: float  # by the minutes, for the whole yard
    others_m2: float
    first_m2: float  # by the book, or by the group's own number


def told_of(answers: Answers) -> Told:
    """The answers that stand; where two stand, the one that asks for less bed and the one that asks for less bending."""
    (scope,) = answers.scopes(BY_CODE["waters"])
    picks = [value.get("minutes") for value in scope.values]
    bends = [value.get("bend") for value in scope.values]
    minutes = min((MINUTES[pick] for pick in picks if pick in MINUTES), default=None)
    bend = next((pick for pick in ("yes", "helped", "no") if pick in bends), "")
    return Told(minutes, bend, "nobody" not in picks, scope.is_clash)


@open_to("visitor")
@require_POST
def lay_out(request: HttpRequest, pk: int, uid: str) -> HttpResponse:
    at = desk(request, pk)
    at.patch(uid)
    told = told_of(read_answers(at.yard))
    try:
        room = _room(at.document, str(uid), told)
        is_by_time = room.most_m2 is not None and told.bend != "yes"
        document = sketch.laid_out(at.document, str(uid), room.most_m2, told.bend == "yes", pockets=is_by_time)
    except sizing.SiteError:
        messages.error(request, _("Put the sides right first, then beds can be laid out."))
        return to_shown(request, at)
    beds = [bed for bed in sizing.read_site(document).beds if bed.patch == str(uid)]
    units = request.group.units
    if not beds:
        messages.warning(request, _nothing(room, told, units))
        return to_shown(request, at)
    said = " ".join([*_why(room, told, beds, units), *_backs(told, beds, units)])
    return save(request, at, document, said)  # at the top of the page, where the reason and the drawing stand


def _room(document: dict, uid: str, told: Told) -> Room:
    """The minutes are for the whole yard, so the beds on its other patches count. Raises SiteError where no ground is."""
    site = sizing.read_site(document)
    if problems := sizing.check(replace(site, patches=(site.patch(uid),), beds=())):
        raise sizing.SiteError(problems)
    others_m2 = sum(growing_area_m2(bed) for bed in site.beds if bed.patch != uid)
    all_m2 = bed_area(told.minutes or 0)
    most_m2 = None if told.minutes is None else max(0.0, all_m2 - others_m2)
    return Room(most_m2, all_m2, others_m2, site.own["first_beds_area"])


def _area(m2: float, units: str) -> str:
    return measures.area(m2, units, 0 if m2 == int(m2) else 1)


def _nothing(room: Room, told: Told, units: str) -> str:
    """Why nothing was laid; what stood on the patch stays."""
    if room.others_m2 and room.most_m2 is not None and room.most_m2 < SMALLEST_M2:
        words = _(
            "For %(minutes)s minutes a week in the first year: up to %(most)s of bed, and the other patches have"
            " %(others)s. Nothing is laid out here."
        )
        shown = {"most": _area(room.all_m2, units), "others": _area(room.others_m2, units)}
        return words % {"minutes": told.minutes, **shown}
    return _("No bed fits here with a path round it. Type one by numbers if you like.")


def _why(room: Room, told: Told, beds: list, units: str) -> list[str]:
    if told.minutes is None:
        words = _(
            "Nobody said yet how many minutes a week they have: this is up to %(most)s of bed. Ask, then lay it out anew."
        )
        return [words % {"most": _area(room.first_m2, units)}]
    shown = {
        "minutes": told.minutes,
        "most": _area(room.all_m2, units),
        "others": _area(room.others_m2, units),
        "area": _area(sum(growing_area_m2(bed) for bed in beds), units),
    }
    words = _("For %(minutes)s minutes a week in the first year: up to %(most)s of bed; this layout has %(area)s.")
    if room.others_m2:
        words = _(
            "For %(minutes)s minutes a week in the first year: up to %(most)s of bed; this layout has %(area)s,"
            " the other patches have %(others)s."
        )
    out = [words % shown]
    if room.first_m2 < room.most_m2:
        out.append(_("A first layout is never more than %(most)s.") % {"most": _area(room.first_m2, units)})
    if not told.is_named:
        out.append(_("Nobody is named yet who waters, so it is small."))
    if told.is_clash:
        out.append(_("Two answers stand: the smaller one counts here until you choose."))
    return out


def _backs(told: Told, beds: list, units: str) -> list[str]:
    """Who cannot bend works at a frame; where somebody helps, the frame is theirs and the mound is the helper's."""
    frames = [bed for bed in beds if bed.kind == "framed"]
    if told.bend not in ("yes", "helped"):
        is_asked = told.minutes is not None and not told.bend
        return [_("Nobody said yet whether it is hard for anyone to bend: ask.")] if is_asked else []
    if not frames:
        return [_("It is hard for somebody to bend, and no framed bed fits: what is laid here lies low.")]
    high = _("The frame is %(height)s high: ask which height suits them.")
    high %= {"height": measures.length(frames[0].height_m, units)}
    if told.bend == "yes":
        return [_("It is hard to bend, so there is a framed bed and nothing low."), high]
    if len(beds) == len(frames):
        return [_("It is hard for somebody to bend: the framed bed is for them."), high]
    return [_("It is hard for somebody to bend: the framed bed is for them, what lies low is for who helps."), high]
