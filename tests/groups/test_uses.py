"""What a group works with beyond the plain rules: off until wanted, and then felt."""

from decimal import Decimal

import pytest

from conversions.yards import measure
from conversions.yards.actions import keep_draft, open_draft, save_site
from conversions.yards.forms.settings import SettingsForm
from tests.rows import make_open, make_quote, make_yard

pytestmark = pytest.mark.django_db


def keep(client, world, text: str):
    answer = client.post(world.url("group/uses/"), {"fire_strip": text})
    world.group.refresh_from_db()
    return answer


def test_all_is_off_for_a_new_group_and_no_plan_asks(organiser, oak):
    page = organiser.get(oak.url("group/uses/")).content.decode()
    assert ">off<" in page.replace("\n", "")
    draft = make_open(oak, make_yard(oak))
    assert not draft.site.get("fire_strip_m")
    assert "fire_strip" not in SettingsForm(group=oak.group, document=draft.site).fields


def test_a_width_switches_it_on_and_an_empty_field_off(organiser, oak):
    assert keep(organiser, oak, "1.5 m").status_code == 302
    assert oak.group.fire_strip_m == Decimal("1.50")
    assert 'value="1.5"' in organiser.get(oak.url("group/uses/")).content.decode()
    keep(organiser, oak, "")
    assert oak.group.fire_strip_m is None


def test_keeping_feet_again_does_not_creep(organiser, oak):
    oak.group.units = "imperial"
    oak.group.save()
    keep(organiser, oak, "5")
    assert oak.group.fire_strip_m == Decimal("1.52")  # 5 x 0.3048 = 1.524 (NIST Handbook 44, Appendix C)
    shown = organiser.get(oak.url("group/uses/")).context["form"].initial["fire_strip"]
    keep(organiser, oak, shown)
    assert oak.group.fire_strip_m == Decimal("1.52")


@pytest.mark.parametrize("text", ["wide", "-1", "0", "400 m", "1 cm"])
def test_a_width_that_cannot_be_is_refused_and_kept_as_typed(organiser, oak, text):
    answer = keep(organiser, oak, text)
    assert answer.status_code == 400 and f'value="{text}"' in answer.content.decode()
    assert oak.group.fire_strip_m is None


def test_every_new_plan_keeps_the_strip_and_the_page_and_the_paper_show_it(organiser, oak):
    keep(organiser, oak, "1.5")
    yard = make_yard(oak)
    yard.refresh_from_db()
    draft = open_draft(conversion=yard, by=oak.organiser)
    assert draft.site["fire_strip_m"] == 1.5
    plain = make_open(oak, make_yard(oak, address="2 Tansy Row")).site
    walled = plain | {"fire_strip_m": 1.5, "beds": []}
    draft = save_site(draft=draft, revision=draft.revision, site=walled)
    with_strip, _problems = measure.takeoff_of(walled)
    without, _problems = measure.takeoff_of(plain | {"fire_strip_m": 0, "beds": []})
    assert with_strip["figures"]["cover"]["value"] < without["figures"]["cover"]["value"]
    page = organiser.get(oak.url(f"yards/{yard.pk}/plan/"))
    assert page.status_code == 200
    settings = organiser.get(oak.url(f"yards/{yard.pk}/plan/depths/"))
    assert "buildings and fences that burn" in settings.content.decode()


def test_a_yard_may_need_no_strip_although_the_group_has_one(organiser, oak):
    keep(organiser, oak, "1.5")
    document = make_open(oak, make_yard(oak)).site | {"fire_strip_m": 1.5}
    form = SettingsForm(group=oak.group, document=document)
    told = {name: form.initial.get(name, "") for name in form.fields}
    for typed, metres in (("", 0.0), ("2 m", 2.0), (form.initial["fire_strip"], 1.5)):
        form = SettingsForm(told | {"fire_strip": typed}, group=oak.group, document=document)
        assert form.is_valid(), form.errors
        assert form.settings["fire_strip_m"] == metres


def test_a_quote_with_the_strip_is_made_and_its_paper_printed(organiser, oak):
    keep(organiser, oak, "1")
    draft = make_open(oak)
    site = draft.site | {"fire_strip_m": 1.0, "beds": []}
    draft = save_site(draft=draft, revision=draft.revision, site=site)
    quote = make_quote(oak, keep_draft(draft=draft, revision=draft.revision, by=oak.organiser))
    answer = organiser.get(oak.url(f"quotes/{quote.pk}/paper.pdf"))
    assert answer.status_code == 200 and b"".join(answer).startswith(b"%PDF")


# ---- the switch is offered where the fact turns up

OFFER = "Does a fire rule hold where you work?"


def plan_page(client, world, beyond: str) -> str:
    site = make_open(world, make_yard(world)).site
    patch = {**site["patches"][0]}
    patch["corners"] = [{**corner, "beyond": beyond if corner["id"] == "B" else "lawn"} for corner in patch["corners"]]
    yard = make_yard(world, name="Sol Marin", reach="000 555 66", address="2 Upper Fold")
    draft = make_open(world, yard)
    save_site(draft=draft, revision=draft.revision, site={**site, "patches": [patch]})
    return client.get(world.url(f"yards/{yard.pk}/plan/")).content.decode()


def test_a_fence_beside_a_lawn_offers_the_fire_rule_and_switches_nothing_on(organiser, oak):
    page = plan_page(organiser, oak, "fence")
    assert OFFER in page and oak.url("group/uses/") in page
    oak.group.refresh_from_db()
    assert oak.group.fire_strip_m is None


def test_a_lawn_without_a_fence_offers_nothing(organiser, oak):
    assert OFFER not in plan_page(organiser, oak, "pavement")


def test_whoever_cannot_switch_it_on_is_not_asked(client, oak):
    oak.sign_in(client, "visitor")
    assert OFFER not in plan_page(client, oak, "fence")


def test_once_the_rule_is_kept_nobody_is_asked_again(organiser, oak):
    keep(organiser, oak, "1.5")
    assert OFFER not in plan_page(organiser, oak, "fence")
