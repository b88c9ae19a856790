"""What the answers of a visit call for: the holds they open, and what the household is told because of them."""

import datetime
from collections.abc import Iterator

from conversions.groups.models import Member
from conversions.people import outbox
from conversions.yards import holds
from conversions.yards.hold_kinds import Call
from conversions.yards.models import Conversion, Hold
from conversions.yards.models.hold import WAITING

from .checklist import Answers, Scope, raised, read_answers
from .questions import NOT_SURE

# "Rented, the owner says yes" calls for it too: the word of a tenant is not the owner's signature.
SAY = {
    "some owners": "owner",
    "rent, open": "owner",
    "rent, yes": "owner",
    "shared": "association",
    "nobody": "owner",
    NOT_SURE: "owner",
}
# Question -> its kind of hold; a "not sure" to any other question is one to find out.
KINDS = {"say": "owner", "grant": "rebate", "pipes": "marks", "septic": "septic", "past": "soil", "public": "strip"}
TELLS = {"septic": "septic-ask", "rebate": "grant-wait"}  # kind of hold -> kind of message


def called(answers: Answers) -> list[Call]:
    """Every hold that the standing answers call for. Who rents needs the owner's yes before anybody has asked, and also
    where an answer speaks of owners: until the yard itself says that they own it, the two do not agree."""
    found = [call for scope in answers.all_scopes() for value in scope.values for call in _calls(scope, value, answers)]
    rents = answers.conversion.household.tenure == "rent"
    if rents and not any(call.kind == "owner" for call in found):
        found.append(Call("owner", said="rent"))
    return found


def waiting(answers: Answers) -> dict[str, list[Call]]:
    """Question -> the holds that its answer opened and that still wait, in the order they are asked."""
    rows = answers.conversion.holds.filter(state__in=WAITING).values_list("kind", "patch", "about")
    still, out = set(rows), {}
    for scope in answers.all_scopes() if still else ():
        for call in (call for value in scope.values for call in _calls(scope, value, answers)):
            if (call.kind, call.patch and call.patch.pk, call.about) in still:
                out.setdefault(scope.question.code, []).append(call)
    return out


def _calls(scope: Scope, value: dict, answers: Answers) -> Iterator[Call]:
    question = scope.question.code
    unsure = [ask.code for ask in scope.question.asks if value.get(ask.code) == NOT_SURE]
    said = ",".join(str(value.get(ask.code, "")) for ask in scope.question.asks)
    here = {"patch": scope.patch, "said": said}
    if question not in KINDS:
        if unsure:
            yield Call("ask", about=question, is_unsure=True, facts={"question": str(scope.question.short)}, **here)
        return
    call = SURE[question](value, here, answers)
    if unsure:
        yield Call(SAY[NOT_SURE] if question == "say" else KINDS[question], is_unsure=True, **here)
    elif call:
        yield call


def _say(value: dict, here: dict, answers: Answers) -> Call | None:
    kind = SAY.get(value.get("right", ""))
    return Call(kind, is_refused=value["right"] == "nobody", **here) if kind else None


def _grant(value: dict, here: dict, answers: Answers) -> Call | None:
    return Call("rebate", **here) if value.get("grant") == "wanted" else None


def _pipes(value: dict, here: dict, answers: Answers) -> Call | None:
    """Marked until a date is a hold that is cleared, and that blocks again once the date has passed."""
    if value.get("public") in ("some", "no"):
        return Call("marks", **here)
    until = value.get("until")
    if value.get("public") != "marked" or not until:
        return None
    here["said"] += f",{until},{value.get('ticket', '')}"
    facts = {"ticket": value.get("ticket", "")}
    return Call("marks", good_until=datetime.date.fromisoformat(until), facts=facts, **here)


def _septic(value: dict, here: dict, answers: Answers) -> Call | None:
    return Call("septic", is_refused=True, **here) if value.get("septic") == "here" else None


def _public(value: dict, here: dict, answers: Answers) -> Call | None:
    return Call("strip", **here) if value.get("public") == "yes" else None


def _past(value: dict, here: dict, answers: Answers) -> Call | None:
    question = next(scope.question for scope in answers.all_scopes() if scope.question.code == "past")
    keys = {row.key for row in raised(question, value, answers.conversion.place) if row.stops}
    if not keys & {"past_use", "lead_stop"}:
        return None
    here["said"] += f",{value.get('lead', '')}"
    return Call("soil", is_refused="lead_stop" in keys, facts={"lead_ppm": str(value.get("lead") or "")}, **here)


SURE = {"say": _say, "grant": _grant, "pipes": _pipes, "septic": _septic, "past": _past, "public": _public}


def follow(*, conversion: Conversion, by: Member) -> list[Hold]:
    """Open and close holds by the answers as they stand now, and queue what the household has to hear. Idempotent."""
    calls = called(read_answers(conversion))
    opened = holds.follow(conversion=conversion, calls=calls, by=by)
    wanted = {kind for call in calls if (kind := TELLS.get(call.kind)) and (call.kind == "rebate" or call.is_unsure)}
    for hold in opened:
        if TELLS.get(hold.kind) in wanted:
            _tell(hold, by)
    unwanted = set(TELLS.values()) - wanted
    outbox.drop(conversion.group, keys=[f"{kind}:{conversion.pk}" for kind in unwanted])
    return opened


def _tell(hold: Hold, by: Member) -> None:
    kind, conversion = TELLS[hold.kind], hold.conversion
    outbox.queue(
        key=f"{kind}:{conversion.pk}",
        kind=kind,
        person=conversion.household.contact,
        by=by,
        conversion=conversion,
        values={"address": conversion.place.address},
    )
