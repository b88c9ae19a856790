"""The words for what stands beside a figure: labels of one word and tasks; longer labels of the engine are texts."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.sizing.zones import KEPT_ORDER

WORDS = {
    "section": gettext_lazy("section"),
    "swell": gettext_lazy("swell"),
    "layers": gettext_lazy("layers"),
    "lap": gettext_lazy("lap"),
    "sheets": gettext_lazy("sheets"),
    "mass": gettext_lazy("mass"),
    "depth": gettext_lazy("depth"),
    "settling": gettext_lazy("settling"),
    "barrows": gettext_lazy("barrows"),
    "density": gettext_lazy("density"),
    "payload": gettext_lazy("payload"),
    "pace": gettext_lazy("pace"),
    "mornings": gettext_lazy("mornings"),
    "mow_short": gettext_lazy("mowing short"),
    "cardboard_strip_tape_staples": gettext_lazy("stripping tape and staples"),
    "mark_out": gettext_lazy("setting out"),
    "edge_trench_light": gettext_lazy("cutting the trench in light soil"),
    "edge_trench_medium": gettext_lazy("cutting the trench in medium soil"),
    "edge_trench_heavy": gettext_lazy("cutting the trench in heavy soil"),
    "cardboard_wet": gettext_lazy("wetting the card"),
    "cardboard_lay": gettext_lazy("laying the card"),
    "frame_bed_precut": gettext_lazy("building framed beds"),
    "chips_move_and_spread": gettext_lazy("moving and spreading chips"),
    "fill_bed_compost": gettext_lazy("filling framed beds"),
    "mound_bed_compost": gettext_lazy("heaping mounded beds"),
    "planting_pocket": gettext_lazy("making planting pockets"),
    "seed_rows": gettext_lazy("planting and sowing"),
    "water_in": gettext_lazy("watering in"),
    "brief_and_setup": gettext_lazy("sign-in, safety talk, tools"),
    "tidy_and_pack": gettext_lazy("tidying and packing up"),
}
UNITS = {
    "days": gettext_lazy("days"),
    "degrees": gettext_lazy("degrees"),
    "units": gettext_lazy("units"),
    "s": gettext_lazy("seconds"),
    "m/s": gettext_lazy("metres a second"),
    "h/m": gettext_lazy("hours a metre"),
    "h/m2": gettext_lazy("hours a m²"),
    "h/m3": gettext_lazy("hours a m³"),
    "h/100 m2": gettext_lazy("hours for 100 m²"),
    "h/bed": gettext_lazy("hours a bed"),
    "h/pocket": gettext_lazy("hours a pocket"),
    "h/yard": gettext_lazy("hours a yard"),
    "h/person": gettext_lazy("hours a person"),
}


def said(label: str) -> str:
    """A label of the engine in the reader's language; the name of a patch stays as it is, before what is kept of it."""
    if label in WORDS:
        return str(WORDS[label])
    if not label:  # a patch without a name; the text of nothing is the head of the .po
        return ""
    patch, colon, reason = label.rpartition(": ")
    return f"{patch}{colon}{_(reason)}" if colon and reason in KEPT_ORDER else _(label)
