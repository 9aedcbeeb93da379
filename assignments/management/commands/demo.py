"""`manage.py demo`: a studio to look at, ready to be clicked through."""

import socket
from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.urls import reverse

from assignments.demo import scenario
from assignments.demo.demo_people import demo_teacher, fresh_links
from assignments.demo.fill_demo import fill
from rhythms.tasks import sweep
from studio.models import Studio, Teacher

HOST = "127.0.0.1"


class Command(BaseCommand):
    help = (
        "Fill an invented studio with twelve weeks of lessons, print how to sign in, and serve "
        "it on this machine. A second run adds nothing, and prints new sign-in links."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, default=8000, help="where to serve (default 8000)")
        parser.add_argument("--no-serve", action="store_true", help="fill and print only")

    def handle(self, *args: Any, port: int, no_serve: bool, **options: Any) -> None:
        if not settings.DEBUG:
            raise CommandError(
                "The demo has a password that everybody can read. Set DEBUG=true, and keep it "
                "away from a database that others use."
            )
        if not no_serve:
            check_free(port)
        self._say("Preparing the database …")
        call_command("migrate", verbosity=0)
        teacher = demo_teacher() or self._filled()
        sweep()  # what an earlier run was stopped from engraving
        self._print_signs_in(teacher, f"http://{HOST}:{port}")
        if not no_serve:
            self._say("Stop with Ctrl-C.")
            call_command("runserver", f"{HOST}:{port}", use_reloader=False)

    def _filled(self) -> Teacher:
        self._say(f"Twelve weeks at “{scenario.STUDIO}”:")
        return fill(self._say)

    def _print_signs_in(self, teacher: Teacher, site: str) -> None:
        studio = Studio.objects.get(memberships__teacher=teacher)
        password = scenario.PASSWORD
        if not teacher.check_password(password):
            password = "the one you gave it"  # noqa: S105
        self._say(f"\nTeacher: {site}{reverse('studio:sign-in')}")
        self._say(f"  e-mail    {teacher.email}\n  password  {password}")
        self._say("\nStudents, each by a personal link (those of an earlier run have ended):")
        for person, secret in fresh_links(studio):
            address = f"{site}{reverse('studio:enter', args=[secret])}"
            self._say(f"  {person.nickname}, {person.story}\n    {address}")

    def _say(self, text: str) -> None:
        self.stdout.write(text)
        self.stdout.flush()


def check_free(port: int) -> None:
    """Raise CommandError where something else listens on this port already."""
    with socket.socket() as listener:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((HOST, port))
        except (OSError, OverflowError) as error:
            raise CommandError(
                f"Port {port} cannot be used ({error}). Give another one: demo --port 8001"
            ) from error
