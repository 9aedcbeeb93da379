"""What a studio does all the time, while something goes wrong: kept, counted, and looked up later.

Each person behaves as the site's own pages do: what got no answer, or a server's error, is sent
again, the same with the same id, until the server says that it has it.
"""

from __future__ import annotations

import json
import random
import threading
import time
import uuid
from collections import Counter
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import count

from lxml import html

from tests.deployment.studio_site import Answer, People, Visitor, fields_of

#: Seconds between two things of one person, and until something is sent again.
PAUSE, AGAIN = 2.0, 0.5
#: Of one student, who may send sixty an hour.
BETWEEN_TAKES = 65
#: What a student plays: eighths at 90, in ms, on General MIDI's snare and toms.
PLAYED = [[1000 + 333.33 * i, (38, 48, 45, 41)[i % 4], 90] for i in range(8)]


class Ledger:
    """What people were told is kept, and how the server answered meanwhile."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self.kept: dict[str, set[str]] = {"entries": set(), "takes": set(), "assignments": set()}
        self.sent: dict[str, set[str]] = {name: set() for name in self.kept}
        self.mastered: dict[int, bool] = {}
        self.statuses: Counter[int] = Counter()
        self.refused: list[str] = []
        self.last_success = time.monotonic()
        self.longest_silence = 0.0

    def answered(self, answer: Answer) -> None:
        with self._lock:
            self.statuses[answer.status] += 1
            if 200 <= answer.status < 400:
                now = time.monotonic()
                self.longest_silence = max(self.longest_silence, now - self.last_success)
                self.last_success = now

    @property
    def silence(self) -> float:
        """The longest time without a success, in seconds, one that lasts still included."""
        return max(self.longest_silence, time.monotonic() - self.last_success)

    def begin(self) -> None:
        """Count answers and silence anew; what is kept stays."""
        with self._lock:
            self.statuses.clear()
            self.longest_silence, self.last_success = 0.0, time.monotonic()


class Traffic:
    """A thread a person, from `start` to `stop`."""

    def __init__(self, people: People, seed: int) -> None:
        self.people, self.ledger = people, Ledger()
        self._stopped = threading.Event()
        self._random = random.Random(seed)
        self._threads: list[threading.Thread] = []

    def start(self) -> None:
        jobs: list[Callable[[], None]] = [self._teach]
        jobs += [self._practise_with(student) for student in self.people.students]
        self._threads = [threading.Thread(target=self._repeat, args=(job,)) for job in jobs]
        for thread in self._threads:
            thread.start()

    def stop(self) -> None:
        """Let everybody finish what they have begun."""
        self._stopped.set()
        for thread in self._threads:
            thread.join()

    def _repeat(self, job: Callable[[], None]) -> None:
        while not self._stopped.is_set():
            try:
                job()
            except Exception as error:
                self.ledger.refused.append(f"{job.__qualname__}: {error!r}")
                raise
            time.sleep(PAUSE)

    def until_kept(self, kind: str, name: str, send: Callable[[], Answer]) -> None:
        """Send until the server has it; what it refuses is a fault of its own."""
        self.ledger.sent[kind].add(name)
        while True:
            answer = send()
            self.ledger.answered(answer)
            if 200 <= answer.status < 300:
                if not answer.address.endswith("/assign/"):  # which says why it was not assigned
                    self.ledger.kept[kind].add(name)
                return
            if 0 < answer.status < 500:
                self.ledger.refused.append(f"{kind}: {answer.status} {answer.text[:300]}")
                return
            time.sleep(AGAIN)

    def _practise_with(self, student: Visitor) -> Callable[[], None]:
        fills = json.loads(student.get("/api/variations/").text)
        numbers = [fill["id"] for fill in fills]
        turn = count()
        next_take = time.monotonic() + self._random.uniform(0, BETWEEN_TAKES)

        def job() -> None:
            nonlocal next_take
            number = next(turn)
            self._log(student, self._random.choice(numbers) if numbers else None)
            if time.monotonic() > next_take:
                next_take = time.monotonic() + BETWEEN_TAKES
                self._record(student)
            if number % 4 == 1 and numbers:
                self._mark(student, numbers[-1], mastered=number % 8 == 1)
            for path in ("/today/", "/fills/"):
                self.ledger.answered(student.get(path))

        return job

    def _log(self, student: Visitor, fill: int | None) -> None:
        name = str(uuid.uuid4())
        yesterday = (datetime.now(UTC) - timedelta(days=1)).date()  # over by any clock
        entry = {"id": name, "minutes": 0.1, "day": yesterday.isoformat(), "note": name}
        content = entry | {"variation": fill}
        self.until_kept(
            "entries", name, lambda: student.send_json("/api/practice-entries/", content)
        )

    def _record(self, student: Visitor) -> None:
        name = str(uuid.uuid4())
        take = {"id": name, "source": "pads", "tempo": 90, "seconds": 5, "events": PLAYED}
        self.until_kept("takes", name, lambda: student.send_json("/api/takes/", take))

    def _mark(self, student: Visitor, fill: int, *, mastered: bool) -> None:
        verb = "mastered" if mastered else "take-back"
        while True:
            answer = student.send_json(f"/api/variations/{fill}/{verb}/", {})
            self.ledger.answered(answer)
            if answer.status == 200:
                self.ledger.mastered[fill] = mastered
                return
            if 0 < answer.status < 500:
                self.ledger.refused.append(f"{verb}: {answer.status} {answer.text[:300]}")
                return
            time.sleep(AGAIN)

    def _teach(self) -> None:
        teacher = self.people.teacher
        for path in ("/roster/", "/comfort/"):
            self.ledger.answered(teacher.get(path))
        page = teacher.get("/assign/")
        if page.status != 200:
            return
        name = str(uuid.uuid4())
        drawn = teacher.send("/assign/draw/", self._chosen(page.text, name))
        self.ledger.answered(drawn)
        if drawn.status != 200:
            return
        fields = fields_of(drawn.text, "//form[@id='assign']")
        self.until_kept("assignments", name, lambda: teacher.send("/assign/", fields))

    def _chosen(self, page: str, note: str) -> dict[str, str]:
        """A bar, a rule set and a student, at random, of those that the page offers."""
        form = html.fromstring(page).xpath("//form[@id='assign']")[0]
        fields = dict(form.form_values())
        for name in ("bar", "rule_set", "students"):
            offered = form.xpath(f".//input[@name='{name}']/@value") or form.xpath(
                f".//select[@name='{name}']//option[@value!='']/@value"
            )
            fields[name] = self._random.choice(offered)
        return fields | {"note": note, "how_many": "2"}
