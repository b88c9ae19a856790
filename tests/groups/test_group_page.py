"""The group's own page."""

import pytest

from conversions.groups.forms import GroupPageForm

pytestmark = pytest.mark.django_db


def told(group, **changes) -> dict:
    return {k: v for k, v in (GroupPageForm.what_stands(group) | changes).items() if v is not None}


def keep(client, world, **changes):
    answer = client.post(world.url("group/"), told(world.group, **changes))
    world.group.refresh_from_db()
    return answer


def test_what_stands_is_shown_and_keeping_it_changes_nothing(organiser, oak):
    page = organiser.get(oak.url("group/")).content.decode()
    assert 'value="Oak Street Growers"' in page and 'value="000 000 000"' in page
    before = {f.attname: getattr(oak.group, f.attname) for f in oak.group._meta.concrete_fields}
    assert keep(organiser, oak).status_code == 302
    assert before == {f.attname: getattr(oak.group, f.attname) for f in oak.group._meta.concrete_fields}


def test_every_answer_is_kept(organiser, oak):
    keep(
        organiser, oak, name="Oak & Ash", phone="000 1", phone_hours="mornings", goal=250, season_day=15, season_month=11,
        paper="Letter", currency="kr", currency_after="after", minor_digits=0, zone="America/Chicago",
    )  # fmt: skip
    g = oak.group
    assert (g.name, g.phone, g.phone_hours, g.paper) == ("Oak & Ash", "000 1", "mornings", "Letter")
    assert (g.currency, g.currency_after, g.minor_digits, g.zone) == ("kr", True, 0, "America/Chicago")
    assert (g.season_ends_day, g.season_ends_month) == (15, 11)
    assert g.goal(g.today().year) == 250


def test_the_postal_address_is_kept_line_by_line(organiser, oak):
    keep(organiser, oak, postal=" 2 Harrow Lane \r\n\r\nMilltown 00000\r\n")
    assert oak.group.postal == "2 Harrow Lane\nMilltown 00000"


def test_a_goal_in_square_feet_is_kept_in_square_metres_and_comes_back_as_typed(organiser, oak):
    oak.group.units = "imperial"
    oak.group.save()
    keep(organiser, oak, goal=2000)
    # 1 ft = 0.3048 m exactly (NIST Handbook 44, Appendix C): 2000 x 0.09290304 = 185.8
    assert oak.group.goal(oak.group.today().year) == 186
    assert 'value="2002"' in organiser.get(oak.url("group/")).content.decode()
    keep(organiser, oak)
    assert oak.group.goal(oak.group.today().year) == 186, "keeping again does not make it creep"


def test_the_goals_of_other_years_stay_and_an_empty_goal_is_taken_away(organiser, oak):
    year = oak.group.today().year
    oak.group.goals = {str(year - 1): 100, str(year): 200}
    oak.group.save()
    keep(organiser, oak, goal=None)
    assert oak.group.goals == {str(year - 1): 100}


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", ""),
        ("zone", "Nowhere/At_all"),
        ("season_day", "31"),
        ("goal", "-4"),
        ("units", "cubits"),
        ("minor_digits", "7"),
    ],
)
def test_a_wrong_answer_is_refused_beside_its_field_and_nothing_is_kept(organiser, oak, field, value):
    answer = keep(organiser, oak, phone="000 9", **{"season_day": 15, "season_month": 11, field: value})
    assert answer.status_code == 400
    assert list(answer.context["form"].errors) == [field]
    assert oak.group.phone == "000 000 000"
    assert 'value="000 9"' in answer.content.decode()


@pytest.mark.parametrize("role", ["visitor", "lead", "reader", "helper"])
def test_only_organisers_open_it(client, oak, role):
    oak.sign_in(client, role)
    assert client.get(oak.url("group/")).status_code == 403
    assert "Your group" not in client.get(oak.url("")).content.decode()
