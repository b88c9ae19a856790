"""A household with a landline and large print gets its plan and answers without any screen."""

import datetime
import io
import re
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone
from pypdf import PdfReader

from conversions.people.models import Message
from conversions.quotes.models import Quote, Reply
from tests.rows import make_kept, make_quote, make_yard

pytestmark = pytest.mark.django_db


def sides(content) -> list[str]:
    return [re.sub(r"\s+", " ", page.extract_text()) for page in PdfReader(io.BytesIO(bytes(content))).pages]


@pytest.fixture
def plan(oak):
    """Mrs Adeyo's plan, not sent yet."""
    oak.group.postal = "2 Harrow Lane\nMilltown 00000"
    oak.group.save()
    yard = make_yard(oak, name="Mrs Adeyo", reach="000 333 444", address="3 Sorrel Lane", wish="Beans again.")
    contact = yard.household.contact
    contact.large_print, contact.route, contact.postal = True, "phone", "3 Sorrel Lane, Milltown 00000"
    contact.save()
    return make_quote(oak, make_kept(oak, yard))


def press_send(client, oak, plan) -> Quote:
    on = oak.today + datetime.timedelta(days=40)
    posted = {"revision": plan.revision, "day": "", "other_on": on.isoformat()}
    assert client.post(oak.url(f"quotes/{plan.pk}/send/"), posted).status_code == 302
    return Quote.of(oak.group).get(pk=plan.pk)


def test_send_gives_a_plan_at_18_points_a_slip_an_address_label_and_a_page_to_ring_from(organiser, oak, plan):
    quote = press_send(organiser, oak, plan)
    assert (quote.state, quote.document.variant) == ("sent", "large print")
    message = Message.of(oak.group).get()
    assert (message.route, message.state) == ("phone", "by hand")

    page = organiser.get(oak.url(f"messages/{message.pk}/")).content.decode()
    assert f"messages/{message.pk}/paper.pdf" in page and f"messages/{message.pk}/letter.pdf" in page

    paper = sides(organiser.get(oak.url(f"messages/{message.pk}/paper.pdf")).content)
    assert f"This plan has {len(paper)} pages." in paper[0] and "Beans again." in paper[0]
    assert "Give us back this page." in paper[-1]
    assert "Back to: Oak Street Growers 2 Harrow Lane Milltown 00000 000 000 000" in paper[-1]

    call, letter = sides(organiser.get(oak.url(f"messages/{message.pk}/letter.pdf")).content)
    day = f"{quote.offered_on:%A} {quote.offered_on.day} {quote.offered_on:%B}"
    assert "Ring Mrs Adeyo: 000 333 444" in call
    assert f"You say yes to our plan of {oak.today.day} {oak.today:%B %Y} for 3 Sorrel Lane." in call
    assert f"You pay $277.00 in all. We build on {day}." in call and "Is that a yes?" in call
    assert "Who heard it read back" in call and "Day and time" in call
    assert "Mrs Adeyo 3 Sorrel Lane Milltown 00000" in letter

    everything = " ".join([*paper, call, letter])
    assert not re.search(r"https?:|www\.|/p/|\blink\b|e-mail|computer screen", everything)


def test_the_address_stands_where_the_window_of_an_envelope_is(organiser, oak, plan):
    press_send(organiser, oak, plan)
    message = Message.of(oak.group).get()
    for size, left, top, width, height in (("A4", 20, 45, 85, 45), ("Letter", 22.2, 52, 114.3, 28.6)):
        oak.group.paper = size
        oak.group.save()
        content = organiser.get(oak.url(f"messages/{message.pk}/letter.pdf")).content
        page, found = PdfReader(io.BytesIO(content)).pages[1], []
        high = float(page.mediabox.height)

        def note(text, cm, tm, _font, _size, found=found, high=high):
            x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
            y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
            if text.strip() in ("Mrs Adeyo", "3 Sorrel Lane", "Milltown 00000"):
                found.append((x / 72 * 25.4, (high - y) / 72 * 25.4))

        page.extract_text(visitor_text=note)
        assert len(found) == 3
        for x, y in found:
            assert left < x < left + width and top < y < top + height


def test_a_yes_read_back_on_the_phone_is_kept_with_version_witness_and_time(organiser, oak, plan):
    quote = press_send(organiser, oak, plan)
    said_at = timezone.now().replace(microsecond=0, second=0)
    posted = {
        "uid": "8b1f2c9e-6d0a-4c55-9d6e-3f0a5e0b7a11", "answer": "yes", "route": "phone", "name": "Mrs Adeyo",
        "witness": "", "said_at": f"{said_at.astimezone(ZoneInfo(oak.group.zone)):%Y-%m-%dT%H:%M}",
    }  # fmt: skip
    page = organiser.post(oak.url(f"quotes/{quote.pk}/reply/"), posted)
    assert page.status_code == 200 and not Reply.of(oak.group).exists()  # nobody heard it: it does not count
    assert organiser.post(oak.url(f"quotes/{quote.pk}/reply/"), posted | {"witness": "Tomasz"}).status_code == 302
    reply = Reply.of(oak.group).get()
    assert (reply.quote.version, reply.route, reply.witness, reply.answer) == (1, "phone", "Tomasz", "yes")
    assert abs(reply.said_at - said_at) < datetime.timedelta(minutes=1) and reply.counts
    assert Quote.of(oak.group).get(pk=quote.pk).state == "accepted"


def test_for_whom_a_letter_goes_to_there_is_no_page_to_ring_from(organiser, oak, plan):
    contact = plan.conversion.household.contact
    contact.route = "post"
    contact.save()
    press_send(organiser, oak, plan)
    message = Message.of(oak.group).get()
    (letter,) = sides(organiser.get(oak.url(f"messages/{message.pk}/letter.pdf")).content)
    assert "Hello Mrs Adeyo," in letter and "Read" not in letter
