"""The crew sheet: two black and white pages that still work when every phone is flat."""

from typing import Any

from django.utils import timezone
from django.utils.text import Truncator

from conversions.common import pdf as paper
from conversions.visits.cautions import cautions_for
from conversions.yards.drawing import band_words, fitted, plan_svg, set_out
from conversions.yards.drawing.ground import depth_words
from conversions.yards.models import Conversion
from conversions.yards.said import words_of

from .agreed import papers_of, papers_on
from .gates import marks_of, marks_until
from .jobs import hours_over, jobs_of
from .models import Day, SignUp
from .supplies import supplies_of

PLAN_MM = (112.0, 102.0)  # the room for the plan beside the rules of the yard
LOW_MM = 86.0  # as high as it is where that saves a page
SCALES = (50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500)  # every distance stands in the table: any scale will do
WALL_SHOWS_M = 0.15  # of the wall above the soil: common practice, no source
MANY_PEGS = 10  # more rows than this are set closer
USUAL_PAGES = 2
MOST_LETTERS = 160  # of what a household asked for; all of it is on the page of the day
WAYS = (
    *({"things_last": last, "is_tight": tight} for tight in (False, True) for last in (True, False)),
    {"things_last": False, "is_tight": True, "has_low_plan": True},
)
FIRST = ("smell_hiss", "marks")  # these stand in the box on top


def context(day: Day) -> dict[str, Any]:
    """Everything the sheet says. Names only: nobody's number goes round the crew."""
    yards = _yards(day)
    papers = [papers_on(day, conversion) for conversion in day.yards]
    jobs = jobs_of(day, papers)
    coming = SignUp.of(day.group_id).filter(day=day, state__in=["coming", "came"]).select_related("person")
    names = [row.person.name for row in coming]
    cautions = _cautions(day)
    return {
        "group": day.group,
        "day": day,
        "yards": yards,
        "runs_on": len(yards) > 1 or any(len(yard["plans"]) > 1 for yard in yards),
        "has_many": any(len(yard["pegs"]) > MANY_PEGS for yard in yards),
        "marks": marks_of(day),
        "marks_until": marks_until(day),
        "band": band_words(day.group.units, *(site for site, _takeoff in papers)),
        "shows": depth_words(WALL_SHOWS_M, day.group.units),
        "before": [job for job in jobs if job.when == "before"],
        "jobs": [job for job in jobs if job.when == "day"],
        "work_h": sum(job.hours for job in jobs if job.hours),
        "too_long": hours_over(day, jobs),
        "names": names,
        "blanks": range(max(0, min(day.helpers_wanted - len(names), 12)) + 2),
        "aiders": [row.person.name for row in coming if row.person.first_aid],
        "has_minor": any(row.person.under_18 for row in coming),
        "cautions": [caution for caution in cautions if caution.key not in FIRST],
        "first": [caution for caution in cautions if caution.key in FIRST],
        "supplies": supplies_of(day),
        "made_at": timezone.localtime(),
    }


def _yards(day: Day, high_mm: float = PLAN_MM[1]) -> list[dict[str, Any]]:
    return [_yard(day, conversion, n, high_mm) for n, conversion in enumerate(day.yards)]


def _yard(day: Day, conversion: Conversion, n: int, high_mm: float) -> dict[str, Any]:
    """One yard: each patch of the day drawn by itself, as large as its scale allows, with its own distances."""
    site, takeoff = papers_of(conversion)
    patches = [row for row in day.day_patches.all() if row.conversion_id == conversion.pk]
    ours = {str(row.patch.uid) for row in patches}
    rows = set_out(site, takeoff)
    plans = [
        {
            "label": patch["label"],
            "svg": _plan(day, site, takeoff, patch["uid"], f"crew{n}p{m}", high_mm),
            "pegs": [row for row in rows if row.patch == patch["uid"]],
            "is_round": bool(patch.get("circle")),
        }
        for m, patch in enumerate(site.get("patches", []))
        if patch["uid"] in ours
    ]
    pegs = [peg for plan in plans for peg in plan["pegs"]]
    half = (len(pegs) + 1) // 2
    return {
        "conversion": conversion,
        "place": conversion.place,
        "household": conversion.household.contact.name,
        "asked": [
            Truncator(said.words).chars(MOST_LETTERS) for said in words_of(conversion) if said.who and said.words
        ],
        "plans": plans,
        "pegs": pegs,
        "halves": [pegs[:half], pegs[half:]],
        "rims": [(plan["label"], plan["pegs"][0].base_m) for plan in plans if plan["is_round"] and plan["pegs"]],
        "patches": patches,
    }


def _plan(day: Day, site: dict, takeoff: dict, uid: str, prefix: str, high_mm: float) -> str:
    look = {"prefix": prefix, "patch": uid, "setout": True, "bw": True, "units": day.group.units}
    wide = PLAN_MM[0]
    _scale, svg = fitted(site, takeoff, scales=SCALES, width_mm=wide, height_mm=high_mm, **look)
    return svg or plan_svg(site, takeoff, paper=True, scale=SCALES[-1], width_mm=wide, **look)


def _cautions(day: Day) -> list:
    """Each caution once, however many of the yards raise it."""
    found = {}
    for conversion in day.yards:
        for caution in cautions_for(conversion):
            found.setdefault(caution.key, caution)
    return list(found.values())


class Fitting:
    """Tries the ways of setting the sheet in turn until it is two pages; else takes the one of the fewest."""

    def __init__(self, day: Day, yards: list[dict[str, Any]]) -> None:
        self.day, self.yards, self.pages = day, yards, []

    def __call__(self, _spans: Any, pages: int) -> dict[str, Any] | None:
        if len(self.pages) == len(WAYS):
            return None
        self.pages.append(pages)
        if pages <= USUAL_PAGES:
            return None
        if len(self.pages) < len(WAYS):
            return self.way(len(self.pages))
        best = self.pages.index(min(self.pages))
        return self.way(best) if best < len(WAYS) - 1 else None

    def way(self, n: int) -> dict[str, Any]:
        way = WAYS[n]
        return way | {"yards": _yards(self.day, LOW_MM) if way.get("has_low_plan") else self.yards}


def pdf(day: Day) -> bytes:
    """The sheet as printed; made outside any transaction."""
    first = context(day)
    return paper.render("builds/crew_sheet.html", first | WAYS[0], refit=Fitting(day, first["yards"]))
