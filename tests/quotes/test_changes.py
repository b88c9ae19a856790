"""What changed between two versions, in words; and the fresh version made by one press."""

import datetime
import doctest
from decimal import Decimal

import pytest
import time_machine

from conversions.quotes import actions, answers, changes, line_actions, proposal
from conversions.quotes.models import Quote
from tests.rows import make_newer, make_prices, make_quote, make_sent, plan_token

from .test_lines import add, change, now, text

pytestmark = pytest.mark.django_db


def told(quote) -> list[str]:
    before = proposal.earlier(quote)
    return changes.sentences(changes.version_of(before), changes.version_of(quote), quote.group)


def sending(quote, **more):
    """What the send form posts for a later version that nobody typed in."""
    derived = "\n".join(told(quote))
    return {"revision": quote.revision, "what_changed": derived, "worked_out": derived, **more}


def test_the_docstrings_say_what_is_true():
    assert doctest.testmod(changes).failed == 0


def test_a_frame_left_out_is_told_with_the_price_it_saves(oak):
    second = make_newer(oak, make_sent(oak))
    change(second, "frame", is_left_out=True)
    assert told(now(second)) == ["The wooden frame is gone.", "The price falls from $277.00 to $203.00."]


def test_nothing_changed_says_nothing(oak):
    assert told(make_newer(oak, make_sent(oak))) == []


def test_own_lines_who_brings_and_quantities_are_told(oak):
    second = make_newer(oak, make_sent(oak))
    add(second, "own", "A water butt", unit_price=Decimal(35))
    change(second, "compost", quantity=Decimal("3.0"))
    change(second, "plants", brought_by="household")
    assert told(now(second)) == [
        "New: A water butt, $35.00.",
        "Compost: now 3.0 m³; it was 2.0 m³.",
        "You now bring the plants.",
        "The price rises from $277.00 to $298.00.",
    ]


def test_a_new_grant_is_told_as_what_it_takes_off(oak):
    second = make_newer(oak, make_sent(oak))
    add(second, "grant", "Water district", unit_price=Decimal(50))
    assert told(now(second)) == [
        "New: a grant, Water district, takes off $50.00.",
        "The price falls from $277.00 to $227.00.",
    ]


def test_a_new_day_is_told_by_itself_and_the_words_typed_are_kept(organiser, oak):
    with time_machine.travel(datetime.datetime(2026, 4, 20, 12, tzinfo=datetime.UTC), tick=False):
        first = make_sent(oak, offered_on=datetime.date(2026, 5, 9))
        second = make_newer(oak, first)
        posted = sending(second, what_changed="We left the old tree alone.", day="", other_on="2026-05-16")
        organiser.force_login(oak.organiser.user, backend="django.contrib.auth.backends.ModelBackend")
        assert organiser.post(oak.url(f"quotes/{second.pk}/send/"), posted).status_code == 302
    second.refresh_from_db()
    assert second.changes == ["We left the old tree alone.", "The day is now Saturday 16 May."]


def test_words_written_before_the_quote_changed_again_are_asked_about(organiser, oak):
    second = make_newer(oak, make_sent(oak))
    posted = sending(second, what_changed="All as before.")
    change(second, "frame", is_left_out=True)
    page = organiser.post(oak.url(f"quotes/{second.pk}/send/"), posted | {"revision": now(second).revision})
    assert "The wooden frame is gone." in text(page)
    assert b"All as before." in page.content
    assert now(second).state == "draft"


def test_untouched_words_go_out_as_the_quote_stands_now(organiser, oak):
    second = make_newer(oak, make_sent(oak))
    posted = sending(second)
    change(second, "frame", is_left_out=True)
    organiser.post(oak.url(f"quotes/{second.pk}/send/"), posted | {"revision": now(second).revision})
    assert now(second).changes == ["The wooden frame is gone.", "The price falls from $277.00 to $203.00."]


def test_the_household_reads_what_changed(client, oak):
    second = make_newer(oak, make_sent(oak))
    sent = make_sent(oak, second, what_changed="The wooden frame is gone.\nThe day is now Saturday 16 May.")
    page = text(client.get(f"/p/{plan_token(sent)}/"))
    assert "What changed since" in page
    assert "The wooden frame is gone." in page


def test_what_changed_is_frozen_with_the_version_that_was_sent(oak):
    sent = make_sent(oak, make_newer(oak, make_sent(oak)), what_changed="The wooden frame is gone.")
    make_newer(oak, sent)
    assert Quote.of(oak.group).get(pk=sent.pk).changes == ["The wooden frame is gone."]


# ---- one press: the same plan at today's prices


@pytest.mark.parametrize("how", ["sent", "declined", "expired"])
def test_one_press_makes_a_fresh_version_at_todays_prices(organiser, oak, how):
    quote = make_sent(oak)
    if how == "declined":
        answers.record_reply(quote=quote, answer="no", route="person", name="Ruth", by=oak.organiser)
    if how == "expired":
        Quote.of(oak.group).update(state="expired")
    make_prices(oak, {"compost": "60"})
    assert "New version at today’s prices" in text(organiser.get(oak.url(f"quotes/{quote.pk}/")))
    assert organiser.post(oak.url(f"quotes/{quote.pk}/again/")).status_code == 302
    fresh = Quote.of(oak.group).get(version=2)
    assert (fresh.state, fresh.total(), quote.total()) == ("draft", Decimal("301.00"), Decimal("277.00"))


def test_pressing_again_twice_makes_one_fresh_version_and_keeps_what_was_typed_in_it(organiser, oak):
    quote = make_sent(oak)
    organiser.post(oak.url(f"quotes/{quote.pk}/again/"))
    change(Quote.of(oak.group).get(version=2), "frame", is_left_out=True)
    organiser.post(oak.url(f"quotes/{quote.pk}/again/"))
    assert Quote.of(oak.group).count() == 2
    assert Quote.of(oak.group).get(version=2).total() == Decimal("203.00")


def test_a_new_price_never_touches_a_sent_quote_nor_its_paper(client, oak):
    sent = make_sent(oak, is_rendered=True)
    frozen, lines = dict(sent.frozen), [line.amount for line in sent.lines.all()]
    content = bytes(sent.document.content)
    make_prices(oak, {"compost": "99", "frame": "150", "chips": "40"})
    again = Quote.of(oak.group).get(pk=sent.pk)
    assert (again.frozen, [line.amount for line in again.lines.all()]) == (frozen, lines)
    assert (again.total(), bytes(again.document.content)) == (Decimal("277.00"), content)
    assert "$277.00" in text(client.get(f"/p/{plan_token(sent)}/"))


def test_only_one_version_of_a_yard_is_ever_unsent(oak):
    quote = make_quote(oak)
    make_newer(oak, quote)
    states = list(Quote.of(oak.group).order_by("version").values_list("state", flat=True))
    assert states == ["withdrawn", "draft"]


def test_a_sent_quote_refuses_every_way_of_changing_its_lines(organiser, oak):
    sent = make_sent(oak)
    n = sent.lines.get(item="frame").n
    for path in (f"line/{n}/", "line/own/", "line/tax/", "deposit/"):
        organiser.post(oak.url(f"quotes/{sent.pk}/{path}"), {"do": "out", "revision": sent.revision})
    assert (now(sent).total(), now(sent).lines.count(), now(sent).revision) == (sent.total(), 9, sent.revision)
    with pytest.raises(line_actions.Stale):
        actions_on(sent)


def actions_on(sent):
    line_actions.set_deposit(quote=sent, revision=sent.revision, deposit=Decimal(5))


def test_the_fresh_version_of_a_plan_takes_its_first_yes_like_any_other(oak):
    old = make_sent(oak)
    fresh = make_sent(oak, actions.reissue(quote=old, by=oak.organiser))
    answers.record_reply(quote=fresh, answer="yes", route="person", name="Ruth", by=oak.organiser)
    states = dict(Quote.of(oak.group).values_list("version", "state"))
    assert states == {1: "replaced", 2: "accepted"}
