"""How a hold stands: asked, cleared with its dates and papers, refused, or not needed."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from conversions.common.photos import PhotoRefused, accept
from conversions.groups.models import Member
from conversions.groups.tenancy import GroupForm

from ..models import Hold

PAPER_MOST = 8_000_000
CHOICES = [
    ("asked", _("Asked, no answer yet")),
    ("cleared", _("Yes, it is there")),
    ("refused", _("They said no")),
    ("not needed", _("Not needed")),
]
CLEARED = {
    "marks": _("Marked, and we hold the ticket"),
    "soil": _("Tested, and we may work"),
    "septic": _("Found: we may build here"),
    "owner": _("The owner signed"),
    "rebate": _("Given: we may start"),
}
REFUSED = {
    "soil": _("Not fit for our work"),
    "septic": _("It lies here: we do not build"),
    "marks": _("They do not mark here"),
}
# What else is asked, by kind.
ASKED = {
    "owner": ("page", "seen_by", "valid_from", "valid_until"),
    "association": ("page", "seen_by", "valid_from", "valid_until"),
    "strip": ("page", "seen_by", "valid_from", "valid_until"),
    "rebate": ("page", "reserved_m2", "valid_until"),
    "marks": ("ticket", "valid_from", "valid_until"),
    "soil": ("page", "lead_ppm"),
    "septic": ("seen_by",),
    "ask": (),
}
FACTS = ("ticket", "seen_by", "reserved_m2", "lead_ppm")
ENDS = {
    "owner": _("They rent until, or the yes is good until"),
    "rebate": _("Last day to finish"),
    "marks": _("Marked until"),
}
SEEN = {"septic": _("Who found it out, and how")}
DATE = {"type": "date"}


class MemberChoice(forms.ModelChoiceField):
    def label_from_instance(self, member: Member) -> str:
        return str(member)


def _date(label: Any, **more: Any) -> forms.DateField:
    return forms.DateField(label=label, required=False, widget=forms.DateInput(DATE, format="%Y-%m-%d"), **more)


class HoldForm(GroupForm):
    state = forms.ChoiceField(
        label=_("How does it stand?"), widget=forms.RadioSelect, error_messages={"required": _("Choose how it stands.")}
    )
    page = forms.FileField(label=_("A picture of the signed page, or a PDF"), required=False)
    seen_by = forms.CharField(label=_("Or on paper, seen by"), max_length=120, required=False)
    ticket = forms.CharField(label=_("Ticket number"), max_length=60, required=False)
    reserved_m2 = forms.CharField(
        label=_("Area they reserved, as written in their letter"), max_length=40, required=False
    )
    lead_ppm = forms.IntegerField(label=_("Lead, ppm"), min_value=0, max_value=99_999, required=False)
    valid_from = _date(_("Good from"))
    valid_until = _date(_("Good until"))
    who = MemberChoice(None, label=_("Who sees to it"), required=False, empty_label=_("Nobody yet"))
    due_on = _date(_("By when"))
    revision = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, hold: Hold, **kwargs: Any):
        kept = {name: hold.facts.get(name, "") for name in FACTS}
        kept |= {name: getattr(hold, name) for name in ("valid_from", "valid_until", "who", "due_on", "revision")}
        state = "" if hold.state in ("open", "overridden") else hold.state
        kwargs["initial"] = kept | {"state": state} | kwargs.get("initial", {})
        super().__init__(*args, group=hold.group, **kwargs)
        self.hold = hold
        self.fields["who"].queryset = Member.of(hold.group).filter(ended_on=None).select_related("user")
        for name in ("page", *FACTS, "valid_from", "valid_until"):
            if name not in ASKED[hold.kind]:
                del self.fields[name]
        words = dict(CHOICES) | {"cleared": CLEARED.get(hold.kind, CHOICES[1][1])}
        words["refused"] = REFUSED.get(hold.kind, words["refused"])
        self.fields["state"].choices = [("asked", words["asked"])] if hold.kind == "ask" else list(words.items())
        if "valid_until" in self.fields:
            self.fields["valid_until"].label = ENDS.get(hold.kind, self.fields["valid_until"].label)
        if "seen_by" in self.fields:
            self.fields["seen_by"].label = SEEN.get(hold.kind, self.fields["seen_by"].label)

    def clean_page(self) -> bytes:
        """The bytes to keep: a PDF as it came, a picture upright and without its position."""
        file = self.cleaned_data.get("page")
        if not file:
            return b""
        if file.size > PAPER_MOST:
            raise ValidationError(_("This file is over 8 MB. Take a smaller picture of the page."))
        if file.read(5) == b"%PDF-":
            return b"%PDF-" + file.read()
        try:
            return accept(file).view_bytes
        except PhotoRefused as refused:
            raise ValidationError(str(refused)) from refused

    def said(self) -> dict[str, Any]:
        """What `holds.settle` takes."""
        data = self.cleaned_data
        facts = {name: str(data[name]) for name in FACTS if data.get(name) not in (None, "")}
        rows = {name: data[name] for name in ("valid_from", "valid_until", "who", "due_on") if name in data}
        return {"state": data["state"], "revision": data["revision"], "facts": facts, **rows}


class ReasonForm(forms.Form):
    """Why we go on in spite of it."""

    reason = forms.CharField(
        label=_("Why we go on without it"), max_length=240, error_messages={"required": _("Write why.")}
    )
