"""The invented group of `./dev demo`: nobody in it lives anywhere. Every yard is made by the actions that people use.

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
from conversions.builds.models import Day
from conversions.care import actions as care
from conversions.care.models import CareSheet, FollowUp
from conversions.groups.models import Group, Member, User
from conversions.people.models import Person
from conversions.quotes import actions as quotes
from conversions.quotes import proposal
from conversions.quotes.models import Quote
from conversions.visits import actions as visits
from conversions.visits.models import Visit
from conversions.visits.questions import QUESTIONS
from conversions.yards import actions as yards
from conversions.yards import sketch, walk
from conversions.yards.models import Conversion

from .close_day import close_day, papers

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


def load() -> tuple[Group, bool]:
    """The invented group, and whether it was made now. One that is there already is left exactly as it is.

    All in one transaction, slow papers too: nobody else is at this database yet, and half a group helps nobody.
    """
    group = Group.objects.filter(slug=SLUG).first()
    if group:
        return group, False
    with transaction.atomic():
        story = Story()
        story.tell()
    return story.group, True


class Story:
    """The group's two years, told yard by yard."""

    def __init__(self) -> None:
        self.today = timezone.now().astimezone(ZoneInfo("UTC")).date()
        email, name, _role, _flag = SIGN_INS[0]
        self.mina = start_group(
            slug=SLUG, name="Tansy Row Growers", email=email, password=PASSWORD, organiser=name, zone="UTC",
            currency="$", phone="000 000 000", phone_hours="after six, or leave a message",
            goals={str(self.today.year): 400, str(self.today.year - 1): 150},
        )  # fmt: skip
        self.group = self.mina.group
        others = [add_member(self.group, mail, who, PASSWORD, flag) for mail, who, _role, flag in SIGN_INS[1:]]
        self.ruth, self.tomasz, _ines, self.yusuf = others
        with at(self.last_year() - datetime.timedelta(days=90)):
            for item, price in PRICES.items():
                quotes.set_price(group=self.group, item=item, price=Decimal(price), by=self.mina)

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
            return yards.take_enquiry(
                group=self.group, by=self.mina, name=name, reach=reach, address=address, tenure=tenure, **more
            )

    def visit(self, conversion: Conversion, on: datetime.date, **answers: dict) -> Visit:
        with at(on, 17):
            visit = visits.book_visit(conversion=conversion, by=self.mina, due_at=timezone.now(), goers=[self.ruth])
            given = {q.code: answers.get(q.code) or ANSWERS.get(q.code) or q.usual for q in QUESTIONS}
            entries = [{"uid": uuid.uuid4(), "question": code, "value": value} for code, value in given.items()]
            visits.add_entries(visit=visit, by=self.ruth, entries=entries)
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
            quotes.record_reply(
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
                meeting_point="At the gate",
            )  # fmt: skip
            for name in HELPERS[:helpers]:
                builds.sign_up(day=day, name=name, phone=f"000 {400 + HELPERS.index(name)} 000", by=self.tomasz)
        return day

    def hold(self, day: Day, *left: str) -> Day:
        """Who came and what was built; patches named in `left` wait for another day."""
        with at(day.on, 15):
            present = list(day.sign_ups.values_list("person", flat=True))
            builds.mark_came(day=day, present=present, others=2, by=self.tomasz)
            for row in day.day_patches.select_related("patch"):
                if row.patch.label in left:
                    nothing = {"area_m2": Decimal(0), "how": "measured", "is_complete": False}
                    builds.record_as_built(day=day, patch=row.patch, by=self.tomasz, **nothing)
                else:
                    builds.record_as_built(day=day, patch=row.patch, by=self.tomasz, layers=3, depth_mm=85)
        day.refresh_from_db()
        return day

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

    # ---- the yards

    def tell(self) -> None:
        self.grown()
        self.built()
        self.coming()
        self.talking()
        self.beginning()

    def garden(self, on: datetime.date, who: tuple[str, str, str], *patches: dict, helpers: int = 6) -> Conversion:
        """One yard from its enquiry to a closed day."""
        asked = on - datetime.timedelta(days=40)
        conversion = self.agree(self.enquiry(asked, *who), asked, *patches, built_on=on)
        self.close(self.hold(self.book(on, conversion, helpers=helpers)))
        return conversion

    def grown(self) -> None:
        """Last year's gardens, looked in on since."""
        first = self.garden(self.last_year(), ("Ngozi Okafor", "000 111 014", "14 Tansy Row"), rectangle("10.4", "6.2"))
        self.look_in(first, "week 1", "month 1", "season's end")
        second = self.garden(
            self.last_year() + datetime.timedelta(days=9),
            ("Astrid Lindqvist", "000 111 003", "3 Sorrel Court"),
            rectangle("7.8", "5.5"),
        )
        self.look_in(second, "week 1", "month 1")

    def built(self) -> None:
        """This year's: two closed, one with a patch left, one day over and not closed."""
        round_lawn = patch("circle", {"across": "6.4"}, {"round": "path"})
        done = self.garden(self.this_year(36), ("Paolo Marchetti", "000 111 033", "33 Tansy Row"), round_lawn)
        self.look_in(done, "week 1")
        asked = self.ago(60)
        on = self.this_year(9)
        two = self.enquiry(asked, "Hilde Voss", "hilde@voss.example", "41 Tansy Row")
        self.agree(two, asked, rectangle("8.2", "5"), rectangle("6", "4.5", "Back lawn", "back"), built_on=on)
        self.close(self.hold(self.book(on, two, helpers=5), "Back lawn"), is_handed=False)
        over = self.ago(2)
        late = self.enquiry(self.ago(50), "Jonas Adeyemi", "000 111 005", "5 Sorrel Court")
        self.agree(late, self.ago(50), rectangle("9", "4.4"), built_on=over)
        self.hold(self.book(over, late, helpers=7))

    def coming(self) -> None:
        """Two days ahead, and one yard that still wants its day."""
        near, far = self.saturday(3), self.saturday(17)
        l_shape = patch(
            "L", {"A": "5", "B": "3", "C": "4", "D": "4", "E": "9", "F": "7"}, STREET | {"E": "pavement", "F": "path"}
        )
        sides = patch(
            "trapezium", {"A": "8", "C": "6.5", "distance": "5.2", "offset": "0.5"}, STREET, label="Front lawn"
        )
        first = self.agree(
            self.enquiry(self.ago(24), "Leila Haddad", "000 111 008", "8 Upper Fold"),
            self.ago(24),
            l_shape,
            built_on=near,
        )
        day = self.book(near, first, helpers=5, asked=9)
        until = near + datetime.timedelta(days=9)
        builds.note_marks(day=day, by=self.mina, state="marked", until=until, ticket="T-4471")
        builds.tick(day=day, fact="cardboard", is_ready=True, by=self.tomasz, words="in the lead's garage")
        builds.sign_up(day=day, person=self.yusuf.person, by=self.tomasz)
        second = self.agree(
            self.enquiry(self.ago(20), "Edda Quill", "000 111 002", "2 Upper Fold", wish="Beans, and no more mowing."),
            self.ago(20),
            sides,
            built_on=far,
        )
        self.book(far, second, helpers=2)
        third = self.enquiry(self.ago(18), "Kofi Osei", "000 111 012", "12 Millrace Lane", "rent")
        self.agree(third, self.ago(18), rectangle("6.6", "4.8"), built_on=self.saturday(30))

    def talking(self) -> None:
        """Quotes that wait for an answer, for a talk, and one that got a no."""
        for days, name, reach, address, answer in (
            (17, "Rosa Barros", "000 111 027", "27 Millrace Lane", "talk"),
            (15, "Nils Ferro", "000 111 006", "6 Millrace Lane", ""),
            (34, "Greta Holm", "000 111 017", "17 Sorrel Court", "no"),
        ):
            yard = self.enquiry(self.ago(days), name, reach, address)
            self.visit(yard, self.ago(days - 4))
            self.draw(yard, self.ago(days - 5), rectangle(f"{5 + days / 10:.1f}", "5"))
            quote = self.quote(yard, self.ago(days - 6), self.saturday(24))
            if answer:
                self.reply(quote, self.ago(days - 8), answer, "Can the plum tree stay?" if answer == "talk" else "")

    def beginning(self) -> None:
        """A visit done, a visit to come, an enquiry of yesterday."""
        visited = self.enquiry(self.ago(8), "Sven Nilsen", "000 111 019", "19 Sorrel Court")
        self.visit(visited, self.ago(3), past={"past": "paint", "soil": "untested"})
        coming = self.enquiry(self.ago(4), "Mei Tanaka", "mei@tanaka.example", "4 Tansy Row")
        due = datetime.datetime.combine(self.today, datetime.time(17, 30), datetime.UTC)
        visits.book_visit(conversion=coming, by=self.mina, due_at=due, goers=[self.ruth])
        self.enquiry(
            self.ago(1), "Otto Brandt", "000 111 009", "9 Upper Fold", "not sure", wish="A place for tomatoes."
        )


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
