"""What is told once: queueing, the words of each route, to-dos, tries and back-off."""

import datetime
import smtplib

import pytest
import time_machine
from django.core import mail
from django.core.exceptions import ValidationError
from django.utils import timezone

from conversions.builds.actions import change_day, set_state, sign_up
from conversions.care.actions import hand_over, write_sheet
from conversions.office import due
from conversions.people import letters, links, outbox
from conversions.people.models import Document, Message, Person
from conversions.quotes.answers import record_reply
from tests.builds.rows import make_agreed, make_day
from tests.rows import make_kept, make_newer, make_quote, make_sent, make_yard

pytestmark = pytest.mark.django_db


@pytest.fixture
def server(settings):
    """As if a mail server were set; the letters lie in mail.outbox."""
    settings.EMAIL_HOST = "mail.oak.example"
    settings.DEFAULT_FROM_EMAIL = "garden@oak.example"
    settings.BASE_URL = "https://tracker.example"


def make_person(world, name="Ada Quill", route="email", **values) -> Person:
    reach = {"email": "ada@home.example"} if route == "email" else {"phone": "000 333 444"}
    person = Person(group=world.group, name=name, route=route, **(reach | values))
    person.full_clean()
    person.save()
    return person


def queued(world, **values) -> Message:
    values = {"key": "test-1", "kind": "test"} | values
    return outbox.queue(**({"person": values.pop("person", None) or make_person(world)} | values))


# ---- queueing


def test_queueing_the_same_key_twice_is_one_row(oak):
    person = make_person(oak)
    assert queued(oak, person=person) == queued(oak, person=person)
    assert Message.of(oak.group).count() == 1


def test_two_groups_may_use_the_same_key(oak, elm):
    assert queued(oak).pk != queued(elm).pk


@pytest.mark.parametrize(
    ("values", "state"),
    [
        ({"route": "email"}, "due"),
        ({"route": "email", "email": ""}, "by hand"),
        ({"route": "phone"}, "by hand"),
        ({"route": "post"}, "by hand"),
    ],
)
def test_only_an_e_mail_with_an_address_goes_by_itself(oak, values, state):
    assert queued(oak, person=make_person(oak, **values)).state == state


def test_a_yard_of_another_group_is_refused(oak, elm):
    with pytest.raises(ValidationError):
        queued(oak, conversion=make_yard(elm))


# ---- quotes


def test_a_sent_quote_goes_by_e_mail_with_its_paper_and_a_link_that_no_row_holds(oak, server):
    quote = make_sent(oak, make_quote(oak, make_kept(oak, make_yard(oak, reach="ruth@home.example"))))
    row = Message.of(oak.group).get()
    token = links.token(row.link)
    assert (row.key, row.state, row.conversion_id) == (f"quote-sent:{quote.pk}", "due", quote.conversion_id)
    assert token.partition(".")[2] not in repr(vars(row))
    assert outbox.deliver_next().how == "sent"
    (letter,) = mail.outbox
    assert letter.to == ["ruth@home.example"]
    assert letter.subject == "Your garden at 14 Tansy Row: your plan"
    assert f"https://tracker.example/p/{token}/" in letter.body
    assert "You pay $" in letter.body and "Hello Ruth Okafor," in letter.body
    assert letter.attachments[0][1] == bytes(quote.document.content)
    assert letter.message()["Message-ID"] == f"<quote-sent.{quote.pk}.g{oak.group.pk}@oak.example>"
    assert outbox.deliver_next() is None


def test_a_household_with_a_landline_gets_a_call_and_no_link_anywhere(oak):
    make_sent(oak, make_quote(oak, make_kept(oak, make_yard(oak, reach="000 111 222", large_print=True))))
    row = Message.of(oak.group).to_do().get()
    letter = letters.compose(row)
    assert letter.form == "call"
    assert letter.body.startswith("Hello, is this Ruth Okafor? This is Organiser Oak from Oak Street Growers.")
    assert "read the price, the day and what they do back to them" in letter.body
    assert "/p/" not in letter.body and "http" not in letter.body
    assert outbox.deliver_next() is None


def test_a_letter_carries_the_address_it_goes_to(oak):
    person = make_person(oak, route="post", postal="3 Quarry Steps")
    row = queued(oak, person=person, kind="care-sheet", values={"address": "14 Tansy Row", "again": False})
    assert letters.compose(row).body.startswith("Ada Quill\n3 Quarry Steps\n")


def test_a_newer_version_takes_back_what_nobody_was_told_of_the_older(oak):
    first = make_sent(oak)
    second = make_sent(oak, make_newer(oak, first))
    states = dict(Message.of(oak.group).values_list("key", "state"))
    assert states == {f"quote-sent:{first.pk}": "dropped", f"quote-sent:{second.pk}": "by hand"}


def test_an_answer_ends_the_to_do_of_telling_them(oak):
    quote = make_sent(oak)
    record_reply(quote=quote, answer="no", route="person", name="Ruth Okafor", by=oak.organiser)
    assert not Message.of(oak.group).to_do().exists()


def test_a_quote_about_to_run_out_is_reminded_of_once_a_fortnight_and_once_a_week_before(oak):
    quote = make_sent(oak)
    outbox.note_done(message=Message.of(oak.group).get(), by=oak.organiser)
    for days, keys in ((20, 0), (14, 1), (13, 1), (7, 2), (0, 2)):
        then = datetime.datetime.combine(
            quote.valid_until - datetime.timedelta(days=days), datetime.time(12), datetime.UTC
        )
        with time_machine.travel(then, tick=False):
            due.queue_due()
        assert Message.of(oak.group).filter(kind="quote-reminder").count() == keys, days


def test_nobody_is_reminded_of_a_plan_they_were_not_told_of(oak):
    quote = make_sent(oak)
    then = datetime.datetime.combine(quote.valid_until, datetime.time(12), datetime.UTC)
    with time_machine.travel(then, tick=False):
        assert due.queue_due() == 0


def test_nobody_is_reminded_of_a_quote_that_came_this_week(oak):
    make_sent(oak, offered_on=oak.today + datetime.timedelta(days=16))
    outbox.note_done(message=Message.of(oak.group).get(), by=oak.organiser)
    assert due.queue_due() == 0


# ---- days


@pytest.fixture
def day(oak):
    """Two helpers and a household are waiting for it."""
    day = make_day(
        oak,
        make_agreed(oak),
        on=oak.today + datetime.timedelta(days=5),
        rain_on=oak.today + datetime.timedelta(days=12),
    )
    sign_up(day=day, person=make_person(oak, "Ada Quill"), by=oak.lead)
    sign_up(day=day, person=make_person(oak, "Bo Rill", route="phone"), by=oak.lead)
    return day


def told(oak, **values) -> dict[str, tuple[str, str]]:
    rows = Message.of(oak.group).filter(kind__startswith="day", **values).exclude(state="dropped").order_by("pk")
    return {row.person.name: (row.kind, row.state) for row in rows}


def test_a_moved_day_tells_each_helper_and_the_household_once_by_their_own_route(oak, day):
    row = set_state(day=day, to="moved", by=oak.lead)
    assert told(oak) == {
        "Ada Quill": ("day-moved", "due"),
        "Bo Rill": ("day-moved", "by hand"),
        "Ruth Okafor": ("day-moved", "by hand"),
    }
    words = letters.compose(Message.of(oak.group).get(person__name="Ada Quill"))
    assert f"{row.on:%A}" in words.body and f"{row.on.day}" in words.body and "from 09:30 to 14:00" in words.body


def test_moved_and_then_called_off_is_told_once_with_the_date_they_believe_in(oak, day):
    first = day.on
    set_state(day=day, to="moved", by=oak.lead)
    set_state(day=day, to="cancelled", by=oak.lead)
    assert told(oak)["Bo Rill"] == ("day-off", "by hand")
    row = Message.of(oak.group).exclude(state="dropped").get(person__name="Bo Rill")
    assert row.values["on"] == first.isoformat()


def test_on_after_all_is_told_only_to_those_who_heard_it_was_off(oak, day):
    set_state(day=day, to="cancelled", by=oak.lead)
    heard = Message.of(oak.group).get(person__name="Bo Rill")
    assert outbox.note_done(message=heard, by=oak.lead)
    set_state(day=day, to="planned", by=oak.lead)
    assert told(oak) == {"Bo Rill": ("day-on", "by hand")}


def test_other_hours_are_told_and_a_changed_note_is_not(oak, day):
    row = change_day(day=day, revision=day.revision, by=oak.lead, notes="bring gloves")
    assert told(oak) == {}
    change_day(day=row, revision=row.revision, by=oak.lead, starts=datetime.time(10))
    assert len(told(oak)) == 3


def test_whoever_moves_the_day_is_not_told_of_it(oak, day):
    sign_up(day=day, person=make_person(oak, "Lead Oak", member=oak.lead), by=oak.lead)
    set_state(day=day, to="moved", by=oak.lead)
    assert "Lead Oak" not in told(oak)


# ---- to-dos


def test_a_to_do_is_noted_as_done_by_one_person_only(oak):
    row = queued(oak, person=make_person(oak, route="phone"))
    assert outbox.note_done(message=row, by=oak.organiser, outcome="Told her mother")
    assert not outbox.note_done(message=row, by=oak.visitor, outcome="again")
    row.refresh_from_db()
    assert (row.state, row.done_by, row.outcome) == ("sent", oak.organiser, "Told her mother")


def test_handing_over_a_care_sheet_ends_its_to_do(oak):
    yard = make_agreed(oak)
    sheet = write_sheet(conversion=yard, day=make_day(oak, yard), paper=b"%PDF-1.7", title="x", by=oak.lead)
    assert Message.of(oak.group).to_do().get().key == f"care-sheet:{sheet.pk}"
    hand_over(sheet=sheet, by=oak.lead)
    assert not Message.of(oak.group).to_do().exists()


# ---- tries


@pytest.fixture
def broken(server, monkeypatch):
    """A mail server that answers with whatever error the test puts here."""
    errors = [OSError("down")]

    def send(self, fail_silently=False):
        raise errors[0]

    monkeypatch.setattr("django.core.mail.EmailMessage.send", send)
    return errors


def test_a_server_that_is_down_puts_a_letter_off_longer_each_time_and_then_asks_a_person(oak, broken):
    row = queued(oak)
    now, waits = row.due_at, []
    while True:
        with time_machine.travel(now, tick=False):
            done = outbox.deliver_next()
        if done.how != "put off":
            break
        waits.append(done.message.due_at - now)
        with time_machine.travel(done.message.due_at - datetime.timedelta(seconds=1), tick=False):
            assert outbox.deliver_next() is None, "too early"
        now = done.message.due_at
    assert waits == outbox.BACK_OFF
    assert (done.how, done.message.state, done.message.tries) == ("failed", "failed", 8)
    assert done.message.outcome == "The mail server could not be reached."


def test_an_address_the_server_does_not_know_is_not_tried_again(oak, broken):
    broken[0] = smtplib.SMTPRecipientsRefused({"ada@home.example": (550, b"no such mailbox")})
    queued(oak)
    assert outbox.deliver_next().how == "failed"


def test_a_full_mailbox_is_tried_again(oak, broken):
    broken[0] = smtplib.SMTPRecipientsRefused({"ada@home.example": (452, b"mailbox full")})
    queued(oak)
    assert outbox.deliver_next().how == "put off"


def test_one_letter_that_cannot_be_made_keeps_none_behind_it_waiting(oak, server):
    Message.of(oak.group).filter(pk=queued(oak).pk).update(template="mail/none.txt")
    queued(oak, key="test-2")
    assert [outbox.deliver_next().how, outbox.deliver_next().how] == ["put off", "sent"]


def test_a_letter_that_kills_its_worker_every_time_is_given_up(oak, server):
    row = queued(oak)
    Message.of(oak.group).filter(pk=row.pk).update(
        state="leased", tries=outbox.MOST_TRIES, lease_until=timezone.now() - datetime.timedelta(seconds=1)
    )
    assert outbox.deliver_next().how == "failed"


def test_a_leased_letter_is_left_alone_until_its_lease_has_run_out(oak, server):
    queued(oak)
    assert outbox.claim(lease=datetime.timedelta(seconds=60)).tries == 1
    assert outbox.claim() is None
    with time_machine.travel(timezone.now() + datetime.timedelta(seconds=61)):
        assert outbox.claim().tries == 2


def test_a_slow_worker_that_did_send_is_believed_after_its_lease_ran_out(oak, server):
    queued(oak)
    slow = outbox.claim(lease=datetime.timedelta(seconds=0))
    other = outbox.claim()
    assert other.tries == 2
    outbox._gone(slow)
    outbox._put_off(other, OSError())
    row = Message.of(oak.group).get()
    assert row.state == "sent"


def test_what_failed_may_be_sent_once_more(oak, server):
    row = queued(oak)
    Message.of(oak.group).filter(pk=row.pk).update(state="failed", tries=8)
    row.refresh_from_db()
    assert outbox.try_again(message=row)
    assert outbox.deliver_next().how == "sent"


def test_somebody_without_an_address_any_more_becomes_a_to_do(oak, server):
    row = queued(oak)
    Person.of(oak.group).filter(pk=row.person_id).update(email="")
    assert outbox.deliver_next().how == "by hand"
    assert Message.of(oak.group).to_do().get().outcome == "No e-mail address is known any more."


def test_without_a_mail_server_the_letter_lies_as_a_file_and_stays_a_to_do(oak, settings, tmp_path):
    settings.EMAIL_HOST = ""
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = tmp_path
    paper = Document(group=oak.group, kind="plan", title="Your garden", content=b"%PDF-1.7")
    paper.save()
    queued(oak, kind="care-sheet", values={"address": "14 Tansy Row"}, document=paper)
    assert outbox.deliver_next().how == "file"
    (file,) = tmp_path.iterdir()
    assert "Subject: Looking after your garden at 14 Tansy Row" in file.read_text()
    row = Message.of(oak.group).to_do().get()
    assert "nobody has received it" in row.outcome
    assert outbox.deliver_next() is None
