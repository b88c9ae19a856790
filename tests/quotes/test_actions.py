"""Prices, quotes and answers as rows: what freezes, what counts, who is refused."""

import datetime
from decimal import Decimal

import pytest
import time_machine
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from conversions.groups.tenancy import Stale
from conversions.people.models import Document, Link
from conversions.quotes import actions, answers, book_actions, line_actions, proposal
from conversions.quotes.book import book
from conversions.quotes.models import Line, Price, Quote, Reply
from conversions.yards.models import Conversion
from tests.rows import make_kept, make_newer, make_open, make_prices, make_quote, make_sent

pytestmark = pytest.mark.django_db


def line_of(quote, item) -> Line:
    return quote.lines.get(item=item)


def change(quote, item, **values):
    row = line_of(quote, item)
    kept = {"quantity": row.quantity, "brought_by": row.brought_by, "paid_by": row.paid_by, "words": row.words}
    return line_actions.change_line(quote=quote, revision=quote.revision, n=row.n, **(kept | values))


def say(quote, answer, world, **values):
    values = {"route": "person", "name": "Ruth Okafor", "by": world.organiser} | values
    return answers.record_reply(quote=quote, answer=answer, **values)


# ---- prices


def test_a_new_price_is_a_new_row_from_its_day_on(oak):
    with time_machine.travel(datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)):
        make_prices(oak, {"compost": "40"})
    with time_machine.travel(datetime.datetime(2026, 5, 1, 12, tzinfo=datetime.UTC)):
        make_prices(oak, {"compost": "48"})
        assert book(oak.group)["compost"].values.price == 48
        assert book(oak.group, datetime.date(2026, 4, 30))["compost"].values.price == 40
    assert Price.of(oak.group).count() == 2


def test_a_slip_put_right_on_the_same_day_leaves_one_row(oak):
    make_prices(oak, {"compost": "480"})
    make_prices(oak, {"compost": "48"})
    assert [row.price for row in Price.of(oak.group)] == [48]


def test_a_price_of_another_group_is_not_ours(oak, elm):
    make_prices(elm)
    assert book(oak.group)["compost"].values.price is None


def test_a_negative_price_is_refused(oak):
    with pytest.raises(ValidationError):
        make_prices(oak, {"compost": "-1"})


# ---- the quote before it is sent


def test_a_quote_comes_only_from_a_kept_plan(oak):
    with pytest.raises(ValidationError):
        actions.draft_quote(draft=make_open(oak), by=oak.organiser)


def test_asking_twice_for_the_same_plan_gives_one_quote(oak):
    draft = make_kept(oak)
    first, second = (actions.draft_quote(draft=draft, by=oak.organiser) for _ in range(2))
    assert first == second
    assert Quote.of(oak.group).count() == 1


def test_a_missing_price_set_later_reaches_the_quote_that_waits_for_it(oak):
    quote = actions.draft_quote(draft=make_kept(oak), by=oak.organiser)
    make_prices(oak)
    quote = Quote.of(oak.group).get()
    assert not quote.missing()
    assert quote.total() == Decimal("277.00")


def test_a_later_price_leaves_a_price_the_quote_already_has(oak):
    quote = make_quote(oak)
    book_actions.set_price(group=oak.group, item="compost", price=Decimal(99), by=oak.organiser)
    assert line_of(quote, "compost").unit_price == 48


def test_a_changed_quantity_keeps_the_figure_worked_out_beside_it(oak):
    quote = make_quote(oak)
    change(quote, "compost", quantity=Decimal("3.0"))
    row = line_of(quote, "compost")
    assert (row.quantity, row.engine_quantity, row.amount, row.is_changed) == (3, 2, Decimal("144.00"), True)


def test_compost_that_they_bring_needs_no_delivery_and_bought_again_needs_one(oak):
    quote = make_quote(oak)
    change(quote, "compost", brought_by="household")
    assert not line_of(quote, "compost delivery").values.is_in
    change(quote, "compost", brought_by="group")
    assert line_of(quote, "compost delivery").amount == 45


def test_two_people_changing_one_quote_do_not_undo_each_other(oak):
    quote = make_quote(oak)
    seen = Quote.of(oak.group).get(pk=quote.pk)
    change(quote, "plants", quantity=Decimal(0))
    with pytest.raises(Stale) as stale:
        change(seen, "plants", quantity=Decimal(2))
    assert line_of(stale.value.row, "plants").quantity == 0


# ---- sending


def test_sending_freezes_figures_words_and_bytes_and_makes_the_link(oak):
    quote = make_sent(oak, sentence="Here is your plan.", is_rendered=True)
    assert (quote.state, quote.sentence) == ("sent", "Here is your plan.")
    assert bytes(quote.document.content).startswith(b"%PDF")
    assert quote.frozen["total"] == "277.00"
    assert quote.frozen["takeoff"]["figures"]["cover"]["value"] == quote.draft.takeoff["figures"]["cover"]["value"]
    assert Link.of(oak.group).get().subject_id == quote.pk


def test_nobodys_name_is_frozen(oak):
    quote = make_sent(oak, sentence="Dear Ruth")
    assert all(word not in str(quote.frozen) for word in ("Ruth", "Okafor", "Tansy", "Organiser"))


def test_a_quote_with_a_missing_price_is_not_sent(oak):
    quote = actions.draft_quote(draft=make_kept(oak), by=oak.organiser)
    with pytest.raises(ValidationError):
        make_sent(oak, quote)
    assert (Quote.of(oak.group).get().state, Document.of(oak.group).count()) == ("draft", 0)


def test_a_quote_changed_after_its_paper_was_made_is_not_sent(oak):
    quote = make_quote(oak)
    paper, revision = proposal.prepare(quote), quote.revision
    change(quote, "plants", quantity=Decimal(0))
    with pytest.raises(Stale):
        actions.send_quote(quote=quote, revision=revision, by=oak.organiser, paper=paper)
    assert (Quote.of(oak.group).get().state, Document.of(oak.group).count()) == ("draft", 0)


def test_pressing_send_twice_sends_once(oak):
    quote = make_quote(oak)
    paper, revision = proposal.prepare(quote), quote.revision
    actions.send_quote(quote=quote, revision=revision, by=oak.organiser, paper=paper)
    with pytest.raises(Stale):
        actions.send_quote(quote=quote, revision=revision, by=oak.organiser, paper=paper)
    assert (Document.of(oak.group).count(), Link.of(oak.group).count()) == (1, 1)


def test_a_newer_version_takes_the_place_of_the_one_sent_before(oak):
    first = make_sent(oak)
    second = make_sent(oak, make_newer(oak, first))
    first.refresh_from_db()
    assert (first.state, second.state, second.version) == ("replaced", "sent", 2)


def test_who_brings_and_who_pays_is_remembered_in_the_make_newer(oak):
    quote = make_quote(oak)
    change(quote, "frame", brought_by="household")
    second = make_newer(oak, make_sent(oak, quote))
    assert line_of(second, "frame").brought_by == "household"


def test_a_sent_quote_cannot_be_changed(oak):
    quote = make_sent(oak)
    with pytest.raises(Stale):
        change(quote, "plants", quantity=Decimal(0))


# ---- answers


def test_a_yes_is_kept_and_counts(oak):
    quote = make_sent(oak)
    reply = say(quote, "yes", oak)
    assert (reply.counts, Quote.of(oak.group).get().state) == (True, "accepted")


def test_the_same_press_twice_is_one_answer(oak):
    quote, uid = make_sent(oak), "7d9f3c1e-1111-4222-8333-444455556666"
    first, second = say(quote, "yes", oak, uid=uid), say(quote, "yes", oak, uid=uid)
    assert first == second
    assert Reply.of(oak.group).count() == 1


def test_a_known_press_with_another_answer_changes_nothing(oak):
    quote, uid = make_sent(oak), "7d9f3c1e-1111-4222-8333-444455556666"
    say(quote, "yes", oak, uid=uid)
    with pytest.raises(answers.Clash):
        say(quote, "no", oak, uid=uid)


def test_a_second_yes_is_kept_and_does_not_count(oak):
    quote = make_sent(oak)
    say(quote, "yes", oak)
    assert not say(quote, "yes", oak, name="Ife Okafor").counts
    assert Reply.of(oak.group).filter(counts=True).count() == 1


def test_a_wish_to_talk_leaves_the_offer_open(oak):
    quote = make_sent(oak)
    assert not say(quote, "talk", oak).counts
    assert Quote.of(oak.group).get().state == "sent"
    assert say(quote, "yes", oak).counts


@pytest.mark.parametrize("answer", ["yes", "no", "talk"])
def test_a_replaced_version_takes_no_answer(oak, answer):
    first = make_sent(oak)
    make_sent(oak, make_newer(oak, first))
    with pytest.raises(answers.Refused):
        say(first, answer, oak)
    assert not Reply.of(oak.group).exists()


@pytest.mark.parametrize("answer", ["yes", "no", "talk"])
def test_a_version_that_ran_out_takes_no_answer(oak, answer):
    quote = make_sent(oak)
    later = datetime.datetime.now(datetime.UTC) + datetime.timedelta(days=46)
    with time_machine.travel(later), pytest.raises(answers.Refused):
        say(quote, answer, oak)
    assert Quote.of(oak.group).get().state == "sent"


def test_the_last_day_still_counts_where_the_group_lives(oak):
    quote = make_sent(oak)
    with time_machine.travel(datetime.datetime.combine(quote.valid_until, datetime.time(22, 0), datetime.UTC)):
        assert say(quote, "yes", oak).counts


@pytest.mark.parametrize("answer", ["yes", "no", "talk"])
def test_a_withdrawn_version_takes_no_answer(oak, answer):
    quote = make_sent(oak)
    say(quote, "yes", oak)
    assert say(quote, "withdraw", oak).counts
    with pytest.raises(answers.Refused):
        say(quote, answer, oak)


def test_a_quote_not_sent_takes_no_answer(oak):
    with pytest.raises(answers.Refused):
        say(make_quote(oak), "yes", oak)


def test_the_organiser_may_write_down_a_yes_after_a_no_and_one_answer_counts(oak):
    quote = make_sent(oak)
    no = say(quote, "no", oak)
    yes = say(quote, "yes", oak)
    no.refresh_from_db()
    assert (yes.replaces, yes.counts, no.counts) == (no, True, False)
    assert Quote.of(oak.group).get().state == "accepted"


def test_the_link_cannot_turn_a_no_into_a_yes(oak):
    quote, link = make_sent(oak), Link.of(oak.group).get
    say(quote, "no", oak)
    with pytest.raises(answers.Refused):
        say(quote, "yes", oak, by=None, link=link(), route="link")


def test_a_yes_to_a_newer_version_takes_the_place_of_the_older_yes(oak):
    first = make_sent(oak)
    say(first, "yes", oak)
    second = make_sent(oak, make_newer(oak, first))
    say(second, "yes", oak)
    first.refresh_from_db()
    assert (first.state, second.state) == ("replaced", "accepted")


def test_an_old_no_is_not_turned_into_a_yes_beside_a_newer_version(oak):
    first = make_sent(oak)
    say(first, "no", oak)
    make_sent(oak, make_newer(oak, first))
    with pytest.raises(answers.Refused):
        say(first, "yes", oak)


def test_a_phone_answer_without_a_witness_is_refused(oak):
    with pytest.raises(ValidationError):
        say(make_sent(oak), "yes", oak, route="phone")
    assert Quote.of(oak.group).get().state == "sent"


def test_the_database_itself_asks_for_the_witness(oak):
    reply = Reply(group=oak.group, quote=make_sent(oak), answer="yes", route="phone", name="Ruth", by=oak.organiser)
    with pytest.raises(IntegrityError), transaction.atomic():
        reply.save()


def test_the_database_itself_keeps_to_one_answer_that_counts(oak):
    quote = make_sent(oak)
    say(quote, "yes", oak)
    other = Reply(group=oak.group, quote=quote, answer="no", route="slip", name="R", by=oak.organiser, counts=True)
    with pytest.raises(IntegrityError), transaction.atomic():
        other.save()


# ---- whether the yard goes on


def stage_of(quote) -> str:
    return Conversion.of(quote.group).with_facts().get(pk=quote.conversion_id).stage_word


def test_a_no_sets_the_yard_aside_as_not_now(oak):
    quote = make_sent(oak)
    say(quote, "no", oak)
    assert Conversion.of(oak.group).get().outcome == "declined"
    assert stage_of(quote) == "Not now"


def test_a_yes_after_a_no_takes_the_yard_up_again(oak):
    quote = make_sent(oak)
    say(quote, "no", oak)
    say(quote, "yes", oak)
    assert Conversion.of(oak.group).get().outcome == ""
    assert stage_of(quote) == "Agreed"


def test_a_new_quote_takes_the_yard_up_again(oak):
    quote = make_sent(oak)
    say(quote, "no", oak)
    newer = make_newer(oak, quote)
    assert stage_of(newer) == "Quoted"
    make_sent(oak, newer)
    assert stage_of(newer) == "Quoted"


def test_a_no_to_a_newer_version_leaves_a_yes_to_the_older_one_standing(oak):
    quote = make_sent(oak)
    say(quote, "yes", oak)
    newer = make_sent(oak, make_newer(oak, quote))
    say(newer, "no", oak)
    assert stage_of(quote) == "Agreed"


def test_a_wish_to_talk_sets_nothing_aside(oak):
    quote = make_sent(oak)
    say(quote, "talk", oak)
    assert stage_of(quote) == "Quoted"


@pytest.mark.parametrize("values", [{"brought_by": "household"}, {"brought_by": "free"}, {"quantity": Decimal(0)}])
def test_no_trip_is_paid_where_compost_is_not_bought(oak, values):
    quote = make_quote(oak)
    change(quote, "compost", **values)
    assert not line_of(quote, "compost delivery").values.is_in
