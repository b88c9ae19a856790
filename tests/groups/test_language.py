"""Whoever is signed in reads their own language, on every page and in every group of theirs."""

import pytest
from django.urls import reverse

from conversions.people.models import Person
from tests.rows import make_yard


def text(answer) -> str:
    return answer.content.decode()


def test_the_group_s_language_holds_until_somebody_chooses(client, oak):
    assert 'lang="en"' in text(oak.sign_in(client).get(oak.url("")))
    oak.group.language = "es"
    oak.group.save()
    page = text(client.get(oak.url("")))
    assert 'lang="es"' in page and "Esta semana" in page


def test_one_s_own_choice_holds_on_the_next_page_and_the_next_phone(client, oak, django_user_model):
    oak.sign_in(client, "lead")
    answer = client.post(reverse("speak"), {"language": "es", "back": oak.url("")}, follow=True)
    assert answer.redirect_chain == [(oak.url(""), 302)]
    assert "Esta semana" in text(answer)
    other = type(client)()
    assert "Esta semana" in text(oak.sign_in(other, "lead").get(oak.url("")))
    assert "This week" in text(oak.sign_in(other, "visitor").get(oak.url("")))  # nobody else's changes


def test_the_menu_offers_each_other_language_by_its_own_name(client, oak):
    assert ">Español</button>" in text(oak.sign_in(client).get(oak.url("")))
    client.post(reverse("speak"), {"language": "es"})
    page = text(client.get(oak.url("")))
    assert ">English</button>" in page and ">Español</button>" not in page


def test_what_is_known_of_a_helper_holds_when_they_sign_in(client, oak):
    Person(group=oak.group, name="Bo Lind", member=oak.lead, language="es").save()
    assert "Esta semana" in text(oak.sign_in(client, "lead").get(oak.url("")))


def test_pages_without_a_group_are_read_in_it_too(client, oak):
    oak.sign_in(client)
    client.post(reverse("speak"), {"language": "es"})
    assert "Cambiar su contraseña" in text(client.get(reverse("password")))
    client.post(reverse("sign-out"))
    assert "Contraseña" in text(client.get(reverse("sign-in")))


def test_a_stranger_s_phone_is_answered_in_its_language(client, db):
    assert 'lang="es"' in text(client.get(reverse("sign-in"), headers={"accept-language": "es-MX,es;q=0.9"}))


@pytest.mark.parametrize("language", ["xx", "", "../etc", "de"])
def test_a_language_we_do_not_have_changes_nothing(client, oak, language):
    oak.sign_in(client)
    assert client.post(reverse("speak"), {"language": language}).status_code == 302
    oak.organiser.user.refresh_from_db()
    assert oak.organiser.user.language == ""


def test_the_way_back_never_leaves_this_site(client, oak):
    oak.sign_in(client)
    answer = client.post(reverse("speak"), {"language": "es", "back": "https://elsewhere.example/"})
    assert answer["Location"] == reverse("start")


def test_a_household_s_language_is_not_the_organiser_s(client, oak):
    yard = make_yard(oak)
    yard.household.contact.language = "es"
    yard.household.contact.save()
    assert 'lang="en"' in text(oak.sign_in(client).get(oak.url(f"yards/{yard.pk}/")))
