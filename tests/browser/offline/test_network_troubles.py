"""Whatever happens between the phone and the server: no entry lost, none doubled."""

import re
import threading
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from assignments.days import DAY, today_in
from assignments.models import PracticeEntry
from assignments.offline import site_files
from assignments.practice import practice_log
from studio import middleware
from tests.browser.fill_steps import open_form
from tests.browser.offline.student_steps import (
    copies,
    log,
    set_network,
    state,
    wait_until,
    wait_until_sent,
)
from tests.browser.page_checks import PHONE, assert_accessible
from tests.browser.signing_in import enter

pytestmark = pytest.mark.django_db(transaction=True)
really_log = practice_log.log


class ServerBreaksError(Exception):
    """Stands for whatever may break: the site answers 500."""


@pytest.fixture
def server(monkeypatch):
    """Say what the server does with what it is sent: `server(before=…, after=…)`."""

    def behaves(before=lambda: None, after=lambda: None):
        def log(*args):
            before()
            logged = really_log(*args)
            after()
            return logged

        monkeypatch.setattr(practice_log, "log", log)

    return behaves


def breaks():
    raise ServerBreaksError


def minutes() -> list[int]:
    """What is logged, in order."""
    return sorted(int(entry.minutes) for entry in PracticeEntry.objects.all())


def sign_out(page: Page) -> None:
    page.get_by_role("button", name="Sign out").first.click()


def come_back(page: Page) -> None:
    """The network returns, as far as the page can tell."""
    page.evaluate("dispatchEvent(new Event('online'))")


@pytest.mark.usefixtures("meant_to_fail")
class TestServerErrors:
    def test_one_before_it_is_logged_loses_nothing(self, device, server):
        server(before=breaks)
        log(device, "7")
        expect(state(device)).to_contain_text("1 entry waits: the site does not answer")
        server()
        wait_until_sent(device)
        assert minutes() == [7]

    def test_one_after_it_is_logged_doubles_nothing(self, device, server):
        server(after=breaks)
        log(device, "7")
        expect(state(device)).to_contain_text("1 entry waits: the site does not answer")
        assert minutes() == [7]
        server()
        wait_until_sent(device)
        assert minutes() == [7]

    def test_one_entry_that_cannot_be_logged_does_not_hold_up_the_others(self, device, server):
        """As long as the trouble is with this one, not with the server."""
        troubles = [ServerBreaksError()]

        def break_once():
            if troubles:
                raise troubles.pop()

        server(before=break_once)
        set_network(device, False)
        for amount in ("7", "8"):
            log(device, amount)
            expect(device.locator("#messages")).to_contain_text(f"Kept on this device: {amount}")
        set_network(device, True)
        wait_until_sent(device)
        assert minutes() == [7, 8]


@pytest.mark.usefixtures("meant_to_fail")
class TestPages:
    def test_a_tab_killed_in_mid_sync_doubles_nothing(self, device, fill_page, server):
        arrived, killed = threading.Event(), threading.Event()

        def wait_for_the_kill():
            arrived.set()
            killed.wait(20)

        server(after=wait_for_the_kill)
        log(device, "7")
        assert arrived.wait(20)
        context = device.context
        device.close()
        killed.set()
        server()
        again = context.new_page()
        again.goto(fill_page)
        wait_until_sent(again)
        log(again, "8")
        expect(again.locator("#messages")).to_contain_text("Saved: 8 min")
        assert minutes() == [7, 8]

    def test_two_tabs_of_a_device_send_each_entry_once(self, off, fill_page):
        other = off.context.new_page()
        other.goto(fill_page)
        for page, amount in ((off, "7"), (other, "8"), (off, "9")):
            log(page, amount)
            expect(page.locator("#messages")).to_contain_text(f"device: {amount} min")
        expect(state(other)).to_contain_text("3 entries wait for the network.")
        set_network(off, True)
        wait_until_sent(off)
        wait_until_sent(other)
        assert minutes() == [7, 8, 9]

    def test_two_devices_log_on_their_own(self, off, open_page, student, fill_page):
        log(off, "7")
        other = open_page(PHONE)
        enter(other, student)
        other.goto(fill_page)
        log(other, "7")
        expect(other.locator("#messages")).to_contain_text("Saved: 7 min")
        set_network(off, True)
        wait_until_sent(off)
        assert minutes() == [7, 7]

    def test_an_entry_that_was_changed_elsewhere_meanwhile_stays_changed(
        self, device, fill, server, student
    ):
        """Logged, but the phone has not heard of it; then changed on another device."""
        server(after=breaks)
        log(device, "7")
        expect(state(device)).to_contain_text("1 entry waits")
        entry = PracticeEntry.objects.get()
        practice_log.change(entry, practice_log.Practised(9, entry.day, fill, id=entry.pk))
        server()
        wait_until_sent(device)
        assert minutes() == [9]

    def test_a_new_version_of_the_site_finds_what_the_old_one_kept(
        self, off, fill_page, monkeypatch
    ):
        log(off, "7")
        expect(state(off)).to_contain_text("1 entry waits")
        newer = replace(site_files.site_files(), version="newer")
        monkeypatch.setattr("assignments.offline.views.site_files", lambda: newer)
        monkeypatch.setattr(
            practice_log, "log", lambda *args: breaks()
        )  # so that it goes on waiting
        set_network(off, True)
        off.reload()
        wait_until(
            off,
            "async () => { const all = await caches.keys();"
            " const ours = all.filter((name) => /files|pages/.test(name));"
            " return ours.length === 2 && ours.every((name) => name.includes('newer')); }",
        )
        expect(state(off)).to_contain_text("1 entry waits")
        monkeypatch.setattr(practice_log, "log", really_log)
        off.goto(fill_page)
        wait_until_sent(off)
        assert minutes() == [7]
        set_network(off, False)
        off.reload()
        open_form(off)
        expect(off.get_by_label("Minutes", exact=True)).to_be_visible()


@pytest.mark.usefixtures("meant_to_fail")
class TestClocks:
    @pytest.mark.parametrize("off_by", [timedelta(days=3), timedelta(days=-400)])
    def test_a_phone_whose_clock_is_off_logs_todays_practice_today(
        self, device, fill_page, studio, off_by
    ):
        device.clock.set_fixed_time(datetime.now(UTC) + off_by)
        device.reload()
        set_network(device, False)
        log(device, "7")
        expect(device.locator("#messages")).to_contain_text("Kept on this device: 7")
        set_network(device, True)
        wait_until_sent(device)
        assert PracticeEntry.objects.get().day == today_in(studio)

    def test_a_clock_that_was_set_right_meanwhile_loses_nothing(self, device, studio):
        device.clock.set_fixed_time(datetime.now(UTC) - timedelta(days=400))
        device.reload()
        set_network(device, False)
        log(device, "7")
        expect(device.locator("#messages")).to_contain_text("Kept on this device: 7")
        device.clock.set_fixed_time(datetime.now(UTC))
        set_network(device, True)
        wait_until_sent(device)
        assert PracticeEntry.objects.get().day == today_in(studio)

    def test_practice_of_yesterday_is_logged_yesterday_however_late_it_is_sent(self, off, studio):
        log(off, "7")
        expect(off.locator("#messages")).to_contain_text("Kept on this device: 7")
        off.evaluate(
            """async (back) => {
                const page = document.querySelector('script[src*="offline/offline_page"]').src;
                const store = await import(page.replace("offline_page.js", "store.js"));
                const [entry] = await store.all();
                await store.keep({ ...entry, made: entry.made - back, seen: entry.seen - back });
            }""",
            24 * 3600 * 1000,
        )
        set_network(off, True)
        wait_until_sent(off)
        assert PracticeEntry.objects.get().day == today_in(studio) - DAY

    def test_a_day_that_was_chosen_stays(self, off, studio):
        chosen = today_in(studio) - 5 * DAY
        open_form(off)
        off.locator("summary").filter(has_text="another day").click()
        off.get_by_label("Day").fill(chosen.isoformat())
        log(off, "7")
        set_network(off, True)
        expect(off.locator("#messages")).to_contain_text("7 min")
        wait_until_sent(off)
        assert PracticeEntry.objects.get().day == chosen


@pytest.mark.usefixtures("meant_to_fail")
class TestSigningOut:
    def test_what_waits_is_sent_first(self, device, server):
        server(before=breaks)
        log(device, "7")
        expect(state(device)).to_contain_text("1 entry waits")
        server()
        sign_out(device)
        expect(device.get_by_role("heading", name="One bar, many fills")).to_be_visible()
        assert minutes() == [7]

    def test_what_cannot_be_sent_stays_until_the_student_is_back(self, device, server, student):
        server(before=breaks)
        log(device, "7")
        expect(state(device)).to_contain_text("1 entry waits")
        sign_out(device)
        dialog = device.get_by_role("dialog", name="Not everything is sent yet")
        expect(dialog).to_contain_text("1 entry is still on this device only.")
        assert_accessible(device)
        dialog.get_by_role("button", name="Sign out").click()
        expect(state(device)).to_contain_text("1 entry waits on this device, to be sent")
        assert copies(device) == []
        server()
        enter(device, student)
        wait_until_sent(device)
        assert minutes() == [7]

    def test_one_may_stay_signed_in(self, device, server, fill_page):
        server(before=breaks)
        log(device, "7")
        expect(state(device)).to_contain_text("1 entry waits")
        sign_out(device)
        device.get_by_role("button", name="Stay signed in").click()
        expect(device).to_have_url(re.compile(re.escape(fill_page)))

    def test_another_students_sign_in_does_not_take_the_entry(
        self, device, server, student, classmate
    ):
        server(before=breaks)
        log(device, "7")
        expect(state(device)).to_contain_text("1 entry waits")
        enter(device, classmate)
        server()
        expect(state(device)).to_contain_text("1 entry waits on this device for another student")
        assert minutes() == []
        enter(device, student)
        wait_until_sent(device)
        assert PracticeEntry.objects.get().student == student

    def test_an_answer_that_was_on_its_way_leaves_the_next_sign_in_alone(
        self, device, classmate, monkeypatch
    ):
        arrived, signed_in = threading.Event(), threading.Event()
        really_look = middleware._studio_of_teacher

        def look_late(request):
            if "late" in request.GET:
                arrived.set()
                signed_in.wait(20)
            return really_look(request)

        monkeypatch.setattr(middleware, "_studio_of_teacher", look_late)
        other = device.context.new_page()
        other.goto("/log/")
        other.evaluate("() => { answered = fetch('/api/device/?late').then((it) => it.status); }")
        assert arrived.wait(20)
        enter(device, classmate)
        signed_in.set()
        assert other.evaluate("() => answered") == 401
        other.goto("/log/")
        expect(other.get_by_role("heading", name="My log")).to_be_visible()

    def test_an_old_page_does_not_log_for_who_signed_in_since(self, device, student, classmate):
        other = device.context.new_page()
        enter(other, classmate)
        log(device, "7")
        expect(state(device)).to_contain_text("1 entry waits")
        assert minutes() == []
        enter(other, student)
        wait_until_sent(other)
        assert PracticeEntry.objects.get().student == student

    def test_another_student_never_sees_the_pages_kept_for_the_first(self, device, classmate):
        enter(device, classmate)
        set_network(device, False)
        device.goto("/fills/")
        expect(device.locator("main")).not_to_contain_text("Line 4")


@pytest.mark.usefixtures("meant_to_fail")
class TestRevokedLink:
    def test_what_waits_is_sent_with_the_next_link(self, off, student):
        log(off, "7")
        expect(state(off)).to_contain_text("1 entry waits")
        student.sign_in_links.get().revoke()
        set_network(off, True)
        expect(state(off)).to_contain_text("to be sent when your link is opened here.")
        assert minutes() == []
        enter(off, student)
        wait_until_sent(off)
        assert minutes() == [7]

    def test_the_pages_are_gone_from_the_device(self, device, student):
        student.sign_in_links.get().revoke()
        device.goto("/today/")
        expect(device.get_by_role("heading", name="Sign in")).to_be_visible()
        wait_until(
            device,
            "async () => !(await caches.keys()).some((name) => name.includes('pages'))",
        )
        set_network(device, False)
        device.goto("/today/")
        expect(device.get_by_role("heading", name="No network")).to_be_visible()


@pytest.mark.usefixtures("meant_to_fail")
class TestRefused:
    def test_an_entry_that_is_refused_comes_back_into_the_form(self, off, fill, fill_page):
        """Only the server knows what it takes; here the page allowed more."""
        off.evaluate("document.querySelector('#id_minutes').removeAttribute('max')")
        log(off, "500")
        expect(state(off)).to_contain_text("1 entry waits")
        set_network(off, True)
        expect(state(off)).to_contain_text("1 entry could not be logged as it is.")
        state(off).get_by_role("link", name="Look at it").click()
        assert_accessible(off)
        off.locator("[data-rows] li").get_by_role("link", name="Change").click()
        expect(off.get_by_label("Minutes", exact=True)).to_have_value("500")
        expect(off.locator("#id_minutes_error")).to_contain_text("from 0.1 to 180")
        log(off, "50")
        expect(off.locator("#messages")).to_contain_text("Saved: 50 min")
        wait_until_sent(off)
        assert minutes() == [50]
        assert reverse("assignments:fill", args=[fill.pk]) in off.url
