"""What must be ready before a day may run. Stop is for harm, law and money; supplies and people are Missing."""

import datetime
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from conversions.common.dates import date_format
from conversions.visits.checklist import current_answers, stops
from conversions.visits.effects import KINDS
from conversions.visits.texts import CAUTIONS
from conversions.yards import holds
from conversions.yards.hold_kinds import BUILDING
from conversions.yards.models import Hold

from .agreed import quote_of
from .models import Day, SignUp
from .supplies import supplies_of

TICKS = ("cardboard", "chips", "compost")
MARKS = {
    "asked": gettext_lazy("Asked, no marks yet"),
    "marked": gettext_lazy("Marked until…"),
    "none": gettext_lazy("They say nothing runs here"),
}
MARK_CAUTIONS = ("not_marked", "marks_ran_out")
MARKS_URGENT_DAYS = 3  # this close to the day, ground nobody has marked is a Stop and no longer Missing


@dataclass(frozen=True)
class Gate:
    key: str
    words: str
    state: str  # ok, missing or stop
    why: str
    tag: str  # one or two words for the list
    icon: str = "tick"
    fact: str = ""  # what can be ticked here
    yard: int | None = None  # the yard to open


def ready(day: Day) -> list[Gate]:
    """Every gate of a day: first what stops it, then what is missing, then what is there."""
    yards = day.yards
    found = list(Hold.of(day.group_id).filter(conversion__in=yards).select_related("group", "patch"))
    quotes = [quote_of(yard) for yard in yards]
    barring = [(yard, row) for yard in yards for row in _stops(day, yard, found)]
    gates = [
        _agreed(yards, quotes),
        *_held(day, barring, found),
        _digging(day, barring),
        _marks(day, found),
        _rain(day),
        *_supplies(day, quotes),
        _helpers(day),
    ]
    order = {"stop": 0, "missing": 1, "ok": 2}
    return sorted(gates, key=lambda gate: order[gate.state])


def _short(date: datetime.date) -> str:
    return date_format(date, "D j M")


def _agreed(yards: list, quotes: list) -> Gate:
    words = _("They said yes")
    without = [yard for yard, quote in zip(yards, quotes, strict=True) if quote is None]
    if not without:
        return Gate("agreed", words, "ok", _("The quote is agreed."), _("Agreed"), "paper")
    why = _("%s: no quote is agreed. Nobody works on ground without a yes.") % without[0].place.address
    return Gate("agreed", words, "stop", why, _("Stop"), "paper", yard=without[0].pk)


def _held(day: Day, barring: list, found: list[Hold]) -> list[Gate]:
    """Who else must say yes, and what must be known: holds that no answer of the visit tells of already."""
    if day.kind != "build":
        return []
    here, days = {row.patch_id for row in day.day_patches.all()}, [("build", day.held_on), ("rain", day.rain_on)]
    told = {(yard.pk, KINDS.get(row["question"])) for yard, row in barring}
    reasons: dict[str, Hold] = {}
    for hold in found:
        words = holds.why_here(hold, BUILDING, days)
        elsewhere = hold.patch_id is not None and hold.patch_id not in here
        if (
            words
            and not elsewhere
            and hold.kind not in ("marks", "ask")
            and (hold.conversion_id, hold.kind) not in told
        ):
            reasons.setdefault(words, hold)
    if not reasons:
        return []
    first = next(iter(reasons.values()))
    words = _("Everybody’s yes")
    return [Gate("held", words, "stop", " ".join(reasons), _("Stop"), "paper", yard=first.conversion_id)]


def _stops(day: Day, yard, found: list[Hold]) -> list[dict]:
    """What the answers of a yard stop, less what a person settled since they were given."""
    ours = [hold for hold in found if hold.conversion_id == yard.pk and hold.kind != "marks"]
    settled = {(hold.kind, hold.patch_id) for hold in ours if hold.is_settled and hold.cleared_by_id}
    rows = [(row, KINDS.get(row["question"])) for row in stops(yard, on=day.held_on)]
    return [row for row, kind in rows if not settled & {(kind, None), (kind, row["patch"] and row["patch"].pk)}]


def _digging(day: Day, barring: list) -> Gate:
    """The safety questions; unanswered ones block the spade, not the planning."""
    words = _("Clear to dig")
    here = {row.patch_id for row in day.day_patches.all()}
    found = [(yard, row) for yard, row in barring if _is_ours(row, here)]
    if not found:
        return Gate("digging", words, "ok", _("The visit found nothing that stops the spade."), _("Clear"), "tools")
    barred = [_barred(row) for _yard, row in found if row["kind"] == "stop"]
    open_questions = [str(stop["words"]) for _yard, stop in found if stop["kind"] != "stop"]
    parts = list(dict.fromkeys(barred))
    if open_questions:
        parts.append(_("Not answered yet: %s.") % "; ".join(q.rstrip("?.") for q in dict.fromkeys(open_questions)))
    why = " ".join(parts)
    return Gate("digging", words, "stop", why, _("Stop"), "tools", yard=found[0][0].pk)


def _is_ours(row: dict, here: set[int]) -> bool:
    """A stop on a patch that is not built this day stops nothing; the marks have a gate of their own."""
    if row["patch"] is not None and row["patch"].pk not in here:
        return False
    return row["kind"] != "stop" or str(row["words"]) not in {str(CAUTIONS[key].title) for key in MARK_CAUTIONS}


def _barred(row: dict) -> str:
    where = f" ({row['patch'].label})" if row["patch"] else ""
    return f"{row['words']}{where}: {row['why']}"


def marks_of(day: Day, found: list[Hold] | None = None) -> dict:
    """What is known of the marks: as typed for this day, else as they hold or were found on every yard."""
    typed = day.facts.get("marks")
    if typed:
        return typed
    if found is None:
        found = list(Hold.of(day.group_id).filter(conversion__in=day.yards))
    held = {hold.conversion_id: hold for hold in found if hold.kind == "marks"}
    facts = [_yard_marks(yard, held.get(yard.pk)) for yard in day.yards]
    if not facts or not all(facts):
        return {}
    first = min(facts, key=lambda fact: fact["until"])
    return first | {"ticket": ", ".join(fact["ticket"] for fact in facts if fact["ticket"])}


def _yard_marks(yard, hold: Hold | None) -> dict:
    """What the visit found, unless somebody asked the service again since: then what it answers."""
    return _visited_marks(yard) if hold is None or hold.state == "not needed" else _held_marks(hold)


def _held_marks(hold: Hold) -> dict:
    if hold.state != "cleared" or not hold.valid_until:
        return {}
    return {"state": "marked", "until": hold.valid_until.isoformat(), "ticket": hold.facts.get("ticket", "")}


def _visited_marks(yard) -> dict:
    entry = current_answers(yard).get("pipes")
    value = entry.value if entry else {}
    if value.get("public") != "marked" or not value.get("until"):
        return {}
    return {"state": "marked", "until": value["until"], "ticket": value.get("ticket", "")}


def marks_until(day: Day) -> datetime.date | None:
    text = marks_of(day).get("until")
    return datetime.date.fromisoformat(text) if text else None


def _marks(day: Day, found: list[Hold]) -> Gate:
    """The marks must outlive the build day; when they die before the rain date, that date is dead too."""
    fact = marks_of(day, found)
    state, why, tag = _marks_say(day, fact)
    return Gate("marks", _("Pipes and wires marked"), state, why, tag, "util", fact="marks")


def _marks_say(day: Day, fact: dict) -> tuple[str, str, str]:
    state, ticket = fact.get("state"), fact.get("ticket", "")
    stop, missing = _("Stop"), _("Missing")
    if state == "none":
        return "ok", _("Nothing runs here, says %s. Private pipes are never marked: ask.") % ticket, _("Asked")
    if state == "marked":
        until = datetime.date.fromisoformat(fact["until"])
        if until < day.held_on:
            why = _("The marks run out on %s, before the day. Ask again: nobody digs by old marks.")
            return "stop", why % _short(until), stop
        if day.rain_on and until < day.rain_on:
            end = {"until": date_format(until, "j M"), "on": date_format(day.rain_on, "j M")}
            why = _(
                "The marks are good until %(until)s; the rain date is %(on)s. Ask again, or choose an earlier rain date."
            )
            return "stop", why % end, stop
        why = _("Ticket %s.") % ticket if ticket else _("Leave paint and flags standing.")
        return "ok", why, _("Marked until %s") % date_format(until, "j M")
    if (day.held_on - day.group.today()).days <= MARKS_URGENT_DAYS:
        return "stop", _("Nobody digs before the locating service has marked the ground."), stop
    if state == "asked":
        return "missing", _("Asked on %s, no marks yet.") % _short(_noted(fact)), missing
    return "missing", _("Ask your locating service, and write down how long the marks are good."), missing


def _noted(fact: dict) -> datetime.date:
    return datetime.date.fromisoformat(fact["on"])


def _rain(day: Day) -> Gate:
    words = _("Rain date")
    if day.rain_on:
        return Gate("rain", words, "ok", _("Held for bad weather."), _short(day.rain_on), "away")
    why = _("Give it a second date, so that rain costs nobody a morning.")
    return Gate("rain", words, "missing", why, _("Missing"), "away")


def _supplies(day: Day, quotes: list) -> list[Gate]:
    amounts = supplies_of(day, quotes)
    names = {"cardboard": _("Cardboard"), "chips": _("Wood chips"), "compost": _("Compost")}
    gates = []
    for key, amount in amounts.items():
        if key == "compost" and not amount:
            continue
        gates.append(_supply(day, key, f"{names[key]}, {amount}" if amount else names[key]))
    return gates


def _supply(day: Day, key: str, words: str) -> Gate:
    fact = day.facts.get(key) or {}
    if fact.get("ready"):
        why = _("Ticked by %(who)s, %(on)s") % {"who": fact["by"], "on": _short(_noted(fact))}
        return Gate(key, words, "ok", why, _("Here"), "load", fact=key)
    why = {
        "cardboard": _("Plain brown card, flat, tape and staples off."),
        "chips": _("On site before people come."),
        "compost": _("On site, with a bean test of this heap if you can: two to three weeks."),
    }[key]
    return Gate(key, words, "missing", why, _("Missing"), "load", fact=key)


def _helpers(day: Day) -> Gate:
    coming = SignUp.of(day.group_id).filter(day=day, state__in=["coming", "came"]).count()
    values = {"coming": coming, "wanted": day.helpers_wanted}
    words = _("Helpers")
    tag = _("%(coming)s of %(wanted)s") % values
    if coming >= day.helpers_wanted:
        return Gate("helpers", words, "ok", _("Enough hands have said yes."), tag, "people")
    gap = day.helpers_wanted - coming
    words = ngettext("%s more helper", "%s more helpers", gap) % gap
    why = _("%(coming)s of %(wanted)s have said yes. Ask by name.") % values
    return Gate("helpers", words, "missing", why, _("Missing"), "people")
