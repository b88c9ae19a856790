"""The page that a tenant may give to the owner: what would change, what happens afterwards, and room to answer."""

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from conversions.common import measures
from conversions.growing import care_time
from conversions.yards.drawing.ground import depth_words


def paragraphs(site: Mapping[str, Any], takeoff: Mapping[str, Any], units: str) -> list[tuple[str, str]]:
    """(what it is about, what we say of it), in the order an owner asks."""
    return [
        (_("What your tenants would like."), " ".join(_wish(takeoff, units))),
        (_("What touches the ground."), " ".join(_touches(site, takeoff, units))),
        (_("If it goes wrong."), _wrong()),
        (_("Who looks after it."), _care(takeoff)),
        (_("Putting it back."), _back()),
        (_("When your tenants move out."), _moves_out()),
    ]


def _wish(takeoff: Mapping[str, Any], units: str) -> list[str]:
    area = measures.area(takeoff["figures"]["cover"]["value"], units)
    return [
        _("%(area)s of lawn would turn into beds for food and flowers.") % {"area": area},
        _("We lay cardboard on the grass and cover it with wood chips."),
        _("Nothing is paved. Drive, paths and trees stay as they are."),
    ]


def _touches(site: Mapping[str, Any], takeoff: Mapping[str, Any], units: str) -> list[str]:
    trench, strip = takeoff["figures"]["trench"]["value"], site.get("house_strip_m", 0.3)
    said = [_("We do not dig up the lawn.")]
    if trench:
        long = {"long": measures.length(trench, units), "deep": depth_words(site["trench"]["depth_m"], units)}
        said.append(_("We cut one shallow trench along paving, %(long)s long and %(deep)s deep.") % long)
    if strip:
        clear = {"strip": depth_words(strip, units)}
        said.append(_("We leave %(strip)s clear at the house, so that the wall can be seen.") % clear)
    said.append(_("Pipes and wires are marked first, and we dig nothing near the marks."))
    return said


def _wrong() -> str:
    return _(
        "If we break something while we work, we tell you and your tenants the same day and talk about putting it "
        "right. Ask us for the paper that says who is covered."
    )


def _care(takeoff: Mapping[str, Any]) -> str:
    beds_m2 = takeoff["figures"]["beds"]["value"]
    if not beds_m2:
        return _("Your tenants do. We come and look for three years.")
    time = care_time(beds_m2)
    return _("Your tenants do, about %(n)d minutes a week. We come and look for three years.") % {"n": time.usual}


def _back() -> str:
    return _(
        "Wooden frames are lifted off. The beds are raked flat and sown. Grass grows back in about one season. It takes "
        "some bags of seed and a morning of work."
    )


def _moves_out() -> str:
    return _(
        "You choose: the garden stays for whoever comes next, or your tenants put the lawn back. Tick below what you "
        "want. If they leave, ring us: we can show the next people how it works."
    )
