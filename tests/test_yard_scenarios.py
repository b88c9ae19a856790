"""In the yard: a visit and a walk as they go wrong or get hard, and bad input beside them."""

import io
import re
import uuid

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone
from PIL import Image
from pypdf import PdfReader

from conversions.people.consents import write_consent
from conversions.people.models import Message
from conversions.visits.actions import add_entries, book_visit, keep_photo
from conversions.visits.models import Entry
from conversions.yards import pictures
from conversions.yards.actions import keep_draft, open_draft, save_site
from conversions.yards.hold_kinds import PLACES
from conversions.yards.hold_override import ask_override
from conversions.yards.models import Hold, Photo
from tests.rows import jpeg, make_kept, make_quote, make_sent, make_yard, plan_token, rectangle
from tests.yards.test_plan import Desk, beside, text


@pytest.fixture
def visit(oak):
    return book_visit(conversion=make_yard(oak), by=oak.visitor, due_at=timezone.now())


def own_client(world, role) -> Client:
    return world.sign_in(Client(), role)


def saw(html: str, code: str) -> str:
    return re.search(rf'name="{code}-saw" value="([^"]*)"', html)[1]


# ---- what is typed


def test_mixed_units_are_read_as_written_kept_raw_and_shown_in_feet_and_inches(organiser, oak):
    desk = Desk(organiser, oak)
    desk.draw(len_A="12'6\"", len_B="5.2 m", beyond_A="open")
    assert desk.site["patches"][0]["typed"]["lengths"] == {"A": "12'6\"", "B": "5.2 m"}
    page = desk.page()
    assert "19.8 m²" in page and "213 sq ft" in page and "12 ft 6 in" in page
    oak.group.units = "imperial"
    oak.group.save()
    page = desk.page()
    assert "12 ft 6 in" in page and "12.5000" not in page


def test_a_decimal_comma_is_read_and_a_comma_before_three_digits_is_asked_about(organiser, oak):
    desk = Desk(organiser, oak)
    assert "Is this 1.25 or 1250?" in beside(text(desk.draw(len_A="1,250", len_B="4")), "length_A")
    assert not desk.yard.drafts.exists()
    desk.draw(len_A="7,5", len_B="4")
    assert desk.site["patches"][0]["corners"][1]["x"] == 7.5


def test_four_hundred_metres_are_asked_about_and_saved_with_a_reason(organiser, oak):
    desk = Desk(organiser, oak)
    page = text(desk.draw(len_A="400", len_B="4"))
    assert "about four football pitches long. Check the unit." in beside(page, "length_A")
    assert 'value="400"' in page and not desk.yard.drafts.exists()
    desk.draw(len_A="400", len_B="4", why_long="A verge along the old railway")
    assert desk.site["patches"][0]["typed"]["why_long"] == "A verge along the old railway"


# ---- no signal, two visitors


def test_what_was_kept_without_signal_arrives_once_however_often_it_is_sent(client, oak, visit):
    """The phone's side of it, with 12 photos and a killed page, is in tests/browser/test_offline.py."""
    oak.sign_in(client, "visitor")
    to = oak.url(f"visits/{visit.pk}/queue/")
    rows = [{"sun-sun": "over 6", "sun-uid": str(uuid.uuid4()), "sun-saw": ""}]
    rows += [{"photo-other-uid": str(uuid.uuid4()), "photo-people": "none", "n": n} for n in range(12)]
    for row in [*rows, *rows]:
        file = {} if "n" not in row else {"photo-other": jpeg((row["n"] * 20, 90, 40))}
        assert client.post(to, {**row, **file}).status_code == 200
    assert Entry.of(oak.group).count() == 1 and Photo.of(oak.group).count() == 12


def test_two_visitors_add_to_each_other_and_the_later_of_two_answers_to_one_question_is_a_choice(oak, visit):
    petra, ilmari = own_client(oak, "organiser"), own_client(oak, "visitor")
    address = oak.url(f"visits/{visit.pk}/")
    to = f"{address}entries/"
    seen = {client: client.get(address).content.decode() for client in (petra, ilmari)}
    petra.post(to, {"sun-sun": "over 6", "sun-saw": saw(seen[petra], "sun")})
    ilmari.post(to, {"septic-septic": "no", "septic-saw": saw(seen[ilmari], "septic")})
    kept = {entry.question: entry.value for entry in Entry.of(oak.group)}
    assert kept == {"sun": {"sun": "over 6"}, "septic": {"septic": "no"}}

    # the same length in a small field, both from the page as they first saw it
    for client, trunk in ((petra, "26 cm"), (ilmari, "31 cm")):
        client.post(to, {"trees-trees": "near", "trees-trees-trunk": trunk, "trees-saw": saw(seen[client], "trees")})
    page = ilmari.get(address).content.decode()
    assert "Two answers" in page and "260 mm" in page and "310 mm" in page  # as they were read
    both = re.search(r'id="q-trees".*?</ul>', page, re.S)[0]
    assert str(oak.organiser) in both and str(oak.visitor) in both

    ilmari.post(to, {"trees-trees": "near", "trees-trees-trunk": "31 cm", "trees-saw": saw(page, "trees")})
    page = ilmari.get(address).content.decode()
    assert "Two answers" not in page
    history = page[page.index("Who answered what") :]
    assert "260 mm" in history and history.count("310 mm") == 2
    assert str(oak.organiser) in history and str(oak.visitor) in history


def test_answers_for_one_patch_leave_those_of_another_alone(oak):
    draft = make_kept(oak, None, rectangle(label="Front lawn"), rectangle("5", "4", label="Back lawn", zone="back"))
    visit = book_visit(conversion=draft.conversion, by=oak.visitor, due_at=timezone.now())
    front, back = draft.conversion.place.patches.order_by("pk")
    for by, patch, value in ((oak.organiser, front, "over 6"), (oak.visitor, back, "under 3")):
        add_entries(visit=visit, by=by, entries=[{"question": "sun", "value": {"sun": value}, "patch": patch}])
    page = own_client(oak, "organiser").get(oak.url(f"visits/{visit.pk}/")).content.decode()
    assert "Two answers" not in page and Entry.of(oak.group).filter(replaced_by=None).count() == 2


def test_notes_of_both_stand_for_the_later_one_to_put_together(oak, visit):
    petra, ilmari = own_client(oak, "organiser"), own_client(oak, "visitor")
    address = oak.url(f"visits/{visit.pk}/")
    page = petra.get(address).content.decode()
    was = {name: re.search(rf'name="{name}" value="([^"]*)"', page)[1] for name in ("notes_was", "revision")}
    petra.post(f"{address}entries/", {"notes": "The gate sticks.", **was})
    answer = ilmari.post(f"{address}entries/", {"notes": "Beehive by the shed.", **was})
    html = answer.content.decode()
    assert answer.status_code == 409 and "The gate sticks." in html and "Beehive by the shed." in html


# ---- the fire strip, the septic tank


def test_a_fire_strip_takes_its_ground_out_hatches_it_and_the_paper_says_why(organiser, oak):
    yard = make_yard(oak)
    draft = open_draft(conversion=yard, by=oak.organiser)
    lawn = rectangle("8.0", "5.0", beyond={"A": "house"})
    site = {**draft.site, "patches": [lawn], "fire_strip_m": 1.52}
    draft = save_site(draft=draft, revision=draft.revision, site=site, by=oak.organiser)
    figures = draft.takeoff["figures"]
    bare = save_site(draft=draft, revision=draft.revision, site={**site, "fire_strip_m": 0, "house_strip_m": 0}).takeoff
    assert figures["cover"]["value"] == pytest.approx(27.84, abs=0.005)  # 8.0 x (5.0 - 1.52), worked by hand
    assert 1 - figures["cover"]["value"] / bare["figures"]["cover"]["value"] == pytest.approx(0.304, abs=0.001)
    for name in ("chips", "cardboard"):
        assert figures[name]["value"] < bare["figures"][name]["value"]
    draft.refresh_from_db()
    save_site(draft=draft, revision=draft.revision, site=site, by=oak.organiser)
    page = organiser.get(oak.url(f"yards/{yard.pk}/plan/")).content.decode()
    assert "no chips near the building" in page and "27.8" in page
    draft = yard.drawing()
    kept = keep_draft(draft=draft, revision=draft.revision, by=oak.organiser)
    quote = make_sent(oak, make_quote(oak, kept), is_rendered=True)
    said = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(quote.document.content)).pages)
    assert "chips burn too, and the fire rules ask for it." in re.sub(r"\s+", " ", said)


def test_an_unknown_septic_tank_holds_the_spade_and_tells_the_household_how_to_find_out(oak, visit):
    add_entries(visit=visit, by=oak.visitor, entries=[{"question": "septic", "value": {"septic": "not sure"}}])
    hold = Hold.of(oak.group).get()
    assert [place for place in PLACES if getattr(hold, f"blocks_{place}")] == ["building"]
    assert Message.of(oak.group).get(kind="septic-ask").conversion_id == visit.conversion_id


def test_a_drain_field_in_one_patch_leaves_the_other_free_and_the_plan_says_so_kindly(oak):
    draft = make_kept(oak, None, rectangle("6", "4", label="A"), rectangle("5", "4", label="B", zone="back"))
    visit = book_visit(conversion=draft.conversion, by=oak.visitor, due_at=timezone.now())
    a, b = draft.conversion.place.patches.order_by("pk")
    rows = [
        {"question": "septic", "value": {"septic": said}, "patch": patch} for said, patch in (("here", a), ("no", b))
    ]
    add_entries(visit=visit, by=oak.visitor, entries=rows)
    hold = Hold.of(oak.group).get(kind="septic")
    assert (hold.patch, hold.state) == (a, "refused")
    page = Client().get(f"/p/{plan_token(make_sent(oak, make_quote(oak, draft)))}/").content.decode()
    assert "Septic tank or drain field (A)" in page and "Another patch may do" in page


# ---- a child in a picture


def test_a_picture_with_a_child_stays_inside_and_a_blurred_copy_may_be_shown(organiser, oak):
    yard = make_yard(oak)
    asked = {"person": yard.household.contact, "by": oak.organiser, "how": "asked", "on": oak.today}
    write_consent(kind="photo public", answer="yes", **asked)
    noise = io.BytesIO()
    Image.effect_noise((640, 480), 90).convert("RGB").save(noise, "JPEG")
    noise.seek(0)
    photo = keep_photo(
        place=yard.place, by=oak.organiser, file=noise, slot="left", taken_for="day", taken_for_id=1, people="child"
    )
    assert not pictures.may_be_shared(photo)
    organiser.post(oak.url(f"photos/{photo.pk}/blur/"), {"uid": str(uuid.uuid4()), "cells": ["1-2", "1-3"]})
    copy = Photo.of(oak.group).get(blurred_from=photo)
    data = b"".join(organiser.get(oak.url(f"photos/{copy.pk}/view/")).streaming_content)
    assert b"Exif" not in data and b"GPS" not in data
    organiser.post(oak.url(f"photos/{copy.pk}/people/"), {"people": "none"})
    copy.refresh_from_db()
    assert pictures.may_be_shared(copy) and not pictures.may_be_shared(photo)


# ---- bad input


def test_thirty_pictures_at_once_are_all_kept(organiser, oak, visit):
    files = [jpeg((n * 8, 100, 60), (64, 48)) for n in range(30)]
    data = {"photo-other": files, "photo-other-uid": str(uuid.uuid4()), "photo-people": "none"}
    assert organiser.post(oak.url(f"visits/{visit.pk}/photos/"), data).status_code == 302
    assert Photo.of(oak.group).count() == 30 and len({photo.uid for photo in Photo.of(oak.group)}) == 30


def test_a_picture_is_known_by_what_it_is_and_not_by_its_ending(organiser, oak, visit):
    to = oak.url(f"visits/{visit.pk}/photos/")
    wrong = SimpleUploadedFile("lawn.jpg", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "image/jpeg")
    page = organiser.post(to, {"photo-left": wrong, "photo-left-uid": str(uuid.uuid4())}).content.decode()
    assert 'id="photo-left_error"' in page and not Photo.of(oak.group).exists()
    png = io.BytesIO()
    Image.new("RGB", (64, 48), "olive").save(png, "PNG")
    named = SimpleUploadedFile("lawn.jpg", png.getvalue(), "image/jpeg")
    assert organiser.post(to, {"photo-left": named, "photo-left-uid": str(uuid.uuid4())}).status_code == 302
    assert Photo.of(oak.group).get().slot == "left"


def test_a_set_aside_of_a_safety_question_is_refused(oak, visit):
    add_entries(visit=visit, by=oak.visitor, entries=[{"question": "septic", "value": {"septic": "not sure"}}])
    hold = Hold.of(oak.group).get()
    with pytest.raises(ValidationError, match="about safety"):
        ask_override(hold=hold, revision=hold.revision, by=oak.organiser, reason="In a hurry")
