"""The short path: a plain front lawn from enquiry to a sent plan, in few words and few presses."""

import pytest

from conversions.quotes.models import Quote

from .hand import Hand, set_prices, sign_in

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_plain_front_lawn_needs_at_most_6_typed_fields_and_25_presses(phone, oak):
    set_prices(oak)
    sign_in(phone, oak)
    hand = Hand(phone)
    hand.follow("Write down an enquiry")
    hand.type("name", "Ada Okafor")
    hand.type("reach", "000 123 456")
    hand.type("address", "14 Tansy Row")
    hand.choose("tenure", "own")
    hand.press("Keep")
    hand.follow("Draw the plan")
    hand.type("length_A", "8 m")
    hand.type("length_B", "6 m")
    hand.choose("beyond_B", "drive")
    hand.choose("beyond_C", "pavement")
    hand.choose("beyond_D", "path")
    hand.press("Draw it")
    hand.press("Lay it out for me")
    hand.press("Quote it")
    hand.type("sentence", "Here is what we talked about.")
    hand.press("Send")
    phone.get_by_label("Read and answer without an account").wait_for()
    quote = Quote.everywhere.get()
    assert quote.state == "sent"
    assert sorted(b["kind"] for b in quote.frozen["site"]["beds"]) == ["framed", "mounded"]
    assert hand.typed <= 6 and hand.pressed <= 25
    print(f"{hand.typed} typed fields, {hand.pressed} presses")
