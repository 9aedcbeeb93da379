"""Ask for every page of the large studio, and print what each takes, a line of JSON each.

Runs by itself, on whatever checkout is on the path.
"""

import json
import os
import sys
from collections.abc import Iterator
from statistics import median, quantiles
from time import perf_counter, process_time
from typing import Any

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")
django.setup()

from django.contrib.auth.tokens import default_token_generator  # noqa: E402
from django.db import connection  # noqa: E402
from django.test import Client  # noqa: E402
from django.test.utils import CaptureQueriesContext, setup_test_environment  # noqa: E402
from django.urls import NoReverseMatch, reverse  # noqa: E402
from django.utils.encoding import force_bytes  # noqa: E402
from django.utils.http import urlsafe_base64_encode  # noqa: E402

from assignments.models import AssignedVariation, Assignment, PracticeEntry, Take  # noqa: E402
from rhythms.models import Rendering  # noqa: E402
from rhythms.notation.sounds import SOUNDS_VERSION  # noqa: E402
from rhythms.renderings.download_response import ticket_of  # noqa: E402
from studio.models import SignInLink, Student, Studio, Teacher  # noqa: E402
from tests.permissions import ROWS  # noqa: E402

#: So often, or until so many seconds have gone by, but at least so often.
MOST, SECONDS, LEAST = 20, 1.0, 3
#: Pages as they are asked for from other pages: address, question, who.
ASKED = (
    ("assignments:roster", "?q=bel", "teacher"),
    ("assignments:roster", "?page=5", "teacher"),
    ("assignments:assign", "?students={student}&bar={bar}&rule_set={rule_set}", "teacher"),
    ("assignments:assign", "?students={everyone}&bar={bar}&rule_set={rule_set}", "teacher"),
    ("assignments:progress", "?q=bel", "teacher"),
    ("assignments:my-progress", "?holds=2&climbs=2", "student"),
    ("assignments:comfort", "?sort=-variety", "teacher"),
    ("assignments:my-log", "?page=100", "student"),
    ("rhythms:bars", "?page=4", "teacher"),
    ("studio:students", "?page=4", "teacher"),
)


def parts() -> dict[str, Any]:
    """What stands in addresses, by the names of the permission table."""
    teacher = Teacher.objects.get()
    studio = teacher.memberships.get().studio
    people = list(Student.objects.filter(studio=studio).order_by("pk"))
    student = people[len(people) // 2]
    theirs = AssignedVariation.objects.filter(assignment__student=student)
    variation = theirs.filter(mastered_at=None).order_by("pk").first()
    return {
        "teacher": teacher,
        "student": student,
        "everyone": "&students=".join(str(one.pk) for one in people),
        "assignment": Assignment.objects.filter(student=student).first(),
        "variation": variation,
        "rendering": variation.rendering,
        "entry": PracticeEntry.objects.kept().filter(student=student).first(),
        "take": Take.objects.of(student).exclude(variation=None).first(),
        "kit": studio.kits.first(),
        "bar": studio.bars.first(),
        "groove": own_groove(studio),
        "library_groove": "rock",
        "bar_import": studio.bar_imports.create(name="Chapter 2.mid", data=b"MThd"),
        "teacher_take": studio.teacher_takes.get_or_create(name="Mine.mid", key="1")[0],
        "rule_set": studio.rule_sets.first(),
        "ladder": studio.ladders.get(),
        "step": studio.ladders.get().steps.first(),
        "link_secret": SignInLink.issue(student),
        "sign_in_link": student.sign_in_links.first(),
        "uid_of_teacher": urlsafe_base64_encode(force_bytes(teacher.pk)),
        "reset_token": default_token_generator.make_token(teacher),
        "ticket": str(ticket_of(Rendering.objects.filter(format="svg").first(), "a.svg", student)),
        "sounds_version": SOUNDS_VERSION,
        "sound_slug": "floor-tom-ghost",
        "file_kind": "musicxml",
    }


def own_groove(studio: Studio) -> Any:
    """One of the studio's; None where the code of the checkout knows none."""
    if not hasattr(studio, "grooves"):
        return None
    return studio.grooves.first() or studio.grooves.create(name="Own", lines={"snare": "2 4"})


def addresses(things: dict[str, Any]) -> Iterator[tuple[str, str, str]]:
    """Name, address and who asks, for every address that answers GET."""
    keys = {name: getattr(thing, "pk", thing) for name, thing in things.items()}
    for row in ROWS:
        if "GET" not in row.methods:
            continue
        unknown = [part for part in row.parts if part not in keys]
        if unknown:
            print(f"  {row.name}: no {', '.join(unknown)} here", file=sys.stderr)
            continue
        address = reverse(row.name, args=[keys[part] for part in row.parts])
        for who in [who for who in row.who if who != "visitor"] or ["visitor"]:
            yield row.name, address, who
    for name, question, who in ASKED:
        try:
            yield name + question, reverse(name) + question.format(**keys), who
        except NoReverseMatch:
            print(f"  {name}: not here", file=sys.stderr)


def clients(things: dict[str, Any]) -> dict[str, Client]:
    teacher, student = Client(), Client()
    teacher.force_login(things["teacher"])
    student.post(reverse("studio:enter", args=[things["link_secret"]]))
    return {"teacher": teacher, "student": student, "visitor": Client()}


def asked(client: Client, address: str) -> tuple[float, int, int]:
    """Milliseconds, status and bytes of one answer, compressed where the site compresses."""
    began = perf_counter()
    answer = client.get(address, headers={"accept-encoding": "gzip"})
    body = b"".join(answer.streaming_content) if answer.streaming else answer.content
    return 1000 * (perf_counter() - began), answer.status_code, len(body)


def measured(client: Client, address: str) -> dict[str, float]:
    """One page: the first answer, then median and 95th percentile of the others, and queries.

    `python` is the time of this process alone: a machine that does other things adds none.
    """
    first, status, _ = asked(client, address)
    with CaptureQueriesContext(connection) as queries:
        asked(client, address)
        asked_for = len(queries)
    times: list[float] = []
    size, began = 0, process_time()
    while len(times) < LEAST or (len(times) < MOST and sum(times) < 1000 * SECONDS):
        took, status, size = asked(client, address)
        times.append(took)
    return {
        "status": status,
        "first": first,
        "median": median(times),
        "p95": quantiles(times, n=20, method="inclusive")[-1],
        "python": 1000 * (process_time() - began) / len(times),
        "queries": asked_for,
        "bytes": size,
    }


def main(only: str) -> None:
    setup_test_environment()
    things = parts()
    browsers = clients(things)
    for name, address, who in addresses(things):
        if only in name and who in browsers:
            client = browsers[who]
            client.raise_request_exception = False
            print(json.dumps([f"{name} {who}", measured(client, address)]), flush=True)


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "")
