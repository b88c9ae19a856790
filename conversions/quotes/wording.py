"""What a plan says in words, from the take-off, the lines and the dates; no names, so that it can be frozen."""

import datetime
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from conversions.common import measures, money
from conversions.common.dates import date_format, time_format
from conversions.growing import care_time

from .pricing import LineValues
from .units import counted

HAND_M = (Decimal("0.08"), Decimal("0.10"))  # about how wide a grown-up's hand is: common knowledge, no source
PLAIN_NAMES = {
    "cardboard": gettext_lazy("the cardboard"),
    "chips": gettext_lazy("the wood chips"),
    "work": gettext_lazy("our work"),
    "tools": gettext_lazy("the tools"),
    "compost": gettext_lazy("compost"),
    "compost delivery": gettext_lazy("its delivery"),
    "frame": gettext_lazy("the wooden frame"),
    "plants": gettext_lazy("the plants"),
    "soil test": gettext_lazy("a soil test"),
}


def plain_name(line: LineValues) -> str:
    """How a sentence names a line: "the wooden frame"; what is not in the book by its own words."""
    return line.name or str(PLAIN_NAMES[line.item])


NUMBERS = [
    gettext_lazy("no"), gettext_lazy("one"), gettext_lazy("two"), gettext_lazy("three"), gettext_lazy("four"),
    gettext_lazy("five"), gettext_lazy("six"), gettext_lazy("seven"), gettext_lazy("eight"), gettext_lazy("nine"),
    gettext_lazy("ten"), gettext_lazy("eleven"), gettext_lazy("twelve"),
]  # fmt: skip


def number(n: int) -> str:
    """`number(3) == "three"`; figures from thirteen on."""
    return str(NUMBERS[n]) if 0 <= n < len(NUMBERS) else str(n)


def listed(parts: Iterable[object]) -> str:
    """`listed(["a", "b", "c"]) == "a, b and c"`."""
    words = [str(part) for part in parts]
    if len(words) < 2:
        return "".join(words)
    return _("%(first)s and %(last)s") % {"first": ", ".join(words[:-1]), "last": words[-1]}


def sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def day(on: datetime.date, year: bool = False) -> str:
    """`day(date(2026, 5, 9)) == "Saturday 9 May"`."""
    return date_format(on, "l j F Y" if year else "l j F")


def clock(starts: datetime.time, ends: datetime.time) -> str:
    return _("%(starts)s to %(ends)s") % {
        "starts": time_format(starts, "G:i"),
        "ends": time_format(ends, "G:i"),
    }


def beds_in_words(takeoff: Mapping[str, Any]) -> list[str]:
    """The words of the letter: long bed, bed in a wooden frame, planting spot."""
    kinds = [bed["kind"] for bed in takeoff["beds"].values()]
    forms = [
        ("mounded", ngettext("%(n)s long bed", "%(n)s long beds", kinds.count("mounded"))),
        ("framed", ngettext("%(n)s bed in a wooden frame", "%(n)s beds in wooden frames", kinds.count("framed"))),
        ("pocket", ngettext("%(n)s small planting spot", "%(n)s small planting spots", kinds.count("pocket"))),
    ]
    return [words % {"n": number(kinds.count(kind))} for kind, words in forms if kind in kinds]


def depth(metres: float) -> str:
    if HAND_M[0] <= Decimal(str(metres)) <= HAND_M[1]:
        return _("as deep as your hand is wide")
    return _("%(cm)s cm deep") % {"cm": measures.number(metres * 100)}


def what(site: Mapping[str, Any], takeoff: Mapping[str, Any]) -> str:
    layers = site["cardboard"]["layers"]
    parts = [
        _("We do not dig up your lawn."),
        ngettext(
            "We lay %(n)s layer of plain cardboard on the grass.",
            "We lay %(n)s layers of plain cardboard on the grass.",
            layers,
        )
        % {"n": number(layers)},
        _("We cover it with wood chips, %(depth)s.") % {"depth": depth(site["mulch"]["depth_m"])},
    ]
    if takeoff["figures"]["trench"]["value"]:
        parts.append(_("Along paving we cut a shallow trench, to tuck the card in."))
    beds = beds_in_words(takeoff)
    if beds:
        parts.append(_("On top we make %(beds)s, filled with compost.") % {"beds": listed(beds)})
    parts.append(_("The grass dies in the dark and feeds the soil."))
    if any(feature["kind"] == "tree" for patch in site["patches"] for feature in patch.get("features", ())):
        parts.append(_("Your tree stays."))
    if any(patch["kept_m2"].get("fire strip") for patch in takeoff["patches"].values()):
        parts.append(_("Along what can burn we leave a strip free: chips burn too, and the fire rules ask for it."))
    return " ".join(parts)


def when(offered_on: datetime.date | None, rain_on: datetime.date | None, hours: str = "") -> str:
    if offered_on is None:
        return _("We find a day together once you say yes. The work is done in one long morning.")
    on = {"day": day(offered_on), "hours": hours}
    said = [_("We come on %(day)s, %(hours)s.") % on if hours else _("We come on %(day)s.") % on]
    if rain_on:
        said.append(_("If the weather is bad, we come on %(day)s.") % {"day": day(rain_on)})
    said.append(_("A heap of chips comes a day or two before. We ask you where it may stand."))
    return " ".join(said)


def pay(lines: list[LineValues], total: Decimal, shown: Any, deposit: Decimal | None = None) -> str:
    digits = shown.minor_digits
    there = [line for line in lines if line.is_in and line.item != "grant"]
    paid = [plain_name(x) for x in there if x.paid_by == "household" and x.amount(digits)]
    others = [plain_name(x) for x in there if x.paid_by != "household" and x.amount(digits)]
    yours = [plain_name(x) for x in there if x.brought_by == "household"]
    free = [plain_name(x) for x in there if x.amount(digits) == 0 and x.brought_by != "household"]
    given = money.total((x.amount(digits) for x in lines if x.is_in and x.item == "grant"), digits)
    parts = [_("Nothing.")]
    if paid:
        parts = [_("%(total)s in all: %(things)s.") % {"total": money.shown(total, shown), "things": listed(paid)}]
    if given:
        parts.append(_("A grant of %(amount)s has come off already.") % {"amount": money.shown(abs(given), shown)})
    if deposit:
        parts.append(_("We ask for %(amount)s of it before the day.") % {"amount": money.shown(deposit, shown)})
    if others:
        parts.append(sentence(_("%(things)s: paid by others, not by you.") % {"things": listed(others)}))
    if free:
        parts.append(_("You pay nothing for %(things)s.") % {"things": listed(free)})
    if yours:
        parts.append(_("You bring %(things)s.") % {"things": listed(yours)})
    return " ".join([*parts, *if_not_free(lines, shown)])


def if_not_free(lines: Iterable[LineValues], shown: Any) -> list[str]:
    """When a gift does not come: who decides, and at most how much it costs them."""
    gifts = [line for line in lines if line.is_in and line.brought_by == "free"]
    said = []
    for decider in ("household", "group"):
        theirs = [line for line in gifts if line.if_not_free_by == decider]
        if theirs:
            said.append(_not_free(theirs, decider, shown))
    return said


def _not_free(gifts: list[LineValues], decider: str, shown: Any) -> str:
    """Whole sentences, one for each case, so that every language can put them in its own order."""
    is_chips = [line.item for line in gifts] == ["chips"]
    known = [line.if_not_free(shown.minor_digits) for line in gifts]
    if decider == "group":
        words = _("If what is given free does not come, we buy it and pay for it.")
        return _("If the free chips do not come, we buy some and pay for them.") if is_chips else words
    if None in known:
        words = _("If what is given free does not come, you decide. We buy nothing before you know the price.")
        chips = _("If the free chips do not come, you decide. We buy none before you know the price.")
        return chips if is_chips else words
    most = {"amount": money.shown(money.total(known, shown.minor_digits), shown)}
    words = _("If what is given free does not come, you decide. To buy it would cost you %(amount)s at most.")
    chips = _("If the free chips do not come, you decide. To buy some would cost you %(amount)s at most.")
    return (chips if is_chips else words) % most


def ring(group: Any, caller: str) -> str:
    """Whom to ring, on what number and when; nothing where the group has no phone."""
    who = {"name": caller, "phone": group.phone, "hours": group.phone_hours}
    if not group.phone:
        return ""
    if not group.phone_hours:
        return _("Ring %(name)s on %(phone)s.") % who
    return _("Ring %(name)s on %(phone)s, %(hours)s.") % who


def to_do(takeoff: Mapping[str, Any], offered_on: datetime.date | None) -> list[str]:
    before = _("Before the day: move toys, pots and the car.")
    if offered_on:
        eve = offered_on - datetime.timedelta(1)
        before = _("By %(day)s: move toys, pots and the car.") % {"day": date_format(eve, "l")}
    rows = [
        before,
        _("Leave any paint and flags on the grass. If you mow, mow round them."),
        _("Please do not dig, spray or kill the grass."),
        _(
            "On the day: be at home, and let us use your tap. Help if you like. If you can’t, tell us. It costs you nothing."
        ),
    ]
    beds_m2 = takeoff["figures"]["beds"]["value"]
    if beds_m2:
        time = care_time(beds_m2)
        rows.append(
            _(
                "After: water the young plants, then about %(usual)d minutes a week, up to %(busiest)d in the first high summer."
            )
            % {"usual": time.usual, "busiest": time.busiest}
        )
    return rows


def cannot_promise() -> str:
    return _(
        "Some grass comes back at the edges. Ring us: help is free in the first year. "
        "The chips sink. Small mushrooms may come: do not eat them."
    )


def later() -> list[tuple[str, str]]:
    """What it looks like when. Common practice, no source."""
    return [
        (_("On the day"), _("Plain chips and small plants. It looks bare at first, and smells of wood.")),
        (_("After a month"), _("The chips turn grey and sink a little. The plants have taken hold.")),
        (_("In summer"), _("It is green and full. Slugs come too: pick them off at dusk.")),
        (_("In winter"), _("It rests. Leave the old roots in, and keep the beds covered.")),
        (_("In the second year"), _("The old grass has turned to soil. You plant straight into it.")),
        (_("Ill or away?"), _("Ring us before the plants go dry. We help you find someone to water.")),
    ]


def how_much(line: LineValues, takeoff: Mapping[str, Any], units: str) -> str:
    """A quantity as the household reads it; work as people and a morning, never as hours that look like a bill."""
    if line.unit == "m3":
        return f"{measures.volume(line.quantity, units)} ({measures.volume(line.quantity, measures.other(units))})"
    if line.item == "work":
        people = int(takeoff["figures"]["people"]["value"])
        return ngettext("%(n)d helper", "%(n)d helpers", people) % {"n": people}
    return counted(line.quantity, line.unit)


def detail(item: str, site: Mapping[str, Any], takeoff: Mapping[str, Any], units: str) -> str:
    """The small print under a line's name: what the figure stands for in this yard."""
    figures = takeoff["figures"]
    if item == "cardboard":
        layers, (long, wide) = site["cardboard"]["layers"], site["cardboard"]["sheet_m"]
        return ngettext(
            "plain, no tape; %(layers)s layer of %(long)s × %(wide)s",
            "plain, no tape; %(layers)s layers of %(long)s × %(wide)s",
            layers,
        ) % {
            "layers": number(layers),
            "long": measures.length(long, units),
            "wide": measures.length(wide, units),
        }
    if item == "chips":
        loads = int(figures["chips_loads"]["value"])
        return ngettext("%(n)s load", "%(n)s loads", loads) % {"n": number(loads)}
    if item == "work":
        return _("about %(hours)s hours on the day") % {"hours": measures.number(figures["clock_hours"]["value"], 1)}
    if item == "frame":
        sizes = dict.fromkeys(_frame(bed, units) for bed in site["beds"] if bed["kind"] == "framed")
        return "; ".join(sizes)
    fixed = {
        "tools": _("gloves and a first-aid box with them"),
        "plants": _("the first season"),
        "soil test": _("sent off with your help"),
    }
    return fixed.get(item, "")


def _frame(bed: Mapping[str, Any], units: str) -> str:
    return _("%(long)s × %(wide)s, %(high)s high") % {
        "long": measures.length(bed["length_m"], units),
        "wide": measures.length(bed["width_m"], units),
        "high": measures.length(bed["height_m"], units),
    }
