"""Writing down an enquiry, through the page."""

import uuid

import pytest

from conversions.people.models import Person
from conversions.yards.models import Conversion, Household, Place
from tests.rows import make_yard


def asked(**changes) -> dict:
    return {
        "name": "Ruth Okafor",
        "reach": "000 111 222",
        "address": "14 Tansy Row",
        "tenure": "own",
        "uid": str(uuid.uuid4()),
        **changes,
    }


def keep(client, oak, **changes):
    return client.post(oak.url("yards/new/"), asked(**changes))


def text(answer) -> str:
    return answer.content.decode()


def test_three_fields_and_one_tap_make_an_enquiry(organiser, oak):
    answer = keep(organiser, oak)
    row = Conversion.of(oak.group).get()
    assert answer["Location"] == oak.url(f"yards/{row.pk}/")
    assert (row.place.address, row.place.key, row.number) == ("14 Tansy Row", "14 tansy row", 1)
    assert (row.household.tenure, row.household.contact.phone, row.household.contact.route) == (
        "own",
        "000 111 222",
        "phone",
    )
    assert (row.opened_on, row.opened_by) == (oak.today, oak.organiser)


def test_an_e_mail_in_the_same_field_makes_the_route_e_mail(organiser, oak):
    keep(organiser, oak, reach="ruth@oak.example")
    contact = Person.of(oak.group).get()
    assert (contact.route, contact.email, contact.phone) == ("email", "ruth@oak.example", "")


def test_the_address_stays_as_it_was_typed(organiser, oak):
    keep(organiser, oak, address="14,  Tánsy  ROW")
    place = Place.of(oak.group).get()
    assert (place.address, place.key) == ("14,  Tánsy  ROW", "14 tansy row")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"reach": "abc"}, "Write a phone number or an e-mail address."),
        ({"reach": "12"}, "Write a phone number or an e-mail address."),
        ({"reach": "ruth@"}, "This e-mail address looks broken."),
        ({"name": ""}, "Write their name."),
        ({"tenure": ""}, "Choose one. Not sure is fine too."),
    ],
)
def test_an_error_stands_beside_its_field_and_what_was_typed_stays(organiser, oak, change, message):
    page = text(keep(organiser, oak, **change))
    (field,) = change
    assert message in page[page.index(f'id="div_id_{field}"') :][:900]
    assert 'value="14 Tansy Row"' in page
    assert not Conversion.of(oak.group).exists()


def test_nobody_is_taken_for_an_owner_by_default(organiser, oak):
    page = text(organiser.get(oak.url("yards/new/")))
    assert "checked" not in page


def test_a_double_press_makes_one_enquiry(organiser, oak):
    uid = str(uuid.uuid4())
    first, second = keep(organiser, oak, uid=uid), keep(organiser, oak, uid=uid)
    assert first["Location"] == second["Location"]
    assert Conversion.of(oak.group).count() == 1
    assert Place.of(oak.group).count() == Household.of(oak.group).count() == 1


def test_the_same_page_kept_again_with_other_words_says_so_and_loses_nothing(organiser, oak):
    uid = str(uuid.uuid4())
    keep(organiser, oak, uid=uid)
    page = text(keep(organiser, oak, uid=uid, name="Tomasz Brandt", address="3 Sorrel Court", reach="000 555 666"))
    assert "You kept an enquiry from this page before" in page
    assert 'value="Tomasz Brandt"' in page
    assert uid not in page
    assert Conversion.of(oak.group).get().household.contact.name == "Ruth Okafor"


def test_a_known_address_is_offered_and_never_taken_silently(organiser, oak):
    known = make_yard(oak)
    page = text(keep(organiser, oak, name="Sol Marin", reach="000 999 888", address="14 TANSY ROW."))
    assert "We know this address or number" in page
    assert "Same place, same people: Ruth Okafor, 14 Tansy Row" in page
    assert "Same place, new people: 14 Tansy Row" in page
    assert f'href="{oak.url(f"yards/{known.pk}/")}"' in page
    assert 'value="Sol Marin"' in page
    assert Conversion.of(oak.group).count() == 1


def test_new_people_may_live_at_a_known_place(organiser, oak):
    known = make_yard(oak)
    keep(organiser, oak, name="Sol Marin", reach="000 999 888", known=f"place-{known.place_id}")
    new = Conversion.of(oak.group).exclude(pk=known.pk).get()
    assert (new.place, new.number) == (known.place, 2)
    assert new.household.contact.name == "Sol Marin"


def test_the_same_people_keep_their_household_and_what_is_new_goes_into_the_note(organiser, oak):
    known = make_yard(oak)
    keep(organiser, oak, name="Ben Okafor", reach="000 777 777", known=f"household-{known.household_id}")
    new = Conversion.of(oak.group).exclude(pk=known.pk).get()
    assert new.household == known.household
    assert new.note == "Ben Okafor asked.\nAlso reached at 000 777 777."
    assert Person.of(oak.group).get().phone == "000 111 222"


def test_an_e_mail_of_people_we_only_had_a_number_of_is_added(organiser, oak):
    known = make_yard(oak)
    keep(organiser, oak, reach="ruth@oak.example", known=f"household-{known.household_id}")
    contact = Person.of(oak.group).get()
    assert (contact.phone, contact.email) == ("000 111 222", "ruth@oak.example")


def test_another_place_with_the_same_line_is_another_place(organiser, oak):
    make_yard(oak)
    keep(organiser, oak, name="Sol Marin", reach="000 999 888", known="another")
    assert Place.of(oak.group).count() == 2


def test_a_known_number_offers_its_people_at_another_place(organiser, oak):
    known = make_yard(oak)
    page = text(keep(organiser, oak, address="5 Upper Fold", reach="(000) 111-222"))
    assert "Same people, another place: Ruth Okafor, now at 14 Tansy Row" in page
    keep(organiser, oak, address="5 Upper Fold", reach="(000) 111-222", known=f"person-{known.household.contact_id}")
    new = Conversion.of(oak.group).exclude(pk=known.pk).get()
    assert new.household.contact == known.household.contact
    assert new.place.address == "5 Upper Fold"


def test_a_flat_at_a_known_house_is_offered_too(organiser, oak):
    make_yard(oak, unit="Flat 2")
    page = text(keep(organiser, oak, name="Sol Marin", reach="000 999 888"))
    assert "Same place, new people: 14 Tansy Row, Flat 2" in page


def test_another_groups_address_is_not_known_here(organiser, oak, elm):
    theirs = make_yard(elm)
    keep(organiser, oak)
    assert Conversion.of(oak.group).count() == 1
    answer = keep(organiser, oak, address="9 Millrace Lane", reach="000 444 555", known=f"place-{theirs.place_id}")
    assert answer.status_code == 302
    assert not Conversion.of(oak.group).filter(place=theirs.place).exists()


@pytest.mark.parametrize("uid", ["", "x", "0"])
def test_a_broken_page_is_a_message_and_never_a_crash(organiser, oak, uid):
    assert keep(organiser, oak, uid=uid).status_code == 200
    assert not Conversion.of(oak.group).exists()


def test_a_name_of_one_word_and_an_emoji_is_a_name(organiser, oak):
    keep(organiser, oak, name="Zoë 🌱")
    assert Person.of(oak.group).get().search.startswith("zoe")
