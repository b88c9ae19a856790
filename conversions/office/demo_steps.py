"""How one yard of the invented group comes about, step by step, each by the action that people use.

It happens in the past: `at` sets the clock of this process back while a step is taken, so that a quote nine days old
is nine days old. That is why it is a command of its own and never runs inside the server.
"""

import datetime
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from unittest import mock
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from conversions.builds import actions as builds
from conversions.builds.models import Day, DayPatch
from conversions.care import actions as care
from conversions.care.models import CareSheet, FollowUp
from conversions.groups.models import Group, Member, User
from conversions.people.models import Person
from conversions.quotes import actions as quotes
from conversions.quotes import answers, book_actions, proposal
from conversions.quotes.models import Quote
from conversions.visits import actions as visits
from conversions.visits.models import Visit
from conversions.visits.questions import QUESTIONS
from conversions.yards import actions as yards
from conversions.yards import enquiries, holds, sketch, walk
from conversions.yards.models import Conversion

from .close_day import close_day, papers
from .demo_pictures import picture

SLUG = "tansy-row"
PASSWORD = "lawn-to-garden"  # invented, for a group that is not there, on an address only this machine sees
SIGN_INS = [
    ("mina@tansy-row.example", "Mina Sandvik", "organiser", "is_organiser"),
    ("ruth@tansy-row.example", "Ruth Ashdown", "visits yards", "is_visitor"),
    ("tomasz@tansy-row.example", "Tomasz Reed", "leads build days", "is_lead"),
    ("ines@tansy-row.example", "Ines Colby", "sees numbers only", "is_reader"),
    ("yusuf@tansy-row.example", "Yusuf Penn", "helper", ""),
]
PRICES = {  # invented
    "cardboard": "0",
    "chips": "0",
    "work": "0",
    "tools": "0",
    "compost": "48",
    "compost delivery": "45",
    "frame": "74",
    "plants": "62",
}
HELPERS = ["Bea Lund", "Carlo Finch", "Dora Wren", "Emil Tarn", "Fay Moss", "Gus Heath", "Hana Birch", "Ivo Sedge"]
STREET = {"A": "house", "B": "drive", "C": "pavement", "D": "lawn"}
BY_PATH = {"A": "house", "B": "fence", "C": "pavement", "D": "path"}
BACK = {"A": "fence", "B": "fence", "C": "house", "D": "fence"}
ANSWERS = {  # an ordinary yard, as far as it differs from the usual
    "say": {"right": "owners"},
    "pipes": {"public": "marked", "own": "none"},
    "septic": {"septic": "no"},
    "past": {"past": "none", "soil": "untested"},
    "waters": {"minutes": "30 to 60", "bend": "no"},
}
NINE, TWO = datetime.time(9, 30), datetime.time(14)


def start_group(*, slug: str, name: str, email: str, password: str, organiser: str, **settings: object) -> Member:
    """A group with its first organiser, who is a person of it too."""
    with transaction.atomic():
        group = Group(slug=slug, name=name, **settings)
        group.full_clean()
        group.save()
        return add_member(group, email, organiser, password, "is_organiser")


def add_member(group: Group, email: str, name: str, password: str, flag: str) -> Member:
    user = User.objects.filter(email=email).first() or User.objects.create_user(email, password, name=name)
    member = Member(group=group, user=user, **({flag: True} if flag else {}))
    member.full_clean()
    member.save()
    person = Person(group=group, name=name, email=email, route="email", member=member)
    person.full_clean()
    person.save()
    return member


@contextmanager
def at(day: datetime.date, hour: int = 10) -> Iterator[None]:
    """Let this process believe it is that day."""
    moment = datetime.datetime.combine(day, datetime.time(hour), datetime.UTC)
    with mock.patch("django.utils.timezone.now", lambda: moment):
        yield


class Steps:
    """The group with its members and prices, and every step a yard can take."""

    def __init__(self) -> None:
        self.today = timezone.now().astimezone(ZoneInfo("UTC")).date()
        email, name, _role, _flag = SIGN_INS[0]
        self.mina = start_group(
            slug=SLUG, name="Tansy Row Growers", email=email, password=PASSWORD, organiser=name, zone="UTC",
            currency="$", phone="000 000 000", phone_hours="after six, or leave a message",
            postal="2 Harrow Lane\nMillbrook 00000",
            goals={str(self.today.year): 400, str(self.today.year - 1): 150},
        )  # fmt: skip
        self.group = self.mina.group
        others = [add_member(self.group, mail, who, PASSWORD, flag) for mail, who, _role, flag in SIGN_INS[1:]]
        self.ruth, self.tomasz, _ines, self.yusuf = others
        with at(self.last_year() - datetime.timedelta(days=90)):
            for item, price in PRICES.items():
                book_actions.set_price(group=self.group, item=item, price=Decimal(price), by=self.mina)

    # ---- dates

    def ago(self, days: int) -> datetime.date:
        return self.today - datetime.timedelta(days=days)

    def last_year(self) -> datetime.date:
        return min(self.ago(330), datetime.date(self.today.year - 1, 11, 20))

    def this_year(self, days: int) -> datetime.date:
        """So many days ago, but not before the first of January."""
        return max(self.ago(days), datetime.date(self.today.year, 1, 1))

    def saturday(self, days: int) -> datetime.date:
        on = self.today + datetime.timedelta(days=days)
        return on + datetime.timedelta((5 - on.weekday()) % 7)

    # ---- the steps of one yard

    def enquiry(
        self, on: datetime.date, name: str, reach: str, address: str, tenure: str = "own", **more
    ) -> Conversion:
        with at(on):
            return enquiries.take_enquiry(
                group=self.group, by=self.mina, name=name, reach=reach, address=address, tenure=tenure, **more
            )

    def visit(self, conversion: Conversion, on: datetime.date, **answers: dict) -> Visit:
        with at(on, 17):
            visit = visits.book_visit(conversion=conversion, by=self.mina, due_at=timezone.now(), goers=[self.ruth])
            if conversion.household.tenure == "rent":
                answers["say"] = {"right": "rent, yes"}
            given = {q.code: answers.get(q.code) or ANSWERS.get(q.code) or q.usual for q in QUESTIONS}
            entries = [{"uid": uuid.uuid4(), "question": code, "value": value} for code, value in given.items()]
            visits.add_entries(visit=visit, by=self.ruth, entries=entries)
            for slot in ("left", "middle"):
                drawn = picture(str(conversion.place), slot, is_garden=False)
                visits.keep_visit_photo(visit=visit, by=self.ruth, file=drawn, slot=slot, people="none")
            for hold in conversion.holds.filter(kind="owner"):
                seen = {"seen_by": "Ruth Ashdown"}  # the owner's page, signed
                holds.settle(hold=hold, revision=hold.revision, by=self.ruth, state="cleared", facts=seen)
            return visits.finish_visit(visit=visit, by=self.ruth)

    def draw(self, conversion: Conversion, on: datetime.date, *patches: dict) -> None:
        with at(on, 19):
            draft = yards.open_draft(conversion=conversion, by=self.ruth)
            site = draft.site
            for patch in patches:
                site = sketch.laid_out(sketch.with_patch(site, patch), patch["uid"])
            draft = yards.save_site(draft=draft, revision=draft.revision, site=site, by=self.ruth)
            yards.keep_draft(draft=draft, revision=draft.revision, by=self.ruth)

    def quote(self, conversion: Conversion, on: datetime.date, offered_on: datetime.date | None = None) -> Quote:
        with at(on, 20):
            quote = quotes.draft_quote(draft=conversion.drawing(), by=self.mina)
            rain_on = offered_on + datetime.timedelta(days=7) if offered_on else None
            paper = proposal.prepare(
                quote,
                sentence="We would love to do this with you.",
                offered_on=offered_on,
                offered_rain_on=rain_on,
            )
            return quotes.send_quote(quote=quote, revision=quote.revision, by=self.mina, paper=paper)

    def reply(self, quote: Quote, on: datetime.date, answer: str = "yes", words: str = "") -> None:
        with at(on, 18):
            answers.record_reply(
                quote=quote, answer=answer, route="phone", name=quote.conversion.household.contact.name,
                witness="Mina Sandvik", words=words, by=self.mina, said_at=timezone.now(),
            )  # fmt: skip

    def agree(self, conversion: Conversion, on: datetime.date, *patches: dict, built_on: datetime.date) -> Conversion:
        """From the visit to the yes, in the two weeks after the enquiry."""
        later = [min(on + datetime.timedelta(days=n), self.today) for n in (4, 5, 6, 9)]
        self.visit(conversion, later[0])
        self.draw(conversion, later[1], *patches)
        offered = built_on if built_on > later[2] else None
        quote = self.quote(conversion, later[2], offered)
        self.reply(quote, min(later[3], quote.valid_until))
        return conversion

    def book(self, on: datetime.date, *conversions: Conversion, helpers: int, asked: int = 8) -> Day:
        with at(min(on - datetime.timedelta(days=10), self.today)):
            day = builds.plan_day(
                group=self.group, by=self.mina, on=on, starts=NINE, ends=TWO, lead=self.tomasz,
                conversions=conversions, rain_on=on + datetime.timedelta(days=7), helpers_wanted=asked,
                meeting_point="the lamp post across the street",
            )  # fmt: skip
            for name in HELPERS[:helpers]:
                builds.sign_up(day=day, name=name, phone=f"000 {400 + HELPERS.index(name)} 000", by=self.tomasz)
        return day

    def make_ready(self, day: Day, *there: str, ticket: str) -> None:
        """The marks outlive the rain date, and these loads are on site."""
        until = day.on + datetime.timedelta(days=9)
        builds.note_marks(day=day, by=self.mina, state="marked", until=until, ticket=ticket)
        for fact in there:
            builds.tick(day=day, fact=fact, is_ready=True, by=self.tomasz)

    def hold(self, day: Day, *left: str) -> Day:
        """Who came and what was built; patches named in `left` wait for another day."""
        with at(day.on, 15):
            present = list(day.sign_ups.values_list("person", flat=True))
            builds.mark_came(day=day, present=present, others=2, by=self.tomasz)
            for row in day.day_patches.select_related("patch", "conversion__place__group"):
                if row.patch.label in left:
                    nothing = {"area_m2": Decimal(0), "how": "measured", "is_complete": False}
                    builds.record_as_built(day=day, patch=row.patch, by=self.tomasz, **nothing)
                else:
                    builds.record_as_built(day=day, patch=row.patch, by=self.tomasz, layers=3, depth_mm=85)
                    self.photograph(day, row)
        day.refresh_from_db()
        return day

    def photograph(self, day: Day, row: DayPatch) -> None:
        """From the two spots where somebody stood before."""
        place = row.conversion.place
        for slot in ("left", "middle"):
            visits.keep_photo(
                place=place, patch=row.patch, by=self.tomasz, slot=slot, people="none", taken_for="day",
                taken_for_id=day.pk, file=picture(str(place), slot, is_garden=True),
            )  # fmt: skip

    def close(self, day: Day, is_handed: bool = True) -> None:
        with at(day.on, 18):
            close_day(day=day, by=self.tomasz, revision=day.revision, sheets=papers(day))
            for sheet in CareSheet.of(self.group).filter(day=day):
                if is_handed:
                    care.hand_over(sheet=sheet, by=self.tomasz)

    def look_in(self, conversion: Conversion, *kinds: str) -> None:
        for row in FollowUp.of(self.group).filter(conversion=conversion, kind__in=kinds, due_on__lte=self.today):
            with at(row.due_on, 18):
                well = {"grass": "no", "card": "no", "plants": "well"}
                care.record_follow_up(follow_up=row, revision=row.revision, by=self.tomasz, how="phone", findings=well)


def patch(
    shape: str, sizes: dict[str, str], beyond: dict[str, str], label: str = "Front lawn", zone: str = "front"
) -> dict:
    metres = {name: Decimal(size) for name, size in sizes.items()}
    turns = {"C": "left"} if shape == "L" else None
    return walk.patch_document(
        uid=str(uuid.uuid4()), label=label, zone=zone, shape=shape, metres=metres, raw=sizes, beyond=beyond, turns=turns
    )


def rectangle(width: str, depth: str, label: str = "Front lawn", zone: str = "front") -> dict:
    return patch("rectangle", {"A": width, "B": depth}, STREET if zone == "front" else BACK, label, zone)
