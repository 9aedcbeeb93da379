"""`manage.py web_memory`: what a web process holds, at its start and after ten ordinary pages."""

import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.test import Client, override_settings
from django.urls import get_resolver, reverse

from studio.models import Membership, SignInLink, Student

#: Libraries that take some memory each.
HEAVY = ("verovio", "typst", "music21", "mido", "lameenc", "lxml", "numpy", "fsrs", "psycopg")
#: What people open all day.
_TEACHERS = ("assignments:roster", "rhythms:bars", "rhythms:rule-sets", "studio:students")
_STUDENTS = ("today", "my-fills", "my-progress", "my-log", "takes")
_HOST = "localhost"
_STATUS = Path("/proc/self/status")


class Command(BaseCommand):
    help = "Print the memory of a web process on this database, and which libraries are in it."

    def handle(self, *args: Any, **options: Any) -> None:
        if not _STATUS.exists():
            raise CommandError("The memory of a process is read from /proc, which is not here.")
        student = Student.objects.kept().filter(assignments__isnull=False).first()
        if student is None:
            raise CommandError("Nobody has fills here yet: `manage.py demo --no-serve` fills it.")
        import_module("studio.wsgi")
        _ = get_resolver().url_patterns
        self._tell("after its start")
        with override_settings(ALLOWED_HOSTS=[_HOST]), transaction.atomic():
            pages = sum(_opened(client, path) for client, path in _ordinary_pages(student))
            transaction.set_rollback(True)  # nobody was here
        self._tell(f"after {pages} ordinary pages")

    def _tell(self, when: str) -> None:
        held = next(line for line in _STATUS.read_text().splitlines() if line.startswith("VmRSS"))
        there = ", ".join(name for name in HEAVY if name in sys.modules)
        self.stdout.write(f"{int(held.split()[1]) / 1024:6.1f} MB {when}, with {there}")


def _ordinary_pages(student: Student) -> Iterator[tuple[Client, str]]:
    teacher, learner = Client(), Client()
    teacher.force_login(Membership.objects.filter(studio=student.studio)[0].teacher)
    yield from ((teacher, reverse(name)) for name in _TEACHERS)
    entrance = reverse("studio:enter", args=[SignInLink.issue(student)])
    learner.post(entrance, headers={"Host": _HOST}, secure=True)
    yield from ((learner, reverse(f"assignments:{name}")) for name in _STUDENTS)


def _opened(client: Client, path: str) -> bool:
    answer = client.get(path, headers={"Host": _HOST}, secure=True)
    if answer.status_code != 200:
        raise CommandError(f"{path} answered {answer.status_code}.")
    return True
