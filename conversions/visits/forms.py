"""The forms of a visit: when somebody goes, and the answers to the questions."""

import datetime
import hashlib
import uuid
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from conversions.common.measures import NotALength
from conversions.groups.models import Member
from conversions.groups.tenancy import GroupForm

from . import lengths
from .models import Entry
from .questions import ALL, Ask, Detail, Question

ABSURD_DAYS = 400
_WHOLE_PPM, _WHOLE = _("Write a whole number of ppm, such as 85."), _("Write a whole number, such as 12.")
MOST_LEAD = 200_000  # ppm; more than a fifth of the soil is a slip of the finger


def visiting_members(group: Any) -> Any:
    """Those who may go: organisers and visitors who are still with the group."""
    return (
        Member.of(group)
        .filter(Q(is_visitor=True) | Q(is_organiser=True), ended_on=None)
        .select_related("user")
        .order_by("pk")
    )


def wall_time(group: Any, on: datetime.date, at: datetime.time) -> datetime.datetime:
    """The instant at which a clock on the wall there shows this; refused where clocks skip that hour."""
    zone = ZoneInfo(group.zone)
    wall = datetime.datetime.combine(on, at)
    aware = wall.replace(tzinfo=zone)
    if aware.astimezone(datetime.UTC).astimezone(zone).replace(tzinfo=None) != wall:
        raise forms.ValidationError(_("Clocks go forward that night and skip this hour. Choose another."))
    return aware


class MembersField(forms.ModelMultipleChoiceField):
    """A number too large for any row is nobody's; the database would fall over it."""

    def clean(self, value: Any) -> Any:
        try:
            return super().clean(value)
        except OverflowError as error:
            raise forms.ValidationError(self.error_messages["invalid_list"], code="invalid_list") from error


class VisitForm(GroupForm):
    """When somebody goes. Who goes is asked only where more than one member visits."""

    on = forms.DateField(
        label=_("Day"),
        error_messages={"required": _("Write the day.")},
        widget=forms.DateInput({"type": "date"}, "%Y-%m-%d"),
    )
    at = forms.TimeField(
        label=_("Time"),
        error_messages={"required": _("Write the time.")},
        widget=forms.TimeInput({"type": "time"}, "%H:%M"),
    )
    minutes = forms.TypedChoiceField(
        label=_("Out again after"),
        choices=[(30, _("half an hour")), (60, _("one hour")), (90, _("an hour and a half")), (120, _("two hours"))],
        coerce=int,
        empty_value=60,
        required=False,
        initial=60,
    )
    uid = forms.UUIDField(widget=forms.HiddenInput, required=False)
    revision = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, member: Member, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.member = member
        if self.data.get("slot"):
            self.fields["on"].required = self.fields["at"].required = False
        going = visiting_members(self.group)
        if len(going) > 1:
            self.fields["goers"] = MembersField(
                going, label=_("Who goes"), required=False, widget=forms.CheckboxSelectMultiple
            )

    def clean(self) -> dict:
        data = super().clean()
        slot = self.data.get("slot", "")
        if slot == "now":
            data["due_at"] = datetime.datetime.now(datetime.UTC).replace(second=0, microsecond=0)
        else:
            on, at = self._offered(slot) if slot else (data.get("on"), data.get("at"))
            if on and at:
                data["due_at"] = self._moment(on, at)
        return data

    def _offered(self, slot: str) -> tuple:
        try:
            moment = datetime.datetime.fromisoformat(slot)
        except ValueError:
            self.add_error(None, _("Choose a time from the list, or write one."))
            return None, None
        return moment.date(), moment.time().replace(tzinfo=None)

    def _moment(self, on: datetime.date, at: datetime.time) -> datetime.datetime | None:
        if abs((on - self.group.today()).days) > ABSURD_DAYS:
            self.add_error("on", _("That is more than a year away. Is the year right?"))
            return None
        try:
            return wall_time(self.group, on, at)
        except forms.ValidationError as error:
            self.add_error("at", error)
            return None

    def renew(self, standing: Any) -> None:
        """The same page once more, over the visit that stands now."""
        data = self.data.copy()
        data["uid"], data["revision"] = ("", standing.revision) if standing else (str(uuid.uuid4()), "")
        self.data = data


class AnswersForm(GroupForm):
    """All questions at once. What is picked and sound is kept, even where another answer still needs mending."""

    looked = forms.MultipleChoiceField(choices=[(question.code, question.code) for question in ALL], required=False)

    def __init__(self, *args: Any, answers: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.answers = answers
        for question in ALL:
            self._add_question(question)

    def _add_question(self, question: Question) -> None:
        code = question.code
        standing = self.standing(question)
        self.fields[f"{code}-uid"] = forms.UUIDField(required=False, initial=uuid.uuid4)
        self.fields[f"{code}-saw"] = forms.CharField(required=False, initial=self.seen_now(code))
        if question.per_patch and len(self.answers.patches) > 1:
            places = [("", _("Every patch")), *((str(patch.pk), patch.label) for patch in self.answers.patches)]
            self.fields[f"{code}-for"] = forms.ChoiceField(choices=places, required=False, initial="")
        for ask in question.asks:
            choices = [(choice.code, choice.words) for choice in ask.choices]
            self.fields[f"{code}-{ask.code}"] = forms.ChoiceField(
                choices=choices,
                required=False,
                widget=forms.RadioSelect,
                label=ask.words or question.words,
                initial=standing.get(ask.code),
            )
            for detail in ask.details:
                self.fields[f"{code}-{ask.code}-{detail.code}"] = _detail_field(
                    detail, standing.get(detail.code), self.group.units
                )

    def standing(self, question: Question) -> dict:
        """The one answer that stands for the whole yard; nothing where two differ."""
        entries = self.answers.by_key.get((question.code, None), [])
        values = [entry.value for entry in entries]
        return values[0] if values and all(value == values[0] for value in values) else {}

    def seen_now(self, code: str) -> str:
        uids = [entry.uid for key, entries in self.answers.by_key.items() if key[0] == code for entry in entries]
        return ",".join(str(uid) for uid in uids)

    def clean(self) -> dict:
        data = super().clean()
        seen = self._seen(data)
        self.kept: list[dict] = []
        for question in ALL:
            given = self._given(question, data, seen)
            if given:
                self.kept.append(given)
        return data

    def _seen(self, data: dict) -> dict[str, Entry]:
        """The entries this page showed, by uid; what is no uid is nobody's."""
        uids = []
        for question in ALL:
            for word in data.get(f"{question.code}-saw", "").split(","):
                try:
                    uids.append(uuid.UUID(word))
                except ValueError:
                    continue
        rows = Entry.of(self.group).filter(uid__in=uids, visit__conversion=self.answers.conversion) if uids else []
        return {str(row.uid): row for row in rows}

    def _given(self, question: Question, data: dict, seen: dict[str, Entry]) -> dict | None:
        """One answer to keep; None where nothing was picked, nothing changed, or something needs mending."""
        code = question.code
        usual = question.usual if code in data.get("looked", []) else None
        value: dict = {}
        typed: list[str] = []
        for ask in question.asks:
            pick = data.get(f"{code}-{ask.code}") or (usual or {}).get(ask.code, "")
            if pick:
                value[ask.code] = pick
                self._read_details(question, ask, value, typed, data)
        if not value or any(name.startswith(f"{code}-") for name in self.errors):
            return None
        patch = next((row for row in self.answers.patches if str(row.pk) == data.get(f"{code}-for")), None)
        before = [
            row for row in seen.values() if row.question == code and row.patch_id == (patch.pk if patch else None)
        ]
        if before and all(lengths.is_same(row.value, value) for row in before):
            return None
        return {
            "uid": data.get(f"{code}-uid"),
            "question": code,
            "value": value,
            "as_typed": "; ".join(typed),
            "patch": patch,
            "replaces": [row.uid for row in before],
        }

    def _read_details(self, question: Question, ask: Ask, value: dict, typed: list[str], data: dict) -> None:
        choice = ask.choice(value[ask.code])
        for detail in ask.details if choice and choice.more else ():
            name = f"{question.code}-{ask.code}-{detail.code}"
            raw = (data.get(name) or "").strip()
            if not raw or name in self.errors:
                continue
            try:
                value[detail.code] = read_detail(detail, raw, self.group)
                typed.append(raw)
            except (NotALength, ValueError) as error:
                self.add_error(name, str(error))

    def renewed(self, answers: Any) -> "AnswersForm":
        """The same typed page over what stands now: fresh uids, so that saving it again adds and never clashes."""
        data = self.data.copy()
        fresh = AnswersForm(answers=answers, group=self.group)
        kept = {given["question"] for given in getattr(self, "kept", [])}
        for question in ALL:
            data[f"{question.code}-uid"] = str(uuid.uuid4())
            if question.code in kept:
                data[f"{question.code}-saw"] = fresh.seen_now(question.code)
        form = AnswersForm(data, answers=answers, group=self.group)
        form.is_valid()
        return form


def _detail_field(detail: Detail, kept: Any, units: str) -> forms.CharField:
    initial = lengths.typed_again(detail, kept, units) if isinstance(kept, dict) else kept
    day, number = {"type": "date"}, {"inputmode": "numeric"}
    attrs = {"date": day, "far date": day, "whole": number}.get(detail.kind, {"autocomplete": "off"})
    field = forms.CharField(
        label=detail.words, required=False, max_length=160, initial=initial, widget=forms.TextInput(attrs)
    )
    field.unit = lengths.unit_words(detail, units) if detail.is_length else detail.unit
    return field


def read_detail(detail: Detail, raw: str, group: Any) -> Any:
    """A detail as it is kept. Raises ValueError in words a visitor can act on."""
    if detail.is_length:
        return lengths.read(detail, raw, group.units)
    if detail.kind in ("date", "far date"):
        try:
            return datetime.date.fromisoformat(raw).isoformat()
        except ValueError as error:
            raise ValueError(_("Write the day like 2026-05-18.")) from error
    if detail.kind == "whole":
        if not raw.isascii() or not raw.isdigit() or int(raw) > MOST_LEAD:
            raise ValueError(_WHOLE_PPM if detail.unit else _WHOLE)
        return int(raw)
    return raw


def digest(notes: str) -> str:
    """Tells whether somebody changed the notes on this page; browsers send line ends of their own."""
    plain = "\n".join(line.rstrip() for line in notes.replace("\r\n", "\n").strip().split("\n"))
    return hashlib.sha256(plain.encode()).hexdigest()[:16]
