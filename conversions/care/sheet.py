"""The care sheet of one garden: its context and its PDF, one side for the fridge and one to read."""

import datetime
from collections import Counter
from collections.abc import Collection, Iterable
from decimal import Decimal
from typing import Any

from django.http import HttpResponse
from django.utils import translation
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from conversions.builds.agreed import papers_of
from conversions.common import pdf as paper
from conversions.common.languages import first_known
from conversions.growing import care_time
from conversions.visits.cautions import Caution, cautions_for
from conversions.yards.models import Planned

from .models import CareSheet, FollowUp
from .pictures import task
from .schedule import Due, due_dates


def title(conversion: Any) -> str:
    return _("Looking after your garden, %(address)s") % {"address": conversion.place.address}


def language_of(conversion: Any) -> str:
    return first_known(conversion.household.contact.language, conversion.group.language)


def dates(conversion: Any, first_on: datetime.date) -> tuple[Due, ...]:
    """The follow-ups as they stand, with those of the people before; where none is written, as it will be."""
    group = conversion.group
    runs = [conversion, conversion.built_by]
    rows = FollowUp.of(group).filter(conversion__in=runs).exclude(kind="rescue").values_list("kind", "due_on")
    usual = due_dates(first_on, (group.season_ends_month, group.season_ends_day))
    on = {due.kind: due.on for due in usual} | dict(rows)
    return tuple(sorted((Due(*one) for one in on.items()), key=lambda due: due.on))


def context(
    conversion: Any, *, first_on: datetime.date, today: datetime.date, patches: Collection[int] | None = None
) -> dict[str, Any]:
    """What both sides say. `first_on` is the day the first patch was finished; all dates count from it.

    `patches` are those finished by then; left out, those finished so far.
    """
    beds = beds_built(conversion, patches)
    beds_m2 = sum((Decimal(str(bed["area_m2"])) for bed in beds), Decimal(0))
    dues = dates(conversion, first_on)
    by_kind = {due.kind: due.on for due in dues}
    soil = soil_cautions(conversion)
    return {
        "group": conversion.group,
        "conversion": conversion,
        "contact": conversion.household.contact,
        "address": conversion.place.address,
        "built_on": first_on,
        "bands": bands(by_kind, is_untested=bool(soil)),
        "curl": task("curl", _("Left: a flat leaf. Right: a new leaf curled like a cup")),
        "soil": soil,
        "visits": [{"on": due.on, "asks": ASKS[due.kind]()} for due in dues if due.on >= today],
        "beds_m2": beds_m2,
        "beds": beds_in_words(beds),
        "minutes": care_time(float(beds_m2)) if beds_m2 else None,
    }


SIDES = 2  # of the one sheet that goes on the fridge
UNSURE_SOIL = {"soil_untested", "old_paint", "past_use", "lead_high", "lead_stop"}


def soil_cautions(conversion: Any) -> list[Caution]:
    """Why nothing is grown in the old ground, while lead is likely or not ruled out; empty when it is."""
    return [caution for caution in cautions_for(conversion.built_by) if caution.key in UNSURE_SOIL]


ASKS = {
    "week 1": lambda: _("Is all the card covered? Are the young plants wet?"),
    "month 1": lambda: _("Is grass coming through at the edges or joins?"),
    "season's end": lambda: _("How was the first season? We look at it with you."),
    "year 1": lambda: _("Are the chips still a hand deep? Is it still a garden?"),
    "year 2": lambda: _("Is it still a garden? What would you change?"),
    "year 3": lambda: _("Is it still a garden? Our last planned call; you can always ring."),
}


def band(heading: str, until: datetime.date | None, *jobs: tuple[str, str]) -> dict[str, Any]:
    drawn = [{"words": words, "picture": task(name, words)} for name, words in jobs]
    return {"heading": heading, "until": until, "jobs": drawn, "size": len(drawn)}


def bands(on: dict[str, datetime.date], *, is_untested: bool) -> list[dict[str, Any]]:
    """Few jobs, in the order of time, each with the day it is for."""
    wash = _("Wash what you pick.") if is_untested else _("Wash what you pick. Peel roots.")
    return [
        band(
            _("This week"),
            on["week 1"],
            ("water", _("Water in the morning, till it is wet a finger deep.")),
            ("finger", _("Push a finger in first. Wet? Leave it today.")),
        ),
        band(
            _("This month"),
            on["month 1"],
            ("cover", _("Cardboard shows? Cover it with chips that day.")),
            ("pull", _("Grass at the edge? Pull it up with the root.")),
        ),
        band(
            _("This season"),
            on["season's end"],
            ("water", _("Dry week? Water two or three times, at the root.")),
            ("wash", wash),
            ("shoes", _("Shoes off at the door. Wash hands.")),
        ),
        band(
            _("Each spring"),
            None,
            ("hand", _("Chips as deep as your hand is wide? If not, ring for more.")),
            ("feed", _("A bucket of compost on each bed. Don’t dig it in.")),
        ),
    ]


def beds_built(conversion: Any, patches: Collection[int] | None) -> list[dict[str, Any]]:
    """The agreed beds of the finished patches; of the whole plan before any is finished."""
    conversion = conversion.built_by
    rows = Planned.of(conversion.group).filter(conversion=conversion)
    rows = rows.exclude(complete_on=None) if patches is None else rows.filter(patch__in=patches)
    uids = {str(uid) for uid in rows.values_list("patch__uid", flat=True)}
    beds = papers_of(conversion)[1].get("beds", {}).values()
    return [bed for bed in beds if not uids or bed["patch"] in uids]


def beds_in_words(beds: Iterable[dict[str, Any]]) -> list[str]:
    """ "1 long bed", "8 planting spots": the words of the letter."""
    count = Counter(bed["kind"] for bed in beds)
    words = [
        ("mounded", ngettext("%(n)s long bed", "%(n)s long beds", count["mounded"])),
        ("framed", ngettext("%(n)s bed in a wooden frame", "%(n)s beds in wooden frames", count["framed"])),
        ("pocket", ngettext("%(n)s planting spot", "%(n)s planting spots", count["pocket"])),
    ]
    return [text % {"n": count[kind]} for kind, text in words if count[kind]]


class Fitting:
    """Large pictures with air round them; where that takes a third page, the usual ones."""

    def __init__(self, is_roomy: bool) -> None:
        self.is_roomy = is_roomy

    def __call__(self, _spans: Any, pages: int) -> dict[str, bool] | None:
        if not self.is_roomy or pages <= SIDES:
            return None
        self.is_roomy = False
        return {"is_roomy": False}


def pdf(
    conversion: Any, *, first_on: datetime.date, today: datetime.date, patches: Collection[int] | None = None
) -> bytes:
    """The sheet in the household's language, large where they read large.

    Made again for a later patch it keeps the early jobs, which that patch still needs, without the dates gone by.
    """
    with translation.override(language_of(conversion)):
        page = context(conversion, first_on=first_on, today=today, patches=patches)
        for one in page["bands"]:
            one["until"] = one["until"] if one["until"] and one["until"] >= today else None
        page["is_roomy"] = not page["contact"].large_print
        return paper.render("care/sheet_paper.html", page, refit=Fitting(page["is_roomy"]))


def kept(sheet: CareSheet) -> HttpResponse:
    """The bytes as they were handed over, never drawn again."""
    response = HttpResponse(bytes(sheet.document.content), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="care-sheet-{sheet.n}.pdf"'
    return response
