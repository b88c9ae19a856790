"""The invented group of `./dev demo`: nobody in it lives anywhere, and it is told yard by yard."""

import datetime

from django.db import transaction

from conversions.builds import actions as builds
from conversions.groups.models import Group
from conversions.visits import actions as visits
from conversions.yards.models import Conversion

from .demo_steps import BY_PATH, PASSWORD, SIGN_INS, SLUG, STREET, Steps, patch, rectangle, start_group

__all__ = ["PASSWORD", "SIGN_INS", "SLUG", "load", "start_group"]


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


class Story(Steps):
    """Two years of a group, from its first garden to the enquiry of yesterday."""

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
        """This year's: closed days in spring, summer and autumn, a patch left, one day over and not closed."""
        for days, who, lawn, helpers in (
            (208, ("Isolde Marsh", "000 111 021", "21 Millrace Lane"), rectangle("9.6", "5.8"), 8),
            (
                173,
                ("Tove Alder", "000 111 011", "11 Upper Fold"),
                patch("rectangle", {"A": "8.8", "B": "6.4"}, BY_PATH),
                7,
            ),
            (96, ("Marek Sorrel", "marek@sorrel.example", "30 Tansy Row"), rectangle("7.5", "5.2"), 5),
        ):
            garden = self.garden(self.this_year(days), who, lawn, helpers=helpers)
            self.look_in(garden, "week 1", "month 1", "season's end")
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
        """Two days ahead, one without its chips and one short of hands, and one yard that still wants its day."""
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
        day = self.book(near, first, helpers=8, asked=9)
        builds.sign_up(day=day, person=self.yusuf.person, by=self.tomasz)
        self.make_ready(day, "cardboard", "compost", ticket="T-4471")
        second = self.agree(
            self.enquiry(self.ago(20), "Edda Quill", "000 111 002", "2 Upper Fold", wish="Beans, and no more mowing."),
            self.ago(20),
            sides,
            built_on=far,
        )
        self.make_ready(self.book(far, second, helpers=2), "cardboard", "chips", "compost", ticket="T-4502")
        third = self.enquiry(self.ago(18), "Kofi Osei", "000 111 012", "12 Millrace Lane", "rent")
        self.agree(third, self.ago(18), rectangle("6.6", "4.8"), built_on=self.saturday(30))

    def talking(self) -> None:
        """Quotes that wait for an answer, for a talk, and one that got a no."""
        for days, name, reach, address, answer in (
            (17, "Rosa Barros", "000 111 027", "27 Millrace Lane", "talk"),
            (15, "Nils Ferro", "000 111 006", "6 Millrace Lane", ""),
            (34, "Greta Holm", "000 111 017", "17 Sorrel Court", "no"),
        ):
            yard = self.enquiry(self.ago(days), name, reach, address, large_print=name == "Rosa Barros")
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
