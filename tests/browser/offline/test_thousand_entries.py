"""A thousand entries (150 in the quick run), as network, server and pages come and go at random.

Each entry is logged in the form of a fill's page, and is numbered in its note. What happens is
drawn from a seed; `OFFLINE_SEED` and `OFFLINE_ENTRIES` run it otherwise than the suite does.
"""

import os
from collections import Counter
from random import Random

import pytest
from django.core.exceptions import ImproperlyConfigured
from playwright.sync_api import BrowserContext, Page

from assignments.models import PracticeEntry
from assignments.practice import practice_log
from tests.browser.offline.student_steps import set_network, wait_until_sent
from tests.thoroughness import amount

pytestmark = pytest.mark.django_db(transaction=True)
SEED = int(os.environ.get("OFFLINE_SEED", "1"))
ENTRIES = int(os.environ.get("OFFLINE_ENTRIES") or amount(1000, 150))
really_log = practice_log.log

# Resolves once the entry is on the device; what becomes of it then takes its own time.
LOG_ONE = """async ([number, minutes]) => {
    const form = document.querySelector("form[data-log-form]");
    const button = form.querySelector("button:not([type=button])");
    const soon = () => new Promise((resolve) => setTimeout(resolve, 5));
    while (button.disabled) await soon();
    const page = document.querySelector('script[src*="offline/offline_page"]').src;
    const store = await import(page.replace("offline_page.js", "store.js"));
    const { entry } = form.elements;
    const id = entry.value;
    form.elements.minutes.value = minutes;
    form.elements.note.value = `number ${number}`;
    form.requestSubmit();
    while (entry.value === id && !(await store.find(id))) await soon();
    return id;
}"""


class RoughServer:
    """Answers 500 to some of what it is sent, before or after it has logged it."""

    def __init__(self, random: Random) -> None:
        self.random = random
        self.happened = Counter()

    def log(self, *args):
        chance = self.random.random()
        if chance < 0.05:
            self.breaks("500 before it was logged")
        logged = really_log(*args)
        self.happened["logged" if logged[1] else "sent again"] += 1
        if chance > 0.95:
            self.breaks("500 after it was logged")
        return logged

    def breaks(self, when: str) -> None:
        self.happened[when] += 1
        raise ImproperlyConfigured(when)


class RoughDay:
    """A student's phone with one or two tabs, to which things happen."""

    def __init__(self, page: Page, address: str, random: Random) -> None:
        self.context: BrowserContext = page.context
        self.address = address
        self.random = random
        self.tabs = [page]
        self.is_online = True
        self.happened = Counter()

    def something_happens(self) -> None:
        (what,) = self.random.choices(
            [self.nothing, self.network_changes, self.reload, self.tab_is_killed, self.second_tab],
            [87, 8, 2, 2, 1],
        )
        what()
        self.happened[what.__name__.replace("_", " ")] += 1

    def nothing(self) -> None:
        pass

    def network_changes(self) -> None:
        self.is_online = not self.is_online
        set_network(self.tabs[0], self.is_online)

    def reload(self) -> None:
        self.tab().reload()

    def tab_is_killed(self) -> None:
        """Without a word of goodbye, whatever it is in the middle of."""
        killed = self.tab()
        fresh = self.open_tab()
        self.tabs.remove(killed)
        killed.close(run_before_unload=False)
        self.tabs.append(fresh)

    def second_tab(self) -> None:
        if len(self.tabs) == 1:
            self.tabs.append(self.open_tab())

    def open_tab(self) -> Page:
        page = self.context.new_page()
        page.goto(self.address)
        return page

    def tab(self) -> Page:
        return self.random.choice(self.tabs)

    def ends_well(self) -> None:
        """The network and the server are back; what waits is sent."""
        self.is_online = True
        set_network(self.tabs[0], True)
        for tab in self.tabs:
            tab.evaluate("dispatchEvent(new Event('online'))")
        wait_until_sent(self.tabs[0])


@pytest.mark.usefixtures("meant_to_fail")
def test_each_is_there_once(device, fill, fill_page, monkeypatch, student):
    random = Random(SEED)
    server = RoughServer(Random(SEED + 1))
    monkeypatch.setattr(practice_log, "log", server.log)
    day = RoughDay(device, fill_page, random)
    sent = {}
    for number in range(ENTRIES):
        minutes = random.randint(1, 180)
        sent[day.tab().evaluate(LOG_ONE, [number, minutes])] = (f"number {number}", minutes)
        day.something_happens()
    monkeypatch.setattr(practice_log, "log", really_log)
    day.ends_well()
    print(f"\nseed {SEED}: {dict(day.happened)}; server: {dict(server.happened)}")  # noqa: T201
    kept = PracticeEntry.objects.filter(student=student, variation=fill, tempo=88)
    logged = {str(entry.pk): (entry.note, int(entry.minutes)) for entry in kept}
    assert PracticeEntry.objects.count() == ENTRIES
    assert logged == sent
    assert server.happened["sent again"] > 0, "nothing was ever sent twice: this tried nothing"
