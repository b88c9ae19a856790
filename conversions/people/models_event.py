"""What happened, kept in rows that are only ever added."""

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import Grouped


class Appended(Grouped):
    """A row that is only ever added: what holds now is told by the newest one."""

    class Meta(Grouped.Meta):
        abstract = True

    def save(self, *args, **kwargs) -> None:
        if not self._state.adding:
            raise TypeError(f"{type(self).__name__} rows are added, never changed")
        super().save(*args, **kwargs)


class Event(Appended):
    """What happened, for whoever asks later who did it and when."""

    VERBS = {
        "person-changed": _("changed"),
        "consent-yes": _("said yes"),
        "consent-no": _("said no"),
        "quote-sent": _("quote sent"),
        "reply-yes": _("they said yes"),
        "reply-no": _("they said no"),
        "reply-talk": _("they would like to talk"),
        "reply-withdraw": _("they changed their mind"),
        "payment": _("money written down"),
        "day-set": _("build day set"),
        "day-changed": _("day changed"),
        "day-confirmed": _("day is on"),
        "day-planned": _("day not sure any more"),
        "day-moved": _("day moved"),
        "day-cancelled": _("day called off"),
        "day-closed": _("day closed"),
        "care-sheet": _("care sheet made"),
        "reply-taken-back": _("an answer was taken back"),
        "enquiry-taken-back": _("an enquiry was taken back"),
        "day-reopened": _("day opened again"),
        "withdrawn": _("they changed their mind, and everything was released"),
        "taken-up": _("taken up again"),
        "not-now": _("not now"),
        "hold-opened": _("something to wait for"),
        "hold-open": _("it blocks again"),
        "hold-asked": _("asked, no answer yet"),
        "hold-cleared": _("put right"),
        "hold-refused": _("refused"),
        "hold-not-needed": _("not needed"),
        "hold-overridden": _("set aside"),
        "hold-override-asked": _("asked to set it aside"),
        "group-started": _("started the group"),
        "joined": _("came in"),
        "left": _("left the group"),
        "removed": _("was removed from the group"),
        "roles-changed": _("has new roles"),
        "numbers-changed": _("our numbers changed"),
    }
    OF_THE_GROUP = ("group-started", "joined", "left", "removed", "roles-changed", "numbers-changed")
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")  # null: a link
    person = models.ForeignKey("people.Person", models.CASCADE, null=True, blank=True, related_name="events")
    conversion_id = models.PositiveBigIntegerField(null=True, blank=True, db_index=True)
    day_id = models.PositiveBigIntegerField(null=True, blank=True, db_index=True)
    verb = models.CharField(max_length=24)
    words = models.CharField(max_length=300, blank=True)
    changed = models.JSONField(default=dict, blank=True)  # plain fields: {name: [old, new]}; personal ones: {name: []}

    personal = ("words", "changed")
    plain = ("verb",)

    class Meta(Appended.Meta):
        ordering = ["-at", "-pk"]

    @property
    def told(self) -> str:
        """What happened, in words; of changes also which fields."""
        words = str(self.VERBS.get(self.verb, self.verb))
        if self.verb.startswith("consent-"):
            return self._asked(words)
        person = self._meta.get_field("person").related_model
        fields = {field.name: str(field.verbose_name) for field in person._meta.fields} if self.person_id else {}
        names = ", ".join(sorted(fields.get(name, name.replace("_", " ")) for name in self.changed))
        return f"{words}: {names}" if names else words

    def _asked(self, words: str) -> str:
        """To what they said it; of old rows nobody knows any more which question it was."""
        from .models import Consent  # it is one of these rows itself, and stands in the file that reads this one

        kind = dict(Consent.KINDS).get((self.changed.get("kind") or [""])[-1])
        return f"{words}: {kind}" if kind else words
