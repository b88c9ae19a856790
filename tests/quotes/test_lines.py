"""Lines changed, added and left out; taxes, grants and the deposit; and money that always adds up."""

import io
import re
from decimal import Decimal
from html import unescape

import pytest
from django.core.exceptions import ValidationError
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from conversions.common import money
from conversions.quotes import actions, line_actions
from conversions.quotes.models import Line, Quote
from conversions.quotes.pricing import ON_THE_SUM, LineValues, household_pays, tax
from tests.rows import make_newer, make_quote, make_sent, plan_token

pytestmark = pytest.mark.django_db


def now(quote) -> Quote:
    return Quote.of(quote.group).get(pk=quote.pk)


def add(quote, item, name, **said) -> Line:
    quote = now(quote)
    return line_actions.add_line(quote=quote, revision=quote.revision, item=item, name=name, **said)


def change(quote, item, **said) -> Line:
    quote = now(quote)
    n = quote.lines.get(item=item).n
    return line_actions.change_line(quote=quote, revision=quote.revision, n=n, **said)


def text(answer) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())))


# ---- added, left out, put back


def test_a_line_of_ones_own_has_its_own_words_unit_and_price(oak):
    quote = make_quote(oak)
    line = add(quote, "own", "The old fence taken away", quantity=Decimal(3), unit="hour", unit_price=Decimal(12))
    assert (line.get_item_display(), line.amount) == ("The old fence taken away", Decimal("36.00"))
    assert now(quote).total() == Decimal("313.00")


def test_a_line_left_out_is_off_the_paper_and_comes_back_with_all_that_was_typed(oak):
    quote = make_quote(oak)
    change(quote, "frame", quantity=Decimal(2), words="of larch")
    n = quote.lines.get(item="frame").n
    out = line_actions.leave_out(quote=now(quote), revision=now(quote).revision, n=n)
    assert (out.values.is_in, out.quantity, now(quote).total()) == (False, 2, Decimal("203.00"))
    back = line_actions.put_back(quote=now(quote), revision=now(quote).revision, n=n)
    assert (back.values.is_in, back.quantity, back.words) == (True, 2, "of larch")


def test_the_organiser_sees_what_was_left_out_struck_and_the_household_does_not(organiser, client, oak):
    quote = make_quote(oak)
    line_actions.leave_out(quote=quote, revision=quote.revision, n=quote.lines.get(item="plants").n)
    page = organiser.get(oak.url(f"quotes/{quote.pk}/")).content.decode()
    assert "<s>Seedlings and seed</s>" in page
    sent = make_sent(oak, now(quote))
    assert "Seedlings and seed" not in text(client.get(f"/p/{plan_token(sent)}/"))


def test_a_frame_left_out_of_the_quote_and_not_of_the_plan_is_told_before_sending(organiser, oak):
    quote = make_quote(oak)
    assert "The plan still draws a framed bed" not in text(organiser.get(oak.url(f"quotes/{quote.pk}/")))
    change(quote, "frame", is_left_out=True)
    assert "The plan still draws a framed bed" in text(organiser.get(oak.url(f"quotes/{quote.pk}/")))


def test_who_brings_what_stands_in_one_line_each_beside_the_sum(organiser, oak):
    quote = make_quote(oak)
    change(quote, "plants", brought_by="household")
    page = text(organiser.get(oak.url(f"quotes/{quote.pk}/")))
    assert "They bring The plants and water from their tap" in page
    assert "Given free The wood chips" in page


def test_what_is_free_is_written_as_0_free_for_both_sides(organiser, client, oak):
    sent = make_sent(oak)
    assert "0, free" in text(organiser.get(oak.url(f"quotes/{sent.pk}/")))
    assert "0, free" in text(client.get(f"/p/{plan_token(sent)}/"))


def test_a_line_is_added_by_its_page_and_errors_keep_what_was_typed(organiser, oak):
    quote = make_quote(oak)
    address = oak.url(f"quotes/{quote.pk}/line/own/")
    whole = {
        "revision": quote.revision, "name": "A water butt", "quantity": "1", "unit": "piece", "unit_price": "35,50",
        "brought_by": "group", "paid_by": "household",
    }  # fmt: skip
    refused = organiser.post(address, whole | {"quantity": "half"})
    assert b'value="A water butt"' in refused.content
    assert b'id="id_quantity_error"' in refused.content
    assert organiser.post(address, whole).status_code == 302
    assert quote.lines.get(name="A water butt").amount == Decimal("35.50")


def test_if_the_gift_does_not_come_the_agreed_sum_stands_before_the_price_book(oak):
    quote = make_quote(oak)
    line = change(quote, "chips", if_not_free_amount=Decimal(120), if_not_free_by="group")
    assert (line.values.if_not_free(2), line.if_not_free_by) == (Decimal("120.00"), "group")


# ---- taxes, grants, deposit


def test_a_tax_is_so_many_per_cent_of_what_they_pay_and_follows_every_change(oak):
    quote = make_quote(oak)
    line = add(quote, "tax", "Sales tax", quantity=Decimal("8.25"))
    # 277.00 x 8.25 % = 22.8525
    assert (line.amount, now(quote).total()) == (Decimal("22.85"), Decimal("299.85"))
    change(quote, "frame", quantity=Decimal(0))
    # 203.00 x 8.25 % = 16.7475
    assert (quote.lines.get(item="tax").amount, now(quote).total()) == (Decimal("16.75"), Decimal("219.75"))


def test_a_grant_takes_its_sum_off_and_is_not_taxed(oak):
    quote = make_quote(oak)
    add(quote, "tax", "Sales tax", quantity=Decimal(10))
    grant = add(quote, "grant", "Water district", unit_price=Decimal(100))
    assert (grant.amount, now(quote).total()) == (Decimal("-100.00"), Decimal("204.70"))


@pytest.mark.parametrize("is_large", [False, True])
def test_a_tax_and_a_grant_stand_on_the_paper_and_are_brought_by_nobody(oak, is_large):
    quote = make_quote(oak)
    contact = quote.conversion.household.contact
    contact.large_print = is_large
    contact.save()
    add(quote, "tax", "Sales tax", quantity=Decimal(10))
    add(quote, "grant", "Water district", unit_price=Decimal(100))
    sent = make_sent(oak, now(quote), is_rendered=True)
    pages = PdfReader(io.BytesIO(bytes(sent.document.content))).pages
    words = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
    assert re.search(r"Sales tax 10 % (You pay )?\$27\.70", words)
    assert re.search(r"Water district −\$100\.00", words)


def test_a_quote_with_more_grant_than_price_is_not_sent(oak):
    quote = make_quote(oak)
    add(quote, "grant", "Water district", unit_price=Decimal(300))
    with pytest.raises(ValidationError, match="more than the price"):
        make_sent(oak, now(quote))


def test_a_deposit_larger_than_the_price_is_refused_beside_its_field(organiser, oak):
    quote = make_quote(oak)
    address = oak.url(f"quotes/{quote.pk}/deposit/")
    page = organiser.post(address, {"revision": quote.revision, "deposit": "300"})
    assert b'id="id_deposit_error"' in page.content
    assert organiser.post(address, {"revision": quote.revision, "deposit": "100"}).status_code == 302
    assert (now(quote).deposit, now(quote).total()) == (Decimal("100"), Decimal("277.00"))


def test_a_deposit_left_too_large_by_a_later_change_stops_the_sending(oak):
    quote = make_quote(oak)
    line_actions.set_deposit(quote=quote, revision=quote.revision, deposit=Decimal(270))
    change(quote, "frame", quantity=Decimal(0))
    with pytest.raises(ValidationError, match="deposit"):
        make_sent(oak, now(quote))


def test_a_group_that_uses_no_tax_grant_or_deposit_sees_no_word_of_them_on_the_plan(client, oak):
    page = text(client.get(f"/p/{plan_token(make_sent(oak))}/"))
    assert not re.search(r"\b(tax|grant|deposit)\b", page, re.I)


# ---- a new version takes over what was settled


def test_a_new_version_keeps_own_lines_tax_grant_deposit_and_what_was_left_out(oak):
    quote = make_quote(oak)
    add(quote, "own", "A water butt", unit_price=Decimal(35))
    add(quote, "tax", "Sales tax", quantity=Decimal(10))
    add(quote, "grant", "Water district", unit_price=Decimal(50))
    change(quote, "plants", is_left_out=True)
    line_actions.set_deposit(quote=now(quote), revision=now(quote).revision, deposit=Decimal(60))
    first = make_sent(oak, now(quote))
    second = make_newer(oak, first)
    assert (second.total(), second.deposit) == (first.total(), Decimal(60))
    assert not second.lines.get(item="plants").values.is_in


def test_a_hands_figure_holds_on_while_the_plan_asks_for_the_same(oak):
    quote = make_quote(oak)
    change(quote, "compost", quantity=Decimal("3.0"))
    second = make_newer(oak, make_sent(oak, now(quote)))
    row = second.lines.get(item="compost")
    assert (row.quantity, row.engine_quantity) == (3, 2)


# ---- what is shown adds up to what is shown

AMOUNT = st.decimals(min_value=0, max_value=9999, places=4, allow_nan=False, allow_infinity=False)
QUANTITY = st.decimals(min_value=0, max_value=999, places=3, allow_nan=False, allow_infinity=False)
PERCENT = st.decimals(min_value="0.001", max_value=100, places=3)


@given(
    own=st.lists(st.tuples(QUANTITY, AMOUNT, st.sampled_from(["household", "group"])), max_size=6),
    percents=st.lists(PERCENT, max_size=2),
    grants=st.lists(AMOUNT, max_size=2),
    digits=st.sampled_from([0, 2, 3]),
)
def test_lines_taxes_and_grants_as_shown_add_up_to_the_total(own, percents, grants, digits):
    lines = [LineValues("own", q, "m2", unit_price=p, paid_by=payer, name="x") for q, p, payer in own]
    lines += [LineValues("tax", p, "percent", fixed=tax(p, lines, digits), name="t") for p in percents]
    lines += [LineValues("grant", Decimal(1), "sum", unit_price=g, name="g") for g in grants]
    shown = [line.amount(digits) for line in lines if line.paid_by == "household"]
    assert sum(shown, Decimal(0)) == household_pays(lines, digits)
    assert all(amount == money.rounded(amount, digits) for amount in shown)
    taxed = [line for line in lines if line.item not in ON_THE_SUM]
    base = sum((line.amount(digits) for line in taxed if line.paid_by == "household"), Decimal(0))
    for line in lines:
        if line.item == "tax":  # never further than half the smallest coin from the exact share
            assert abs(line.amount(digits) - base * line.quantity / 100) <= Decimal(1).scaleb(-digits) / 2


def shown_amounts(page: str) -> tuple[list[Decimal], Decimal]:
    """The last column of the one table on the household's page, and its foot, read from the text a person sees."""
    body, foot = re.search(r"<tbody>(.*?)</tbody>\s*<tfoot>(.*?)</tfoot>", page, re.S).groups()
    cells = [unescape(re.sub(r"<[^>]+>", "", cell)) for cell in re.findall(r'<td class="n big">(.*?)</td>', body, re.S)]
    total = unescape(re.sub(r"<[^>]+>", "", re.search(r'<td class="n">(.*?)</td>', foot, re.S)[1]))
    return [read_money(cell) for cell in cells], read_money(total)


def read_money(words: str) -> Decimal:
    if words in ("0, free", "nothing"):
        return Decimal(0)
    return Decimal(re.sub(r"[^\d.−-]", "", words).replace("−", "-"))


@settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@pytest.mark.parametrize("digits", [0, 2, 3])
@given(
    price=st.decimals(min_value="0.001", max_value=999, places=4),
    own=st.tuples(st.decimals(min_value="0.001", max_value=99, places=3), AMOUNT),
    percent=PERCENT,
    grant=st.decimals(min_value=0, max_value=40, places=0),
)
def test_the_amounts_on_the_households_page_add_up_to_the_total_on_it(
    client, world_of, digits, price, own, percent, grant
):
    oak, quote = world_of(digits)
    change(quote, "compost", unit_price=price)
    add(quote, "own", "Something else", quantity=own[0], unit="m2", unit_price=own[1])
    add(quote, "tax", "Sales tax", quantity=percent)
    if grant:
        add(quote, "grant", "Water district", unit_price=grant)
    sent = make_sent(oak, now(quote))
    amounts, total = shown_amounts(client.get(f"/p/{plan_token(sent)}/").content.decode())
    assert len(amounts) > 9
    assert sum(amounts, Decimal(0)) == total == sent.total()


@pytest.fixture
def world_of(oak):
    """A quote not sent yet in a currency of so many digits; each call takes the next version of one yard."""
    made = []

    def make(digits):
        oak.group.minor_digits = digits
        oak.group.save()
        if not made:
            made.append(make_quote(oak).draft)
        return oak, fresh(made[0])

    def fresh(draft):
        quote = actions.draft_quote(draft=draft, by=oak.organiser)
        for line in quote.lines.filter(n__gt=100):  # what the last example added is left out again
            line_actions.leave_out(quote=quote, revision=quote.revision, n=line.n)
        return now(quote)

    return make
