"""`manage.py runserver`, and what the demo serves by: Django's, without its waits."""

from typing import Any

from django.contrib.staticfiles.management.commands import runserver
from django.core.servers.basehttp import WSGIRequestHandler


class Command(runserver.Command):
    def inner_run(self, *args: Any, **options: Any) -> None:
        # The parts of an answer need not wait 40 ms for one another to be acknowledged.
        WSGIRequestHandler.disable_nagle_algorithm = True
        super().inner_run(*args, **options)
