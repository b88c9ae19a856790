"""Money that came, money given back, and what is still open."""

import datetime
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.db import connection
from django.test.utils import CaptureQueriesContext

from conversions.quotes import answers, line_actions, payments
from conversions.quotes.models import Payment
from tests.rows import make_quote, make_sent

from .test_lines import now, text

pytestmark = pytest.mark.django_db
UID = "7d9f3c1e-1111-4222-8333-444455556666"


def agreed(oak, deposit=None):
    quote = make_quote(oak)
    if deposit:
        line_actions.set_deposit(quote=quote, revision=quote.revision, deposit=Decimal(deposit))
    quote = make_sent(oak, now(quote))
    answers.record_reply(quote=quote, answer="yes", route="person", name="Ruth", by=oak.organiser)
    return now(quote)


def give(quote, amount, oak, **said):
    said = {"on": oak.today, "how": "cash"} | said
    return payments.record_payment(conversion=quote.conversion, by=oak.organiser, amount=Decimal(amount), **said)


def test_what_came_and_went_back_is_added_up_against_the_price(oak):
    quote = agreed(oak, deposit="100")
    give(quote, "60", oak)
    account = payments.account(quote)
    assert (account.paid, account.open, account.deposit_open) == (Decimal("60.00"), Decimal("217.00"), Decimal("40.00"))
    give(quote, "217", oak)
    give(quote, "-20", oak)
    account = payments.account(quote)
    assert (account.paid, account.open, account.deposit_open) == (Decimal("257.00"), Decimal("20.00"), 0)


def test_the_same_press_twice_is_one_payment_and_another_sum_under_it_is_refused(oak):
    quote = agreed(oak)
    assert give(quote, "60", oak, uid=UID) == give(quote, "60", oak, uid=UID)
    with pytest.raises(answers.Clash):
        give(quote, "70", oak, uid=UID)
    assert Payment.of(oak.group).count() == 1


def test_more_than_came_cannot_be_given_back(oak):
    quote = agreed(oak)
    give(quote, "60", oak)
    with pytest.raises(ValidationError):
        give(quote, "-61", oak)


def test_a_payment_is_never_changed(oak):
    row = give(agreed(oak), "60", oak)
    row.amount = Decimal(70)
    with pytest.raises(TypeError):
        row.save()


def test_money_is_written_down_on_the_page_of_the_agreed_quote(organiser, oak):
    quote = agreed(oak, deposit="100")
    address = oak.url(f"quotes/{quote.pk}/payment/")
    whole = {
        "uid": UID,
        "way": "in",
        "amount": "60,50",
        "on": oak.today.isoformat(),
        "how": "cash",
        "words": "at the gate",
    }
    assert organiser.post(address, whole).status_code == 302
    page = text(organiser.get(oak.url(f"quotes/{quote.pk}/")))
    assert "$60.50 of $277.00 came so far" in page
    assert "Of the deposit $39.50 is still open." in page
    assert organiser.post(address, whole).status_code == 302
    assert Payment.of(oak.group).count() == 1


@pytest.mark.parametrize(
    ("field", "typed"), [("amount", ""), ("amount", "0"), ("amount", "1.234"), ("on", "2999-01-01"), ("how", "")]
)
def test_a_slip_stands_beside_its_field_and_keeps_what_was_typed(organiser, oak, field, typed):
    quote = agreed(oak)
    whole = {
        "uid": UID,
        "way": "in",
        "amount": "60",
        "on": oak.today.isoformat(),
        "how": "cash",
        "words": "at the gate",
    }
    page = organiser.post(oak.url(f"quotes/{quote.pk}/payment/"), whole | {field: typed}).content.decode()
    assert f'id="id_{field}_error"' in page
    assert 'value="at the gate"' in page
    assert not Payment.of(oak.group).exists()


def test_giving_back_more_than_came_is_told_beside_the_sum(organiser, oak):
    quote = agreed(oak)
    whole = {"uid": UID, "way": "back", "amount": "5", "on": oak.today.isoformat(), "how": "cash"}
    page = text(organiser.post(oak.url(f"quotes/{quote.pk}/payment/"), whole))
    assert "That is more than they have given so far." in page


def test_a_quote_that_costs_nothing_shows_no_money(organiser, oak):
    quote = make_quote(oak)
    for row in quote.lines.exclude(unit_price=0):
        quote.refresh_from_db()
        line_actions.leave_out(quote=quote, revision=quote.revision, n=row.n)
    sent = make_sent(oak, now(quote))
    answers.record_reply(quote=sent, answer="yes", route="person", name="Ruth", by=oak.organiser)
    assert "Write down money" not in text(organiser.get(oak.url(f"quotes/{sent.pk}/")))


def test_the_day_of_a_payment_is_the_day_it_came(oak):
    quote = agreed(oak)
    came = oak.today - datetime.timedelta(days=3)
    assert give(quote, "60", oak, on=came).on == came


def test_many_payments_and_lines_cost_the_page_no_more_queries(organiser, oak, django_assert_max_num_queries):
    quote = agreed(oak)
    address = oak.url(f"quotes/{quote.pk}/")
    organiser.get(address)
    with CaptureQueriesContext(connection) as few:
        organiser.get(address)
    for _n in range(6):
        give(quote, "10", oak)
    with django_assert_max_num_queries(len(few)):
        assert "$60.00 of $277.00 came so far" in text(organiser.get(address))
