"""`manage.py take_times FOLDER`: how long one more take and the page of habits take."""

import os
from argparse import ArgumentParser
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management.base import BaseCommand, CommandError
from django.core.signals import request_finished
from django.db import connection
from django.test import Client, override_settings
from django.urls import reverse
from django.utils import timezone

from assignments.comfort.comfort_zones import DAYS
from assignments.comfort.zone_making import refresh
from assignments.days import today_in
from assignments.models import KeptZone, Take
from rhythms.bench.real_takes import RealTake, real_takes
from rhythms.human_fills import FolderError
from studio.after_answer import finish_request
from studio.models import SignInLink, Student, Teacher
from studio.studio_opening import create_studio

#: Of so many takes a student has; the last is what one of two real players had.
TAKES = (20, 80, 234)
#: Files sent one after the other, and times that a page is opened.
_TIMES = 5
_HOST = "localhost"


class Command(BaseCommand):
    help = (
        "Take in human fills as free takes of a student, in a database of its own that is removed "
        "again, and print in seconds of a processor what one take more and the page of habits "
        "cost, without a worker."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, help="MIDI files of fills, with their info.csv")
        parser.add_argument("--takes", type=int, nargs="+", default=TAKES, help="how many")

    def handle(self, *args: Any, folder: Path, takes: Sequence[int], **options: Any) -> None:
        try:
            played = list(real_takes(folder))
        except FolderError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(_line("takes", "zone at first", "upload", "zone again", "page"))
        with _database_of_its_own():
            for number in takes:
                times = _Times(played, number)
                self.stdout.write(
                    _line(
                        number,
                        f"{times.zone_at_first():.2f} s",
                        f"{times.upload():.2f} s",
                        f"{times.zone_again():.2f} s",
                        f"{times.page():.2f} s",
                    )
                )


@contextmanager
def _database_of_its_own() -> Iterator[None]:
    name = connection.settings_dict["NAME"]
    connection.creation.create_test_db(verbosity=0, autoclobber=True)
    try:
        with (
            TemporaryDirectory() as media,
            override_settings(
                MEDIA_ROOT=media, ALLOWED_HOSTS=[_HOST], CELERY_TASK_ALWAYS_EAGER=True
            ),
        ):
            yield
    finally:
        connection.creation.destroy_test_db(name, verbosity=0)


class _Times:
    """What a student waits for who has so many takes, spread over the days looked at."""

    def __init__(self, played: Sequence[RealTake], takes: int) -> None:
        teacher = Teacher.objects.create_user(f"teacher-of-{takes}@drums.example", None)
        self._studio = create_studio(f"Studio of {takes}", "UTC", teacher)
        self.student = Student.objects.create(
            studio=self._studio, kit=self._studio.kits.all()[0], nickname="Drummer"
        )
        self._teacher, self._learner = Client(), Client()
        self._teacher.force_login(teacher)
        self._post(reverse("studio:enter", args=[SignInLink.issue(self.student)]), {})
        found = [one for one in played if one.analysis.fills]
        self._files = [one.file.path for one in found[takes:][:_TIMES] or found[:_TIMES]]
        Take.objects.bulk_create(
            self._take(one, number, takes) for number, one in enumerate(found[:takes])
        )
        # So many in one hour would be refused.
        Take.objects.update(created_at=timezone.now() - timedelta(days=2))

    def _take(self, one: RealTake, number: int, of: int) -> Take:
        day = today_in(self._studio) - timedelta(days=(of - 1 - number) * (DAYS - 1) // of)
        return Take(
            student=self.student,
            source=Take.Source.FILE,
            day=day,
            seconds=one.recording.events[-1][0] / 1000,
            events=[list(event) for event in one.recording.events],
            tempo=one.recording.tempo,
            analysis=one.analysis.to_json(),
            fills=[fill.to_json() for fill in one.analysis.fills],
            state=Take.State.DONE,
            analysed_at=timezone.now(),
        )

    def zone_at_first(self) -> float:
        """Nothing is kept of the student yet, nor known to this process."""
        return _timed(lambda: refresh(self.student))

    def zone_again(self) -> float:
        """Once a take more has come, of another fill than any before."""
        return median(_timed(lambda: refresh(self.student)) for _ in self._one_more())

    def _one_more(self) -> Iterator[Take]:
        for take in self.student.takes.filter(analysed_at__isnull=False).order_by("pk")[:_TIMES]:
            Take.objects.filter(pk=take.pk).update(state=Take.State.WAITING)
            KeptZone.objects.outdate([self.student.pk])
            refresh(self.student)
            Take.objects.filter(pk=take.pk).update(state=Take.State.DONE)
            KeptZone.objects.outdate([self.student.pk])
            yield take

    def upload(self) -> float:
        """A file by the student's form, up to the answer."""
        request_finished.disconnect(finish_request)
        try:
            return median(self._sent(path) for path in self._files)
        finally:
            request_finished.connect(finish_request)

    def _sent(self, path: Path) -> float:
        file = SimpleUploadedFile(path.name, path.read_bytes(), "audio/midi")
        address = reverse("assignments:take-upload")
        seconds = _timed(lambda: self._post(address, {"file": file, "meter": "4/4"}))
        finish_request()
        return seconds

    def _post(self, address: str, data: dict[str, Any]) -> None:
        answer = self._learner.post(address, data, headers={"Host": _HOST}, secure=True)
        if answer.status_code != 302:
            raise CommandError(f"{address} answered {answer.status_code}.")

    def page(self) -> float:
        """The teacher's page of the student."""
        address = reverse("assignments:student-comfort", args=[self.student.pk])
        return median(_timed(lambda: self._opened(address)) for _ in range(_TIMES))

    def _opened(self, address: str) -> None:
        answer = self._teacher.get(address, headers={"Host": _HOST}, secure=True)
        if answer.status_code != 200:
            raise CommandError(f"{address} answered {answer.status_code}.")


def _timed(call: Callable[[], object]) -> float:
    """Seconds of this process and of those it started: a busy machine makes them no more."""
    start = os.times()
    call()
    return sum(os.times()[:4]) - sum(start[:4])


def _line(*cells: object) -> str:
    return "".join(f"{cell!s:>15}" for cell in cells)
