"""The organiser's pages: prices, a quote from its lines to the answer, and who may open them."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from conversions.quotes.book import book
from conversions.quotes.models import Quote, Reply
from conversions.yards.actions import open_draft
from conversions.yards.models import Draft
from tests.rows import make_open, make_prices, make_quote, make_sent, make_yard

pytestmark = pytest.mark.django_db


def text(response) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.content.decode()))


def draft_of(oak) -> Quote:
    return Quote.of(oak.group).get(state="draft")


# ---- prices


def test_the_price_book_shows_nine_rows_and_which_are_not_set(organiser, oak):
    page = organiser.get(oak.url("prices/"))
    assert page.content.count(b'<th scope="row">') == 9
    assert text(page).count("price not set") == 5


def test_prices_are_kept_as_people_write_them(organiser, oak):
    organiser.post(oak.url("prices/"), {"compost": "48,5", "frame": "74.00", "plants": "0", "currency": "€"})
    kept = {item: row.values.price for item, row in book(oak.group).items()}
    assert (kept["compost"], kept["frame"], kept["plants"]) == (Decimal("48.5"), 74, 0)
    oak.group.refresh_from_db()
    assert oak.group.currency == "€"


@pytest.mark.parametrize("typed", ["-1", "cheap", "1,200", "1e5", "100000", "4.12345"])
def test_a_bad_price_keeps_what_was_typed_and_says_why_beside_its_field(organiser, oak, typed):
    page = organiser.post(oak.url("prices/"), {"compost": typed, "frame": "74"})
    assert page.status_code == 200
    assert f'value="{typed}"' in page.content.decode() and b'id="id_compost_error"' in page.content
    assert book(oak.group)["frame"].values.price is None


# ---- from the plan to the quote


def test_the_quote_button_keeps_the_open_drawing_first(organiser, oak):
    draft = make_open(oak)
    page = organiser.post(oak.url(f"yards/{draft.conversion_id}/quote/"), {"revision": draft.revision})
    assert page.url == oak.url(f"quotes/{draft_of(oak).pk}/")
    assert Draft.of(oak.group).get().state == "kept"


def test_the_quote_button_pressed_twice_makes_one_quote(organiser, oak):
    draft = make_open(oak)
    for _press in range(2):
        organiser.post(oak.url(f"yards/{draft.conversion_id}/quote/"))
    assert Quote.of(oak.group).count() == 1


def test_a_yard_without_a_drawing_is_sent_back_to_draw(organiser, oak):
    yard = make_yard(oak)
    page = organiser.post(oak.url(f"yards/{yard.pk}/quote/"), follow=True)
    assert "Draw the plan first" in text(page)
    assert not Quote.of(oak.group).exists()


def test_a_drawing_somebody_else_saved_meanwhile_is_not_quoted(organiser, oak):
    draft = make_open(oak)
    organiser.post(oak.url(f"yards/{draft.conversion_id}/quote/"), {"revision": draft.revision - 1})
    assert not Quote.of(oak.group).exists()


# ---- the quote


def test_a_missing_price_is_asked_for_in_place_and_kept_in_the_book(organiser, oak):
    make_prices(oak, {"compost": "48", "compost delivery": "45", "frame": "74"})
    quote = make_quote(oak, prices={})
    page = organiser.get(oak.url(f"quotes/{quote.pk}/"))
    assert "price not set" in text(page)
    assert 'name="plants"' in page.content.decode() and 'name="frame"' not in page.content.decode()
    organiser.post(oak.url(f"quotes/{quote.pk}/price/"), {"plants": "62"})
    assert draft_of(oak).total() == Decimal("277.00")
    assert book(oak.group)["plants"].from_on == oak.today


def test_no_price_typed_is_said_beside_the_field(organiser, oak):
    quote = make_quote(oak, prices={})
    page = organiser.post(oak.url(f"quotes/{quote.pk}/price/"), {"plants": ""})
    assert "Write a price. 0 is a price too" in text(page)


def test_the_currency_is_asked_for_once_with_the_first_price(organiser, oak):
    oak.group.currency = ""
    oak.group.save()
    quote = make_quote(oak, prices={})
    assert b'name="currency"' in organiser.get(oak.url(f"quotes/{quote.pk}/")).content
    organiser.post(oak.url(f"quotes/{quote.pk}/price/"), {"plants": "62", "currency": "kr", "currency_after": "on"})
    page = organiser.get(oak.url(f"quotes/{quote.pk}/"))
    assert "62.00 kr" in text(page) and b'name="currency"' not in page.content


def test_nothing_to_pay_is_written_free(organiser, oak):
    page = organiser.get(oak.url(f"quotes/{make_quote(oak).pk}/"))
    assert text(page).count(" free ") >= 4 and "$0.00" not in text(page)


def test_open_safety_questions_are_shown_and_do_not_keep_the_quote_back(organiser, oak):
    quote = make_quote(oak)
    assert "None of this keeps you from sending the quote" in text(organiser.get(oak.url(f"quotes/{quote.pk}/")))
    organiser.post(oak.url(f"quotes/{quote.pk}/send/"), {"revision": quote.revision})
    assert Quote.of(oak.group).get().state == "sent"


def test_a_line_is_changed_left_out_and_put_back(organiser, oak):
    quote = make_quote(oak)
    n = quote.lines.get(item="plants").n
    address = oak.url(f"quotes/{quote.pk}/line/{n}/")
    whole = {"quantity": "2", "brought_by": "group", "paid_by": "grant", "revision": quote.revision}
    assert organiser.post(address, whole).status_code == 302
    assert draft_of(oak).total() == Decimal("215.00")
    organiser.post(address, {"do": "out", "revision": draft_of(oak).revision})
    assert "Put Seedlings and seed back" in text(organiser.get(oak.url(f"quotes/{quote.pk}/")))
    organiser.post(address, {"do": "in", "revision": draft_of(oak).revision})
    row = quote.lines.get(n=n)
    assert (row.quantity, row.is_changed, row.values.is_in) == (2, True, True)  # what was typed came back with it


def test_a_soil_test_is_offered_by_one_press_and_then_asks_for_its_price(organiser, oak):
    quote = make_quote(oak)
    n = quote.lines.get(item="soil test").n
    organiser.post(oak.url(f"quotes/{quote.pk}/line/{n}/"), {"do": "in", "revision": quote.revision})
    assert [line.item for line in draft_of(oak).missing()] == ["soil test"]


@pytest.mark.parametrize("typed", ["", "-1", "two", "1.5"])
def test_a_bad_quantity_keeps_what_was_typed(organiser, oak, typed):
    quote = make_quote(oak)
    n = quote.lines.get(item="frame").n
    values = {"quantity": typed, "brought_by": "household", "paid_by": "household", "revision": quote.revision}
    page = organiser.post(oak.url(f"quotes/{quote.pk}/line/{n}/"), values)
    assert b'id="id_quantity_error"' in page.content
    assert quote.lines.get(n=n).quantity == 1


def test_the_later_of_two_savers_sees_both_versions_and_may_keep_theirs(organiser, oak):
    quote = make_quote(oak)
    n, seen = quote.lines.get(item="plants").n, quote.revision
    address = oak.url(f"quotes/{quote.pk}/line/{n}/")
    mine = {"quantity": "3", "brought_by": "group", "paid_by": "household"}
    organiser.post(address, mine | {"quantity": "2", "revision": seen})
    page = organiser.post(address, mine | {"revision": seen})
    assert page.status_code == 409
    assert "Theirs: 2 sets" in text(page) and 'value="3"' in page.content.decode()
    fresh = re.search(r'name="revision" value="(\d+)"', page.content.decode())[1]
    organiser.post(address, mine | {"revision": fresh})
    assert quote.lines.get(n=n).quantity == 3


# ---- sending


def test_send_gives_the_link_to_copy_and_the_paper_to_print(organiser, oak):
    quote = make_quote(oak)
    day = re.search(
        r'name="day" value="(\d{4}-[\d-]+)"', organiser.get(oak.url(f"quotes/{quote.pk}/")).content.decode()
    )[1]
    said = {"revision": quote.revision, "sentence": "As we talked.", "day": day}
    page = organiser.post(oak.url(f"quotes/{quote.pk}/send/"), said, follow=True)
    quote.refresh_from_db()
    assert (quote.state, quote.sentence, quote.offered_on.isoformat()) == ("sent", "As we talked.", day)
    assert (quote.offered_rain_on - quote.offered_on).days == 7
    assert re.search(r'readonly value="http://testserver/p/\d+\.[\w-]+/"', page.content.decode())
    paper = organiser.get(oak.url(f"quotes/{quote.pk}/paper.pdf"))
    assert paper["Content-Type"] == "application/pdf" and paper.content == bytes(quote.document.content)


def test_send_waits_for_a_missing_price_and_keeps_the_sentence(organiser, oak):
    quote = make_quote(oak, prices={})
    page = organiser.post(oak.url(f"quotes/{quote.pk}/send/"), {"revision": quote.revision, "sentence": "My words"})
    assert "A price is missing" in text(page) and "My words" in text(page)
    assert draft_of(oak)


def test_a_quote_changed_under_the_senders_hands_is_shown_first(organiser, oak):
    quote = make_quote(oak)
    page = organiser.post(oak.url(f"quotes/{quote.pk}/send/"), {"revision": quote.revision - 1, "sentence": "My words"})
    assert page.status_code == 409 and "My words" in text(page)
    assert draft_of(oak)


@pytest.mark.parametrize("typed", ["2020-01-01", "2199-01-01", "soon"])
def test_a_day_that_cannot_be_offered_is_said_beside_its_field(organiser, oak, typed):
    quote = make_quote(oak)
    page = organiser.post(oak.url(f"quotes/{quote.pk}/send/"), {"revision": quote.revision, "other_on": typed})
    assert b'id="id_other_on_error"' in page.content
    assert draft_of(oak)


def test_a_second_press_on_send_changes_nothing(organiser, oak):
    quote = make_quote(oak)
    said = {"revision": quote.revision}
    organiser.post(oak.url(f"quotes/{quote.pk}/send/"), said)
    sent_at = Quote.of(oak.group).get().sent_at
    assert organiser.post(oak.url(f"quotes/{quote.pk}/send/"), said).status_code == 302
    assert Quote.of(oak.group).get().sent_at == sent_at


def test_the_preview_shows_what_is_typed_and_keeps_nothing(organiser, oak):
    quote = make_quote(oak)
    said = {"revision": quote.revision, "sentence": "Only a look"}
    page = organiser.post(oak.url(f"quotes/{quote.pk}/paper.pdf"), said)
    assert page.content.startswith(b"%PDF")
    assert (draft_of(oak).sentence, draft_of(oak).document) == ("", None)


# ---- what they said


def reply(oak, **values) -> dict:
    said_at = timezone.now().strftime("%Y-%m-%dT%H:%M")
    uid = "7d9f3c1e-1111-4222-8333-444455556666"
    return {"uid": uid, "answer": "yes", "route": "phone", "name": "Ruth Okafor", "said_at": said_at} | values


def test_an_answer_whose_button_was_pressed_twice_is_written_down_once_and_frightens_nobody(organiser, oak):
    quote = make_sent(oak)
    said = reply(oak, witness="Mina")
    for _press in range(2):
        answer = organiser.post(oak.url(f"quotes/{quote.pk}/reply/"), said)
        assert answer.status_code == 302
    assert quote.replies.count() == 1
    other = organiser.post(oak.url(f"quotes/{quote.pk}/reply/"), {**said, "witness": "Ruth"})
    assert other.status_code == 200 and "Not kept yet" in other.content.decode()


def test_a_phone_answer_is_written_down_with_its_witness(organiser, oak):
    quote = make_sent(oak)
    organiser.post(oak.url(f"quotes/{quote.pk}/reply/"), reply(oak, witness="Mina"))
    kept = Reply.of(oak.group).get()
    assert (kept.witness, kept.by, kept.counts) == ("Mina", oak.organiser, True)
    page = text(organiser.get(oak.url(f"quotes/{quote.pk}/")))
    assert "read back before Mina" in page and "agreed" in page


def test_a_phone_answer_without_a_witness_is_asked_again_and_keeps_what_was_typed(organiser, oak):
    quote = make_sent(oak)
    page = organiser.post(oak.url(f"quotes/{quote.pk}/reply/"), reply(oak, words="They asked about mice"))
    assert b'id="id_witness_error"' in page.content and "They asked about mice" in page.content.decode()
    assert not Reply.of(oak.group).exists()


def test_a_slip_needs_no_witness_and_a_double_press_is_one_answer(organiser, oak):
    quote = make_sent(oak)
    for _press in range(2):
        organiser.post(oak.url(f"quotes/{quote.pk}/reply/"), reply(oak, route="slip"))
    assert Reply.of(oak.group).count() == 1


def test_an_answer_dated_tomorrow_is_refused(organiser, oak):
    page = organiser.post(oak.url(f"quotes/{make_sent(oak).pk}/reply/"), reply(oak, said_at="2199-01-01T10:00"))
    assert b'id="id_said_at_error"' in page.content


def test_a_slip_for_a_replaced_version_is_refused_in_words(organiser, oak):
    quote = make_sent(oak)
    Quote.of(oak.group).update(state="replaced")
    page = organiser.post(oak.url(f"quotes/{quote.pk}/reply/"), reply(oak, route="slip"))
    assert page.status_code == 409
    assert not Reply.of(oak.group).exists()


def test_after_a_yes_the_next_step_is_the_build_day(organiser, oak):
    quote = make_sent(oak)
    organiser.post(oak.url(f"quotes/{quote.pk}/reply/"), reply(oak, route="person"))
    page = organiser.get(oak.url(f"quotes/{quote.pk}/"))
    assert f"{oak.url('days/new/')}?yard={quote.conversion_id}" in page.content.decode()


# ---- doors


def addresses(oak, quote):
    yield "prices", {}
    yield "quote-draft", {"pk": quote.conversion_id}
    for name in ("quote", "quote-price", "quote-send", "quote-paper", "quote-reply"):
        yield name, {"pk": quote.pk}
    yield "quote-line", {"pk": quote.pk, "n": 1}


@pytest.mark.parametrize("role", ["visitor", "lead", "reader", "helper"])
def test_quotes_and_prices_are_for_organisers(client, oak, role):
    quote = make_quote(oak)
    oak.sign_in(client, role)
    for name, named in addresses(oak, quote):
        address = reverse(name, kwargs={"group": "oak", **named})
        assert client.get(address).status_code == client.post(address).status_code == 403, name


def test_another_groups_quote_is_not_there(client, oak, elm):
    quote = make_quote(elm)
    oak.sign_in(client)
    for name, named in addresses(elm, quote):
        if name == "prices":
            continue
        address = reverse(name, kwargs={"group": "oak", **named})
        found = {client.get(address).status_code, client.post(address).status_code}
        assert 404 in found and found <= {404, 405}, name


def test_a_quote_with_many_lines_and_answers_costs_the_same_queries(organiser, oak, django_assert_max_num_queries):
    quote = make_sent(oak)
    with django_assert_max_num_queries(14):
        organiser.get(oak.url(f"quotes/{quote.pk}/"))
    for number in range(5):
        organiser.post(
            oak.url(f"quotes/{quote.pk}/reply/"),
            reply(oak, uid=f"7d9f3c1e-1111-4222-8333-44445555000{number}", answer="talk", route="slip"),
        )
    with django_assert_max_num_queries(14):
        organiser.get(oak.url(f"quotes/{quote.pk}/"))


def test_a_sent_quotes_paper_and_lines_stay_when_its_plan_is_kept_anew(organiser, oak):
    quote = make_sent(oak)
    open_draft(conversion=quote.conversion, by=oak.organiser)
    organiser.post(oak.url(f"yards/{quote.conversion_id}/quote/"))
    assert Quote.of(oak.group).get(pk=quote.pk).state == "sent"
    assert draft_of(oak).version == 2


def test_the_prices_are_one_press_from_the_yards_and_from_the_menu_for_organisers_only(client, oak):
    found = {}
    for role in ("organiser", "visitor"):
        oak.sign_in(client, role)
        found[role] = client.get(oak.url("yards/")).content.decode().count(f'href="{oak.url("prices/")}"')
    assert found == {"organiser": 2, "visitor": 0}


def test_the_head_of_the_page_points_to_what_needs_mending_further_down(organiser, oak):
    sent = make_sent(oak)
    page = organiser.post(oak.url(f"quotes/{sent.pk}/reply/"), reply(oak, route="phone", witness="")).content.decode()
    head = page[page.index("Please mend:") : page.index('class="split"')]
    assert 'href="#div_id_witness"' in head and 'id="div_id_witness"' in page
    page = organiser.post(oak.url("prices/"), {"compost": "cheap"}).content.decode()
    assert 'href="#div_id_compost"' in page and 'id="div_id_compost"' in page
