"""The walk round the edge: one form for each shape, and one for a single side."""

import uuid

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions import sizing
from conversions.groups.tenancy import GroupForm

from .. import kinds, limits, measure, walk
from .fields import LengthField, as_written, is_tiny, long_question, tiny_question

TURNS = [("right", gettext_lazy("turn right")), ("left", gettext_lazy("turn left"))]


class PatchForm(GroupForm):
    """A whole patch of one shape. The lengths that are asked for depend on the shape."""

    use_required_attribute = False  # an L may leave two sides blank

    label = forms.CharField(label=gettext_lazy("Name of this patch"), max_length=limits.LONGEST_LABEL, required=False)
    zone = forms.ChoiceField(
        label=gettext_lazy("Where is it?"),
        choices=list(kinds.WHERE_IT_IS.items()),
        initial="front",
        widget=forms.RadioSelect,
    )
    ground_before = forms.ChoiceField(
        label=gettext_lazy("What is there now?"),
        choices=list(kinds.BEFORE.items()),
        initial="lawn",
        widget=forms.RadioSelect,
    )
    why_long = forms.CharField(label=gettext_lazy("Why is it this long?"), max_length=200, required=False)
    uid = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args, shape: str, document: dict, patch: dict | None = None, **kwargs):
        super().__init__(*args, **kwargs)
        self.shape, self.document, self.patch = walk.SHAPES[shape], document, patch
        self.asks_why = False
        self._add_fields()
        self.initial = {**self._initial(), **self.initial}

    def _add_fields(self) -> None:
        units = self.group.units
        for name in self.shape.typed:
            self.fields[f"length_{name}"] = LengthField(
                units=units,
                signed=name == "offset",
                may_follow=self.shape.code == "L",
                required=name != "offset",
                label=self.length_words(name) if name in ("distance", "offset", "across") else _("Length"),
                help_text=_hint(name),
                error_messages={"required": _("Write a length.")},
            )
        for corner in walk.corners_of(self.shape.code):
            self.fields[f"beyond_{corner}"] = forms.ChoiceField(
                label=_("Beyond it"), choices=list(walk.BEYOND.items()), initial=self._usual(corner)
            )
        if self.shape.code == "L":
            for corner in walk.LETTERS[1:]:
                initial = "left" if corner == walk.FIRST_LEFT else "right"
                self.fields[f"turn_{corner}"] = forms.ChoiceField(
                    label=_("At corner %(corner)s") % {"corner": corner},
                    choices=TURNS,
                    initial=initial,
                    widget=forms.RadioSelect,
                )

    def _usual(self, corner: str) -> str:
        """The house stands along the first side of a rectangle; the rest is open until somebody says."""
        return "house" if corner == "A" and self.shape.code == "rectangle" else "open"

    def length_words(self, name: str) -> str:
        words = {
            "distance": _("Distance between the two"),
            "offset": _("How far D lies to the right of A"),
            "across": _("How far across?"),
        }
        return words[name]

    def _initial(self) -> dict:
        if self.patch is None:
            taken = {patch["zone"] for patch in self.document["patches"]}
            free = next((zone for zone in ("front", "back", "side") if zone not in taken), "other")
            return {"uid": uuid.uuid4(), "zone": free}
        typed = self.patch.get("typed", {})
        raw, units = typed.get("lengths", {}), typed.get("units", "metric")
        keep = ("uid", "label", "zone", "ground_before")
        return {
            **{key: self.patch[key] for key in keep},
            "why_long": typed.get("why_long", ""),
            **{f"length_{name}": as_written(text, units, self.group.units) for name, text in raw.items()},
            **{f"beyond_{corner}": code for corner, code in walk.beyond_of(self.patch).items()},
            **{f"turn_{corner}": turn for corner, turn in typed.get("turns", {}).items()},
        }

    @property
    def sides(self) -> list[dict]:
        """The walk in order: each side with its length or what it follows from, and what lies beyond."""
        out = []
        for corner in walk.corners_of(self.shape.code):
            name = "across" if corner == walk.ROUND else corner
            follows = self.shape.follows.get(corner)
            out.append(
                {
                    "corner": corner,
                    "words": walk.side_words(self.shape.code, corner),
                    "length": self[f"length_{name}"] if f"length_{name}" in self.fields else None,
                    "follows": follows and walk.side_words(self.shape.code, follows),
                    "beyond": self[f"beyond_{corner}"],
                    "turn": self[f"turn_{corner}"] if f"turn_{corner}" in self.fields else None,
                }
            )
        return out

    @property
    def apart(self) -> list:
        """Lengths that belong to no single side."""
        return [self[f"length_{name}"] for name in ("distance", "offset") if f"length_{name}" in self.fields]

    def clean(self) -> dict:
        data = super().clean()
        if self.errors:
            return data
        self._ask_about_long(data)
        self._name(data)
        if not self.errors:
            self._close(data)
        return data

    def _ask_about_long(self, data: dict) -> None:
        for name in self.shape.typed:
            length = data.get(f"length_{name}")
            tiny = name != "offset" and is_tiny(length)
            if length and (length.is_absurd or tiny):
                self.asks_why = self.fields["why_long"].required = True
                if not data["why_long"].strip():
                    self.add_error(f"length_{name}", (tiny_question if tiny else long_question)(length))
        if not self.asks_why:
            data["why_long"] = ""

    def _name(self, data: dict) -> None:
        """A name of its own for the patch: as typed, or after where it lies."""
        others = {p["label"] for p in self.document["patches"] if p["uid"] != str(data["uid"])}
        label = data["label"].strip()
        if label in others:
            self.add_error("label", _("Another patch has this name."))
        data["label"] = label or walk.unlike(str(walk.ZONES[data["zone"]]), others)

    def _close(self, data: dict) -> None:
        lengths = {name: data.get(f"length_{name}") for name in self.shape.typed}
        try:
            self.drawn = walk.patch_document(
                uid=str(data["uid"]),
                label=data["label"],
                zone=data["zone"],
                ground_before=data["ground_before"],
                shape=self.shape.code,
                metres={name: length and length.metres for name, length in lengths.items()},
                raw={name: length.as_typed if length else "" for name, length in lengths.items()},
                beyond={corner: data[f"beyond_{corner}"] for corner in walk.corners_of(self.shape.code)},
                turns={c: data[f"turn_{c}"] for c in walk.LETTERS if f"turn_{c}" in data},
                units=self.group.units,
                why_long=data["why_long"].strip(),
                features=(self.patch or {}).get("features"),
            )
            self._check_ground()
        except sizing.SiteError as error:
            self._blame(error)

    def _check_ground(self) -> None:
        """Size the patch alone: what stands in its own way is said here, beside the walk."""
        alone = {**self.document, "patches": [self.drawn], "beds": []}
        if said := limits.too_large(self.drawn, self.group.units):
            raise ValidationError(said)
        found = sizing.check(sizing.read_site(alone))
        if found:
            raise sizing.SiteError(found)

    def _blame(self, error: sizing.SiteError) -> None:
        """Each problem beside the field it is about; the rest above the form."""
        for problem in error.problems:
            part = problem.where.part
            name = part.partition(" to ")[0]
            key = f"length_{name}"
            if name not in self.shape.typed and name in self.shape.follows:
                key = f"length_{self.shape.follows[name]}"
            words = measure.words(problem)
            if problem.code == "does-not-close" and self.shape.code == "L":
                words = " ".join((words, _("Check the lengths and the turns.")))
            self.add_error(key if key in self.fields else None, words)

    @property
    def to_mend(self) -> list[dict]:
        """Where the errors stand, by the name of the side: what the head of a long walk points to."""
        out = []
        for side in self.sides:
            fields = [field for field in (side["length"], side["beyond"], side["turn"]) if field]
            out += [{"id": f"div_{field.auto_id}", "words": side["words"]} for field in fields if field.errors]
        named = [*self.apart, self["zone"], self["label"], self["ground_before"]]
        out += [{"id": f"div_{field.auto_id}", "words": field.label} for field in named if field.errors]
        return out


def _hint(name: str) -> str:
    if name == "offset":
        return _("Nought if they start level. Write -0.5 m if it lies to the left.")
    return ""


def side_data(form: PatchForm, corner: str, length: str | None, beyond: str) -> dict:
    """The whole walk as it was typed, with one side changed: what a form over the whole patch is bound to."""
    data = {name: form.get_initial_for_field(field, name) for name, field in form.fields.items()}
    data = {name: "" if value is None else str(value) for name, value in data.items()}
    data[f"beyond_{corner}"] = beyond
    name = "across" if corner == walk.ROUND else corner
    if length is not None and f"length_{name}" in form.fields:
        data[f"length_{name}"] = length
    return data
