"""What a student's device keeps, so that practice needs no network.

Files of the site are the same for everyone; pages and sounds are copied by the worker in
`static/js/offline/worker.js`, which asks for the list anew whenever there is a network.
"""

import hashlib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.templatetags.static import static
from django.urls import reverse

from assignments.models import AssignedVariation
from studio.context_processors import address_of
from studio.models import Student

#: The library that pages load besides our own files.
HTMX = "django_htmx/htmx-2.min.js"
WORKER = "js/offline/worker.js"
#: What the worker does with reminders.
PUSH_WORKER = "js/reminders/push_worker.js"
#: A device keeps the pages of so many fills: years of mastered ones would fill it.
MOST_FILLS = 150
KINDS = {".css", ".js", ".png", ".svg"}
#: Pages that change with every entry; those of the fills are copied anew now and then.
OFTEN = (
    "assignments:today",
    "assignments:my-fills",
    "assignments:my-log",
    "assignments:my-progress",
    "assignments:offline",  # what it says of who is signed in is true only where they are
)


@dataclass(frozen=True)
class SiteFiles:
    """The site's own files: their addresses, and a version that changes with their content."""

    addresses: tuple[str, ...]
    version: str


def site_files() -> SiteFiles:
    """Return what every page may load; read once where files do not change while we run."""
    return _read_files() if settings.DEBUG else _files_read_once()


def pages_often() -> list[str]:
    """Return the addresses of a student's pages that change from day to day."""
    return [address for name in OFTEN if (address := address_of(name))]


def pages_of_fills(student: Student) -> list[str]:
    """Return the addresses of the student's fills, those not mastered first: page, block, sound."""
    fills = AssignedVariation.objects.kept().filter(assignment__student=student).open_first()
    pks = fills.values_list("pk", flat=True)[:MOST_FILLS]
    names = ("assignments:fill", "assignments:fill-block", "assignments:heard")
    return [reverse(name, args=[pk]) for pk in pks for name in names]


def sounds_address() -> str:
    """Return the address of the list of sounds that the player plays."""
    return address_of("rhythms:sounds")


@cache
def _files_read_once() -> SiteFiles:
    return _read_files()


def _read_files() -> SiteFiles:
    names = [*_own_names(), HTMX]
    digest = hashlib.sha256()
    for name in names:
        digest.update(f"{static(name)}\n".encode())
        digest.update(_content(name))
    addresses = tuple(static(name) for name in names if name not in {WORKER, PUSH_WORKER})
    return SiteFiles(addresses, digest.hexdigest()[:16])


def _content(name: str) -> bytes:
    path = finders.find(name)
    if path is None:
        raise FileNotFoundError(name)
    return Path(path).read_bytes()


def _own_names() -> list[str]:
    """Return the names of the project's static files, as `{% static %}` takes them."""
    (root,) = settings.STATICFILES_DIRS
    paths = (path for path in Path(root).rglob("*") if path.suffix in KINDS)
    return sorted(path.relative_to(root).as_posix() for path in paths)
