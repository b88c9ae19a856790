"""Every text goes through gettext, and a place may say things its own way."""

import datetime
import re
from html.parser import HTMLParser
from io import BytesIO

import django
import pytest
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from django.conf import settings
from django.core.management import call_command
from django.urls import reverse
from django.utils import translation
from django.utils.translation import trans_real

from conversions.builds.actions import record_as_built, sign_up
from conversions.common import gather, words
from conversions.common.dates import date_format, time_format
from conversions.people import links
from conversions.visits.actions import book_visit
from tests.builds.rows import make_agreed, make_day
from tests.rows import make_kept, make_quote, make_sent, make_yard, plan_token

LIST = {
    "kerb": "curb",
    "pavement": "sidewalk",
    "drive": "driveway",
    "neighbour's": "neighbor's",
    "couch grass": "quackgrass",
}


def text(answer) -> str:
    return answer.content.decode()


@pytest.fixture(autouse=True)
def _plain_words_afterwards():
    yield
    translation.activate(settings.LANGUAGE_CODE)


# ---- the word list of a place


@pytest.mark.parametrize(
    ("here", "there"),
    [
        ("Kerb", "Curb"),
        ("KERB", "CURB"),
        ("From the kerb to the drive.", "From the curb to the driveway."),
        ("Neighbour's lawn", "Neighbor's lawn"),
        ("Couch grass runs.", "Quackgrass runs."),
        ("the driver drives a driveway", "the driver drives a driveway"),
        ("%(kerb)s of kerb", "%(kerb)s of curb"),
        ("{drive} m of drive", "{drive} m of driveway"),
        ("drive-in", "drive-in"),
        ("nothing of it", "nothing of it"),
    ],
)
def test_a_word_changes_wherever_it_stands_as_a_word(here, there):
    assert words.said(here, LIST) == there


def test_the_place_keeps_only_what_differs():
    texts = {message.id for message in words.texts()}
    variant = [message for message in words.variant("en-us") if message.id]
    assert 20 < len(variant) < len(texts) / 10
    by_hand = {(m.context, m.id) for m in words.written("en-us") if m.id and m.context != "word"}
    for message in variant:
        assert (message.context, message.id) in by_hand or message.id != message.string


def test_every_whole_text_said_differently_is_still_a_text_of_ours():
    texts = {message.id for message in words.texts()}
    for message in words.written("en-us"):
        if message.id and message.context is None:
            assert message.id in texts, message.id


def test_every_pattern_of_a_date_in_a_template_or_a_module_is_turned_round():
    known = {message.id for message in words.written("en-us") if message.context == "date"}
    whole = {pattern for pattern in gather.patterns() if re.search(r"j [FM]|[GH]:i", pattern)}
    assert len(whole) > 12
    assert whole - known == set()


@pytest.mark.parametrize(
    ("pattern", "here", "there"),
    [("j F Y", "9 May 2026", "May 9, 2026"), ("D j M", "Sat 9 May", "Sat, May 9"), ("M", "May", "May")],
)
def test_a_date_stands_in_the_order_of_the_place(pattern, here, there):
    on = datetime.date(2026, 5, 9)
    assert date_format(on, pattern) == here
    with translation.override("en-us"):
        assert date_format(on, pattern) == there


def test_an_hour_is_told_as_the_place_tells_it():
    assert time_format(datetime.time(14, 5), "G:i") == "14:05"
    with translation.override("en-us"):
        assert time_format(datetime.time(14, 5), "G:i") == "2:05 PM"


def test_a_group_reads_its_own_words_and_the_next_request_another_groups(client, oak, elm):
    elm.group.language = "en-us"
    elm.group.save()
    ours, theirs = make_kept(oak), make_kept(elm)
    patch = ours.site["patches"][0]["uid"]
    page = text(oak.sign_in(client).get(oak.url(f"yards/{ours.conversion_id}/plan/patches/{patch}/")))
    assert "Pavement" in page and 'lang="en"' in page
    patch = theirs.site["patches"][0]["uid"]
    page = text(elm.sign_in(client).get(elm.url(f"yards/{theirs.conversion_id}/plan/patches/{patch}/")))
    assert "Sidewalk" in page and "Pavement" not in page and 'lang="en-us"' in page
    day = make_day(elm, make_agreed(elm, make_yard(elm, name="Sol Marin", reach="000 5 55 55", address="1 Upper Fold")))
    assert f"{day.on:%a}, {day.on:%b} {day.on.day}" in text(client.get(elm.url(f"days/{day.pk}/")))


def test_who_is_behind_a_link_reads_the_groups_words_too(client, oak):
    oak.group.language = "en-us"
    oak.group.save()
    quote = make_sent(oak)
    until = quote.valid_until
    assert f"{until:%B} {until.day}" in text(client.get(reverse("plan-public", args=[plan_token(quote)])))
    day = make_day(oak)
    page = text(client.get(reverse("sign-up-public", args=[links.token(links.make("sign-up", "day", day))])))
    assert 'lang="en-us"' in page and "9:30 AM" in page


def test_an_organiser_chooses_the_groups_words(organiser, oak):
    page = text(organiser.get(oak.url("group/")))
    assert "sidewalk, curb, May 9" in page and "pavement, kerb, 9 May" in page


def test_the_lists_are_compiled_by_one_command(capsys):
    call_command("words")
    assert re.search(r"en-us: \d+ texts differ", capsys.readouterr().out)


# ---- nothing is written past gettext

OPEN, CLOSE = "⟦", "⟧"


@pytest.fixture
def strange(tmp_path, settings, oak):
    """A language in which every text of ours, and every one of Django's, stands in brackets."""
    pseudo = words.Catalog(locale="en_US")
    with open(f"{django.__path__[0]}/conf/locale/en/LC_MESSAGES/django.po", "rb") as file:
        theirs = read_po(file)
    for message in [*words.texts(), *theirs]:
        if message.id and not re.search(
            r"%(?![(sd]|[ .,;)]|$)", str(message.id)
        ):  # a per cent sign before a space is text
            forms = message.id if isinstance(message.id, tuple) else (message.id,)
            turned = tuple(f"{OPEN}{form}{CLOSE}" for form in forms)
            pseudo.add(message.id, turned if len(turned) > 1 else turned[0], context=message.context)
    folder = tmp_path / "en_XA" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    made = BytesIO()
    write_mo(made, pseudo)
    (folder / "django.mo").write_bytes(made.getvalue())
    settings.LOCALE_PATHS = [tmp_path]
    settings.LANGUAGES = [("en", "English"), ("en-xa", "Brackets")]
    trans_real._translations.pop("en-xa", None)
    trans_real.get_languages.cache_clear()
    oak.group.language = "en-xa"
    oak.group.save()
    yield oak
    trans_real._translations.pop("en-xa", None)
    trans_real.get_languages.cache_clear()


class Visible(HTMLParser):
    """The text a page shows, and what a reading machine is told in its place."""

    def __init__(self):
        super().__init__()
        self.found, self.hidden = [], 0

    def handle_starttag(self, tag, attrs):
        told = dict(attrs)
        self.hidden += tag in ("script", "style")
        self.found += [" "]
        self.zones = told.get("name") == "zone" if tag == "select" else getattr(self, "zones", False)  # names of cities
        self.found += [told[name] for name in ("alt", "aria-label", "title", "placeholder") if told.get(name)]

    def handle_endtag(self, tag):
        self.zones = getattr(self, "zones", False) and tag != "select"
        self.hidden -= tag in ("script", "style")

    def handle_data(self, data):
        if not self.hidden and not getattr(self, "zones", False):
            self.found.append(data)


# What nobody translates: names and addresses of the sample, units, letters of corners, codes and file names.
NAMES = (
    "Oak Street Growers|Ruth Okafor|Sol Marin|Wren Abara|(?:Organiser|Visitor|Lead|Reader|Helper) Oak|Organiser|14 Tansy Row|Front lawn"
    "|English|Brackets|Upper Fold|[a-z]+@oak.example|Europe/London|after six|A4|Letter|kr|http\\S+|T-0420"
)
UNITS = "m²|m³|mm|cm|m|kg|km|h|L|ft|in|yd|lb|sq|cu|US|gal|ppm|PDF|kB|x"


def leaks(page: str) -> set[str]:
    """Words that stand outside every bracket."""
    reader = Visible()
    reader.feed(page)
    whole = "\n".join(reader.found)
    depth, rest = 0, []
    for letter in whole:
        depth += letter == OPEN
        rest.append(letter if depth == 0 else " ")
        depth -= letter == CLOSE
    assert depth == 0
    plain = re.sub(NAMES, " ", "".join(rest))
    plain = re.sub(rf"(?<![^\W\d_])(?:{UNITS})(?![^\W\d_])", " ", plain)
    return set(re.findall(r"[^\W\d_]{2,}(?: [^\W\d_]{2,})*", plain))


def pages(oak) -> dict[str, str]:
    """The main pages with something on them."""
    draft = make_kept(oak)
    quote = make_quote(
        oak, make_kept(oak, make_yard(oak, name="Sol Marin", reach="000 555 66", address="2 Upper Fold"))
    )
    sent = make_sent(oak, make_quote(oak, draft))
    agreed = make_agreed(oak, make_yard(oak, name="Sol Marin", reach="000 555 67", address="3 Upper Fold"))
    day = make_day(oak, agreed)
    sign_up(day=day, name="Wren Abara", phone="000 777 666")
    visit = book_visit(conversion=draft.conversion, by=oak.visitor, due_at=datetime.datetime.now(datetime.UTC))
    record_as_built(day=day, patch=day.day_patches.get().patch, by=oak.lead)
    yard, person = draft.conversion_id, draft.conversion.household.contact_id
    patch = draft.site["patches"][0]["uid"]
    inside = {
        "week": "", "search": "search/?q=okafor", "person-all": f"people/{person}/all/", "yards": "yards/",
        "enquiry": "yards/new/", "yard": f"yards/{yard}/", "yard-edit": f"yards/{yard}/edit/", "yard-undo": f"yards/{yard}/undo/",
        "plan": f"yards/{yard}/plan/", "patch": f"yards/{yard}/plan/patches/{patch}/", "settings": f"yards/{yard}/plan/depths/",
        "visit-book": f"yards/{yard}/visit/", "visit": f"visits/{visit.pk}/", "prices": "prices/", "quote": f"quotes/{quote.pk}/",
        "sent": f"quotes/{sent.pk}/", "days": "days/", "day-new": "days/new/", "before": f"days/{day.pk}/?at=before",
        "on": f"days/{day.pk}/?at=on", "after": f"days/{day.pk}/?at=after", "day-edit": f"days/{day.pk}/edit/",
        "close": f"days/{day.pk}/close/", "aftercare": "aftercare/", "tally": "tally/", "members": "members/", "group": "group/",
    }  # fmt: skip
    token = links.token(links.make("sign-up", "day", day))
    return {name: oak.url(path) for name, path in inside.items()} | {
        "plan-public": reverse("plan-public", args=[plan_token(sent)]),
        "sign-up-public": reverse("sign-up-public", args=[token]),
    }


def test_no_text_on_a_main_page_is_written_past_gettext(client, strange):
    addresses = pages(strange)
    strange.sign_in(client)
    found = {}
    for name, address in addresses.items():
        answer = client.get(address)
        assert answer.status_code == 200, (name, answer.status_code)
        page = text(answer)
        assert page.count(OPEN) > 10, name
        if past := leaks(page):
            found[name] = past
    assert found == {}


def test_the_brackets_find_a_text_that_is_not_translated():
    page = (
        f"<h1>{OPEN}Yards{CLOSE}</h1><p>Book visits</p><p>{OPEN}by Ruth Okafor{CLOSE} 9.2 m² <img alt='The ground'></p>"
    )
    assert leaks(page) == {"Book visits", "The ground"}
