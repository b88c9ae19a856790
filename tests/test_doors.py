"""Every route, as everybody: logged out, stranger, each role, and another group's row inside one's own group."""

import datetime

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from conversions.builds.models import Ground
from conversions.care.actions import write_follow_ups
from conversions.care.models import CareSheet, FollowUp
from conversions.people import links, outbox
from conversions.people.actions import invite
from conversions.people.models import Document
from conversions.visits.actions import book_visit
from conversions.yards.holds import open_hold
from conversions.yards.models import Hold, Photo
from tests.builds.rows import make_agreed, make_day
from tests.conftest import ROLES, World
from tests.rows import make_open, make_quote, make_sent, make_yard

# Who may open what, written down by hand. Organisers may open everything.
VISITORS, LEADS, READERS, HELPERS, NOBODY = {"visitor"}, {"lead"}, {"reader"}, {"helper"}, set()
MAY_OPEN = {
    "week": VISITORS | LEADS | READERS | HELPERS,
    "search": VISITORS | LEADS,
    "person-all": NOBODY,
    "people": NOBODY,
    "person": VISITORS,
    "person-edit": VISITORS,
    "person-consent": VISITORS,
    "messages": LEADS,
    "message-test": NOBODY,
    **dict.fromkeys(("message", "message-done", "message-again", "message-paper", "message-letter"), LEADS),
    "yard-undo": VISITORS,
    "reply-undo": NOBODY,
    "day-reopen": LEADS,
    "members": NOBODY,
    "member-roles": NOBODY,
    "member-remove": NOBODY,
    "invite-revoke": NOBODY,
    "leave": VISITORS | LEADS | READERS | HELPERS,
    "group-edit": NOBODY,
    "numbers": NOBODY,
    "history": NOBODY,
    "uses": NOBODY,
    "yards": VISITORS | LEADS,
    "enquiry": VISITORS,
    "yard": VISITORS | LEADS,
    "yard-again": VISITORS,
    "yard-edit": VISITORS,
    "yard-same-ground": VISITORS,
    "yard-new-people": VISITORS,
    **dict.fromkeys(("yard-withdraw", "yard-not-now", "yard-take-up"), NOBODY),
    **dict.fromkeys(("hold", "hold-new", "hold-paper"), VISITORS),
    "hold-override": NOBODY,
    "plan": VISITORS,
    "plan-patch-new": VISITORS,
    "plan-patch": VISITORS,
    "plan-side": VISITORS,
    "plan-patch-remove": VISITORS,
    "plan-layout": VISITORS,
    "plan-bed-new": VISITORS,
    "plan-bed": VISITORS,
    "plan-bed-remove": VISITORS,
    "plan-settings": VISITORS,
    "plan-numbers": VISITORS,
    "plan-try": VISITORS,
    **dict.fromkeys(("plan-board", "plan-board-offline", "plan-board-try", "plan-compare", "plan-across"), VISITORS),
    "plan-print": VISITORS,
    "plan-queue": VISITORS,
    "plan-back": VISITORS,
    "plan-keep": VISITORS,
    "photo": VISITORS | LEADS,
    "photo-page": VISITORS | LEADS,
    "photo-people": VISITORS | LEADS,
    "photo-where": VISITORS | LEADS,
    "photo-move": VISITORS | LEADS,
    "photo-blur": VISITORS | LEADS,
    "photo-remove": VISITORS,
    "visit-book": VISITORS,
    "visit": VISITORS,
    "visit-answer": VISITORS,
    "visit-photo": VISITORS,
    "visit-done": VISITORS,
    "visit-queue": VISITORS,
    "visit-offline": VISITORS,
    **dict.fromkeys(("prices", "price", "prices-csv", "prices-file"), NOBODY),
    "quote-draft": NOBODY,
    "quote": NOBODY,
    "quote-price": NOBODY,
    "quote-line": NOBODY,
    "quote-send": NOBODY,
    "quote-paper": NOBODY,
    "quote-reply": NOBODY,
    **dict.fromkeys(("quote-again", "quote-line-new", "quote-deposit", "quote-payment"), NOBODY),
    "days": VISITORS | LEADS | HELPERS,
    "day-new": NOBODY,
    "day": VISITORS | LEADS | HELPERS,
    "day-edit": LEADS,
    "day-state": LEADS,
    "day-ready": LEADS,
    "day-helpers": LEADS,
    "day-photo": LEADS,
    "day-came": LEADS,
    "day-built": LEADS,
    "crew-sheet": LEADS,
    "ground-correct": NOBODY,
    "day-close": LEADS,
    "aftercare": LEADS,
    "follow-up": LEADS,
    "follow-up-photo": LEADS,
    "care-sheet": LEADS,
    "care-sheet-handed": LEADS,
    "tally": READERS | LEADS | VISITORS,
    "tally-csv": READERS,
}
NO_ROW = {"price"}  # its key names a thing of the trade that every group's book has, not a row
OPENED_BY_THE_ROW = {"day"}  # a helper finds only the days they signed up for: 404 on any other
OUTSIDE = {"group-start", "join", "password", "password-forgotten", "password-sent", "password-new", "look", "speak", "start", "sign-in", "sign-out", "plan-public", "plan-public-paper", "plan-public-withdraw", "sign-up-public", "care-public",
           "care-public-paper", "worker"}  # fmt: skip


def routes(patterns=None, above=""):
    """(name, route) of every address outside the operator's own admin."""
    for one in get_resolver().url_patterns if patterns is None else patterns:
        if isinstance(one, URLResolver):
            if one.app_name != "admin":
                yield from routes(one.url_patterns, above + str(one.pattern))
        elif isinstance(one, URLPattern):
            yield one.name, above + str(one.pattern)


INSIDE = sorted(name for name, route in routes() if route.startswith("g/<slug:group>/"))


def test_every_route_is_on_one_of_the_two_lists():
    assert set(INSIDE) == set(MAY_OPEN)
    assert {name for name, route in routes() if not route.startswith("g/")} == OUTSIDE


def make_photo(world, visit) -> Photo:
    for key in ("view.jpg", "thumb.jpg"):
        default_storage.save(f"{world.group.slug}-{key}", ContentFile(b"a picture"))
    return Photo.everywhere.create(
        group=world.group, place=visit.conversion.place, taken_for="visit", taken_for_id=visit.pk,
        original_sha256="0", original_bytes=9, view_key=f"{world.group.slug}-view.jpg",
        thumb_key=f"{world.group.slug}-thumb.jpg", width=4, height=3,
    )  # fmt: skip


def make_counted(day) -> Ground:
    return Ground.everywhere.create(
        group=day.group, patch=day.day_patches.get().patch, day=day, kind="extension", m2=1, complete_on=day.on,
        count_on=day.on, year=day.on.year, month=day.on.month, by=day.lead,
    )  # fmt: skip


def make_held(world, conversion) -> Hold:
    page = Document.everywhere.create(group=world.group, kind="signed page", title="x", content=b"%PDF-1.7")
    row = open_hold(conversion=conversion, kind="owner", by=world.organiser)
    Hold.everywhere.filter(pk=row.pk).update(document=page)
    return row


def samples(world) -> dict[str, dict]:
    """For each route the keys of a row of the right kind in this group."""
    draft = make_open(world, make_yard(world, address="1 Tansy Row"))
    site = draft.site
    patch, bed = site["patches"][0]["uid"], site["beds"][0]["uid"]
    plan = {"pk": draft.conversion.pk}
    visit = book_visit(conversion=draft.conversion, by=world.organiser, due_at=datetime.datetime.now(datetime.UTC))
    quote = {"pk": make_quote(world).pk}
    sent = make_sent(world)
    agreed = make_agreed(world)
    row = make_day(world, agreed)
    day = {"pk": row.pk}
    paper = Document.everywhere.create(group=world.group, kind="care sheet", title="x", content=b"%PDF-1.7")
    sheet = CareSheet.everywhere.create(group=world.group, conversion=agreed, day=row, n=1, document=paper)
    write_follow_ups(conversion=agreed, complete_on=world.today)
    due = FollowUp.of(world.group).filter(kind="week 1").get()
    links.make("care", "care sheet", sheet)
    contact = agreed.household.contact
    told = outbox.queue(
        key=f"care-sheet:{sheet.pk}",
        kind="care-sheet",
        person=contact,
        day=row,
        document=paper,
        values={"address": "x"},
    )
    on_patch = plan | {"uid": patch}
    return {
        **{name: {} for name in ("week", "search", "yards", "enquiry", "prices", "days", "day-new", "aftercare", "tally", "tally-csv")},
        **{name: plan for name in MAY_OPEN if name.startswith(("yard-", "plan-")) or name in ("yard", "plan", "visit-book")},
        **dict.fromkeys(("plan-patch", "plan-patch-remove", "plan-layout", "plan-across"), on_patch),
        **{name: {} for name in ("members", "leave", "group-edit", "uses", "numbers", "history")},
        **{name: {"pk": world.helper.pk} for name in ("member-roles", "member-remove")},
        "invite-revoke": {"pk": invite(group=world.group, by=world.organiser, roles=frozenset()).pk},
        "plan-side": on_patch | {"corner": "A"},
        "plan-bed-new": on_patch | {"kind": "pocket"},
        **dict.fromkeys(("hold", "hold-override", "hold-paper"), {"pk": make_held(world, draft.conversion).pk}),
        "hold-new": plan,
        **{name: plan | {"uid": bed} for name in ("plan-bed", "plan-bed-remove")},
        "quote-draft": plan,
        "photo": {"pk": (photo := make_photo(world, visit)).pk, "size": "view"},
        **{name: {"pk": photo.pk} for name in ("photo-page", "photo-people", "photo-where", "photo-move", "photo-blur", "photo-remove")},
        "reply-undo": {"pk": sent.pk},
        **dict.fromkeys(("person", "person-all", "person-edit", "person-consent"), {"pk": agreed.household.contact_id}),
        **{name: {} for name in ("people", "messages", "message-test")},
        **dict.fromkeys(("message", "message-done", "message-again", "message-paper", "message-letter"), {"pk": told.pk}),
        **{name: {"pk": visit.pk} for name in ("visit", "visit-answer", "visit-photo", "visit-done", "visit-queue", "visit-offline")},
        **dict.fromkeys(("quote", "quote-price", "quote-send", "quote-paper"), quote),
        "quote-line": quote | {"n": 1},
        **dict.fromkeys(("quote-reply", "quote-again", "quote-payment"), {"pk": sent.pk}),
        "quote-line-new": quote | {"kind": "own"},
        "quote-deposit": quote,
        "price": {"slug": "compost"},
        **{name: {} for name in ("prices-csv", "prices-file")},
        **{name: day for name in MAY_OPEN if name.startswith("day-") or name in ("day", "crew-sheet")},
        "day-new": {},
        "ground-correct": day | {"ground_pk": make_counted(row).pk},
        "day-built": day | {"patch_pk": row.day_patches.get().patch_id},
        **dict.fromkeys(("follow-up", "follow-up-photo"), {"pk": due.pk}),
        **{name: {"pk": sheet.pk} for name in ("care-sheet", "care-sheet-handed")},
    }  # fmt: skip


@pytest.fixture(scope="module")
def street(django_db_setup, django_db_blocker):
    """Two groups with everything in them, built once for this file and cleared away after it."""
    with django_db_blocker.unblock():
        worlds = World("oak", "Oak Street Growers"), World("elm", "Elm Row Growers")
        yield [(world, samples(world)) for world in worlds]
        call_command("flush", interactive=False, verbosity=0)


def knock(client, method: str, name: str, keys: dict) -> int:
    body = {"drawing": 1, "revision": 2} if method == "post" and name.startswith("plan") else {}
    return getattr(client, method)(reverse(name, kwargs={"group": "oak", **keys}), body).status_code


OPENED = {200, 302, 400, 405, 409, 422}
REFUSED = {403, 404}


@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.parametrize("name", INSIDE)
def test_a_route_opens_to_its_roles_and_to_nobody_else(client, street, db, name, method):
    (oak, ours), (elm, theirs) = street
    ours, theirs = ours[name], theirs[name]
    answer = getattr(client, method)(reverse(name, kwargs={"group": "oak", **ours}))
    assert (answer.status_code, answer["Location"].startswith("/sign-in/")) == (302, True), "logged out"
    for role in ROLES:
        elm.sign_in(client, role)
        assert knock(client, method, name, ours) == 404, f"a stranger, {role} elsewhere"
    found = {}
    for role in sorted(ROLES, key=lambda r: r == "organiser"):  # who may do most comes last: it may use the row up
        oak.sign_in(client, role)
        if theirs and name not in NO_ROW:
            found[role, "theirs"] = knock(client, method, name, theirs)
        found[role, "ours"] = knock(client, method, name, ours)
    unknown = {405} if found["organiser", "ours"] == 405 else set()  # this address does not know this method at all
    for (role, whose), status in found.items():
        may = role == "organiser" or role in MAY_OPEN[name]
        if role == "helper" and name in OPENED_BY_THE_ROW:
            may = False
        wanted = OPENED if may and whose == "ours" else REFUSED | unknown
        assert status in wanted, f"{role}, {whose}: {status}"
        if may and whose == "theirs":
            assert status in {404} | unknown, f"{role} learns that another group's row exists"


@pytest.mark.parametrize("name", sorted(n for n in OUTSIDE if "public" in n))
def test_a_link_opens_its_own_subject_and_a_forged_one_nothing(client, street, db, name):
    purpose = {"plan": "plan", "sign": "sign-up", "care": "care"}[name.split("-")[0]]
    oak = street[0][0]
    subject = {
        "plan": lambda: ("quote", make_sent(oak)),
        "sign-up": lambda: ("day", make_day(oak, make_agreed(oak))),
        "care": lambda: ("care sheet", CareSheet.of(oak.group).get()),
    }[purpose]()
    link = links.make(purpose, *subject)
    token = links.token(link)
    assert client.get(reverse(name, args=[token])).status_code == 200
    wrong = token[:-1] + ("A" if token[-1] != "A" else "B")
    for forged in (wrong, f"{link.pk}.", "0.x", "9" * 30 + ".x", "x"):
        assert client.get(reverse(name, args=[forged])).status_code == 404
        assert client.post(reverse(name, args=[forged])).status_code in (404, 405)
    link.revoked_at = datetime.datetime.now(datetime.UTC)
    link.save(update_fields=["revoked_at"])
    answer = client.get(reverse(name, args=[token]))
    assert answer.status_code == 410
    assert "000 000 000" in answer.content.decode()  # somebody to ring
