"""Nobody learns from a page who has an account: the answer is the same, and the work is; the mail
says the rest.
"""

import re
from contextlib import contextmanager
from datetime import timedelta
from hashlib import sha256
from smtplib import SMTPRecipientsRefused

import pytest
from django.contrib.auth.hashers import MD5PasswordHasher
from django.core import mail, signing
from django.db import connection
from django.db.models import F
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from studio.accounts import account_mails
from studio.models import AccountMail, Studio, Teacher
from studio.models.account_mail import TRIED_FOR
from studio.tasks import send_waiting_mails
from tests.studio.accounts.test_accounts import STUDIO, errors, sign_in

pytestmark = pytest.mark.django_db
KNOWN, UNKNOWN = "ines@example.org", "nobody@example.org"
CLOSED = "closed@example.org"
SIGN_UP, FORGOTTEN = reverse("studio:sign-up"), reverse("studio:forgotten")


class CountedHasher(MD5PasswordHasher):
    """Counts how often a password is hashed: that is what takes time where people sign in."""

    hashed = 0

    def encode(self, password, salt):
        CountedHasher.hashed += 1
        return super().encode(password, salt)


@pytest.fixture(autouse=True)
def _hashes_are_counted(settings):
    settings.PASSWORD_HASHERS = [f"{__name__}.CountedHasher"]


@pytest.fixture(autouse=True)
def people(teacher):
    teacher.set_password("paradiddle-diddle-7")
    teacher.save()
    Teacher.objects.create_user(CLOSED, "paradiddle-diddle-7", is_active=False)


@pytest.fixture
def ask(client, django_capture_on_commit_callbacks):
    """Ask for a mail; what waits for the commit is done, as after a real request."""

    def ask(address, email=KNOWN, **request):
        with django_capture_on_commit_callbacks(execute=True):
            return client.post(address, {"email": email}, **request)

    return ask


@contextmanager
def work():
    """Collects the statements to the database and the hashes that are made meanwhile."""
    done, before = {}, CountedHasher.hashed
    with CaptureQueriesContext(connection) as queries:
        yield done
    kinds = [re.sub(r"'.*?'|\d+", "…", query["sql"])[:60] for query in queries]
    done.update(queries=kinds, hashes=CountedHasher.hashed - before)


def seen(response):
    """What a stranger can see of an answer, without what is random in every one of them."""
    page = re.sub(r'name="csrfmiddlewaretoken" value="\w+"', "", response.content.decode())
    random = {"content-length", "x-request-id"}
    kept = {name: value for name, value in response.headers.items() if name.lower() not in random}
    return response.status_code, kept, page


def link(text: str) -> str:
    return re.search(r"http://testserver(/(?:sign-up|new-password)/\S+)", text)[1]


@pytest.mark.parametrize("address", [SIGN_UP, FORGOTTEN])
@pytest.mark.parametrize("other", [UNKNOWN, CLOSED])
class TestOneAddressIsAsGoodAsAnother:
    def test_the_answer_is_the_same(self, ask, address, other):
        assert seen(ask(address, KNOWN)) == seen(ask(address, other))

    def test_the_work_is_the_same(self, ask, address, other):
        with work() as for_known:
            ask(address, KNOWN)
        with work() as for_other:
            ask(address, other)
        assert for_known == for_other
        assert for_known["queries"]

    def test_each_gets_one_mail(self, ask, address, other):
        ask(address, KNOWN)
        ask(address, other)
        assert [sent.to for sent in mail.outbox] == [[KNOWN], [other]]

    def test_nothing_of_who_asked_is_kept_but_a_hash(self, ask, address, other):
        ask(address, KNOWN)
        ask(address, other)
        assert set(AccountMail.objects.values_list("email", "site")) == {("", "")}
        kept = AccountMail.objects.values_list("mailbox", flat=True)
        assert {len(mailbox) for mailbox in kept} == {64}
        assert not {sha256(each.encode()).hexdigest() for each in (KNOWN, other)} & set(kept)


@pytest.mark.parametrize("other", [UNKNOWN, CLOSED])
def test_signing_in_costs_the_same_whether_there_is_an_account(client, other):
    sign_in(client, KNOWN, "wrong")  # the first one of a session
    with work() as for_known:
        known = sign_in(client, KNOWN, "wrong")
    with work() as for_other:
        unknown = sign_in(client, other, "wrong")
    assert for_known == for_other
    assert for_known["hashes"] == 1
    assert errors(known, "__all__") == errors(unknown, "__all__")


class TestWhatTheMailsSay:
    def test_a_new_address_gets_a_link_that_opens_a_studio(self, client, ask):
        ask(SIGN_UP, "New@Example.org")
        client.post(link(mail.outbox[0].body), STUDIO)
        assert client.get(reverse("studio:students")).wsgi_request.studio.name == "Room 4"
        assert Teacher.objects.filter(email="new@example.org").exists()

    def test_looking_at_the_link_opens_nothing(self, client, ask):
        ask(SIGN_UP, UNKNOWN)
        before = Studio.objects.count()
        assert client.get(link(mail.outbox[0].body)).status_code == 200
        client.head(link(mail.outbox[0].body))
        assert Studio.objects.count() == before

    def test_who_has_a_studio_hears_how_to_sign_in_or_set_a_password(self, client, ask):
        ask(SIGN_UP)
        body = mail.outbox[0].body
        assert reverse("studio:sign-in") in body
        assert client.get(link(body), follow=True).context["validlink"]

    def test_who_has_none_hears_it_where_a_password_was_forgotten(self, client, ask):
        ask(FORGOTTEN, UNKNOWN)
        assert "No studio" in mail.outbox[0].subject
        assert client.get(link(mail.outbox[0].body)).status_code == 200

    def test_the_link_is_good_for_a_day(self, client, ask, monkeypatch):
        ask(SIGN_UP, UNKNOWN)
        address = link(mail.outbox[0].body)
        monkeypatch.setattr(signing.time, "time", lambda: timezone.now().timestamp() + 25 * 3600)
        answer = client.get(address)
        assert answer.status_code == 404
        assert "older than a day" in answer.content.decode()

    def test_a_link_for_one_thing_does_not_open_a_studio(self, client):
        forged = signing.dumps(UNKNOWN, salt="something else")
        assert client.get(reverse("studio:open-studio", args=[forged])).status_code == 404

    def test_a_site_without_mail_says_where_its_mails_are(self, client):
        for name in ("sign-up-sent", "forgotten-sent"):
            page = client.get(reverse(f"studio:{name}")).content.decode()
            assert "prints its mails where it was started" in page

    def test_a_site_with_mail_does_not(self, client, settings):
        settings.EMAIL_HOST = "mail.example.org"
        page = client.get(reverse("studio:sign-up-sent")).content.decode()
        assert "prints its mails" not in page


def kept(email: str = UNKNOWN) -> AccountMail:
    return AccountMail.ask(AccountMail.About.SIGN_UP, email, "http://testserver")


def sent_to() -> list[str]:
    return [to for sent in mail.outbox for to in sent.to]


class TestAMailServerThatIsAway:
    @pytest.fixture(autouse=True)
    def _server_is_thought_to_be_there(self):
        yield
        account_mails.breaker.note_success()

    @pytest.fixture
    def away(self, settings):
        settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
        settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 9  # nobody listens there

    def test_it_breaks_no_page_and_the_mail_waits(self, ask, away):
        assert ask(SIGN_UP, UNKNOWN).status_code == 302
        assert AccountMail.objects.get().email == UNKNOWN

    def test_the_others_do_not_wait_for_it(self, away, caplog):
        for _ in range(3):
            kept()
        send_waiting_mails()
        assert [record.message[:25] for record in caplog.records] == ["The mail server is away: "]
        assert AccountMail.objects.filter(tried_at=None).count() == 2

    def test_the_mail_goes_out_when_it_is_back(self):
        kept()
        send_waiting_mails()
        assert sent_to() == [UNKNOWN]

    def test_a_mail_that_waited_for_a_day_is_given_up(self):
        kept()
        AccountMail.objects.update(asked_at=timezone.now() - timedelta(hours=25))
        send_waiting_mails()
        assert (mail.outbox, AccountMail.objects.count()) == ([], 0)


class TestAMailThatIsBeingSent:
    def test_nobody_who_writes_waits_for_it(self, monkeypatch):
        """A mail server takes its time; SQLite has one writer at a time."""
        inside = []
        outside = len(connection.savepoint_ids)
        send_mail = mail.send_mail
        monkeypatch.setattr(
            mail,
            "send_mail",
            lambda *args: inside.append(len(connection.savepoint_ids)) or send_mail(*args),
        )
        account_mails.send(kept().pk)
        assert inside == [outside]

    def test_it_is_sent_once(self):
        waits = kept()
        AccountMail.take(waits.pk)
        account_mails.send(waits.pk)
        send_waiting_mails()
        assert mail.outbox == []

    def test_it_is_tried_again_after_whoever_sent_it_was_ended(self):
        waits = kept()
        AccountMail.take(waits.pk)
        AccountMail.objects.update(tried_at=timezone.now() - TRIED_FOR - timedelta(seconds=1))
        send_waiting_mails()
        assert sent_to() == [UNKNOWN]


class TestAMailThatIsRefused:
    @pytest.fixture
    def refused(self, monkeypatch):
        """Have the mail server say this of mails to nobody@example.org."""
        send_mail = mail.send_mail

        def refuse(code):
            def send(subject, body, sender, to):
                if to == [UNKNOWN]:
                    raise SMTPRecipientsRefused({UNKNOWN: (code, b"No")})
                return send_mail(subject, body, sender, to)

            monkeypatch.setattr(mail, "send_mail", send)

        return refuse

    @pytest.mark.parametrize(("code", "waiting"), [(550, 0), (450, 1)])
    def test_what_is_refused_for_good_is_not_tried_again(self, refused, code, waiting):
        refused(code)
        account_mails.send(kept().pk)
        assert AccountMail.objects.filter(sent_at=None).count() == waiting

    def test_it_holds_up_no_other(self, refused):
        refused(450)
        kept()
        kept(KNOWN)
        send_waiting_mails()
        assert sent_to() == [KNOWN]

    def test_it_comes_after_the_others_the_next_time(self):
        first, second = kept(), kept(KNOWN)
        AccountMail.objects.filter(pk=first.pk).update(tried_at=timezone.now() - 2 * TRIED_FOR)
        assert account_mails.waiting() == [second.pk, first.pk]

    def test_the_log_does_not_say_who_it_was_for(self, refused, caplog):
        refused(450)
        account_mails.send(kept().pk)
        assert "SMTPRecipientsRefused [450]" in caplog.text
        assert UNKNOWN not in caplog.text


class TestHowManyAMailboxGets:
    @pytest.mark.parametrize("address", [SIGN_UP, FORGOTTEN])
    def test_five_in_an_hour(self, ask, address):
        answers = [seen(ask(address, UNKNOWN)) for _ in range(6)]
        assert sent_to() == [UNKNOWN] * 5
        assert answers == answers[:1] * 6

    def test_whatever_they_are_about_and_wherever_they_are_asked_for(self, ask):
        for number in range(3):
            for address in (SIGN_UP, FORGOTTEN):
                ask(address, UNKNOWN, REMOTE_ADDR=f"203.0.113.{number}")
        assert sent_to() == [UNKNOWN] * 5

    def test_twenty_in_a_day(self, ask):
        for hour in range(5):
            for _ in range(5):
                ask(SIGN_UP, UNKNOWN, REMOTE_ADDR=f"203.0.113.{hour}")
            AccountMail.objects.update(asked_at=F("asked_at") - timedelta(hours=1))
        assert sent_to() == [UNKNOWN] * 20

    def test_the_next_day_there_are_more(self, ask):
        for _ in range(5):
            kept()
        AccountMail.objects.update(asked_at=timezone.now() - timedelta(hours=25))
        send_waiting_mails()
        ask(SIGN_UP, UNKNOWN)
        assert sent_to() == [UNKNOWN]
        assert AccountMail.objects.count() == 1

    def test_a_word_after_a_plus_sign_makes_no_other_mailbox(self, ask):
        for number in range(6):
            ask(SIGN_UP, f"nobody+{number}@example.org")
        assert len(mail.outbox) == 5

    def test_another_mailbox_gets_its_own(self, ask):
        for email in [UNKNOWN] * 6 + [KNOWN]:
            ask(SIGN_UP, email)
        assert sent_to() == [UNKNOWN] * 5 + [KNOWN]

    def test_what_a_clock_that_was_ahead_has_dated_counts_for_nothing(self, ask):
        for _ in range(4):
            for _ in range(5):
                kept()
            AccountMail.objects.update(asked_at=timezone.now() + timedelta(days=90))
        for _ in range(6):
            ask(SIGN_UP, UNKNOWN)
        assert sent_to() == [UNKNOWN] * 5

    def test_what_a_clock_that_was_ahead_has_dated_is_forgotten(self):
        kept()
        AccountMail.objects.update(asked_at=timezone.now() + timedelta(days=90))
        send_waiting_mails()
        assert not AccountMail.objects.exists()


def test_the_name_of_a_site_may_be_long(ask, settings):
    settings.ALLOWED_HOSTS = [".example.org"]
    host = ".".join(["studio" * 9] * 8 + ["example.org"])
    assert ask(SIGN_UP, UNKNOWN, headers={"Host": host}).status_code == 302


class TestAtOnesOwnMachine:
    """Nobody else is there, and no mail goes out: the way to a studio is as short as it can be."""

    @pytest.fixture(autouse=True)
    def _own_machine(self, settings):
        settings.DEBUG = True

    def test_the_page_goes_on_without_a_mail(self, client, ask):
        answer = ask(SIGN_UP, UNKNOWN)
        assert client.post(answer["Location"], STUDIO)["Location"] == reverse("studio:students")
        assert mail.outbox == []

    def test_who_has_a_studio_is_told_so(self, ask):
        answer = ask(SIGN_UP)
        assert errors(answer, "email") == [
            "There is already an account with this e-mail. Sign in instead."
        ]

    @pytest.mark.parametrize(
        ("name", "value"),
        [("EMAIL_HOST", "mail.example.org"), ("PROXIES", 1), ("DEBUG", False)],
    )
    def test_a_site_for_others_keeps_to_mails(self, ask, settings, name, value):
        setattr(settings, name, value)
        assert ask(SIGN_UP)["Location"] == reverse("studio:sign-up-sent")

    def test_who_comes_from_elsewhere_gets_a_mail(self, client, django_capture_on_commit_callbacks):
        with django_capture_on_commit_callbacks(execute=True):
            answer = client.post(SIGN_UP, {"email": KNOWN}, REMOTE_ADDR="203.0.113.9")
        assert answer["Location"] == reverse("studio:sign-up-sent")


@pytest.mark.parametrize("address", [SIGN_UP, FORGOTTEN])
def test_an_address_that_grows_in_lower_case_is_refused(ask, address):
    """One capital letter becomes two characters; accounts keep 254 of them."""
    domain = ".".join(["İ" * 60] * 4)
    assert ask(address, f"a@{domain}.example").status_code == 200
    assert not AccountMail.objects.exists()


@pytest.mark.parametrize("address", [SIGN_UP, FORGOTTEN])
def test_asking_too_often_is_refused(ask, address):
    for _ in range(20):
        ask(address)
    assert "Too many tries" in errors(ask(address), "__all__")[0]
