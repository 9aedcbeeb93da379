"""Goes through the permission table as a teacher, as each student, a visitor and the operator.

Used twice: by the code that made the studio, and by the code under test after the upgrade. It
leans on addresses and models alone.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice, product
from typing import Any, TypeVar

from django.conf import settings
from django.contrib.auth.tokens import default_token_generator
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from assignments.models import AssignedVariation, Assignment, PracticeEntry, Take
from rhythms.models import LadderStep, Rendering
from studio.models import Student, Studio, Teacher
from tests.permissions import ROWS, Row
from tests.upgrade.internals import opening_token

T = TypeVar("T")

#: Addresses that everybody of a role opens, or that are opened of every student: what they show
#: is worked out of all that a student did.
ALL = {"assignments:student", "assignments:today"}
#: Of any other address: so many things of the library, and so many students.
MOST = 3
#: Whatever takes a form's fields in its address.
QUERIES = {
    "rhythms:bar-pdf": "?ladder={ladder}&each=1&tempo=80&block_bars=4&paper=a4",
    "assignments:assignment-pdf": "?paper=a4&counts=on",
    "assignments:student-week-pdf": "?paper=us-letter&first_day={day}&how_many=3",
    "assignments:my-week-pdf": "?paper=a4&first_day={day}&how_many=3",
}
#: Each makes a file that takes long, or a large one: one for each role is enough.
ONCE = {
    *QUERIES,
    "assignments:variation-pdf",
    "assignments:block-audio",
    "assignments:assignment-file",
    "assignments:way-out",
    "rhythms:sound",
}


def client_with(session: str = "", **headers: str) -> Client:
    """A browser with this session's cookie; what fails answers 500, as it would really."""
    client = Client(raise_request_exception=False, headers={"host": "localhost", **headers})
    if session:
        client.cookies["sessionid"] = session
    return client


@dataclass(frozen=True)
class Person:
    """Who opens pages: `student` is None for whoever is no student."""

    role: str
    client: Client
    student: Student | None
    #: The parts of addresses that are secrets: kept by name.
    secrets: Mapping[str, Any]

    def __str__(self) -> str:
        return self.student.nickname if self.student else self.role


def people(studio: Mapping[str, Any]) -> list[Person]:
    """The teacher, each student that is signed in, a visitor and the operator of the server;
    `studio` is what was recorded."""
    tickets = {who: {"ticket": ticket} for who, ticket in studio["tickets"].items()}
    public = _secrets(studio)
    teacher = client_with(studio["teacher"]["session"])
    found = [Person("teacher", teacher, None, public | tickets.get("teacher", {}))]
    for pk, one in studio["students"].items():
        secrets = public | {"link_secret": one["link"]} | tickets.get(pk, {})
        student = Student.objects.get(pk=pk)
        found.append(Person("student", client_with(one["session"]), student, secrets))
    operator = client_with(authorization=f"Bearer {settings.METRICS_TOKEN}")
    others = {"visitor": client_with(), "operator": operator}
    return [*found, *(Person(role, client, None, public) for role, client in others.items())]


def _secrets(studio: Mapping[str, Any]) -> dict[str, str]:
    """What everybody could know: parts of addresses that are no thing of a studio."""
    sounds = client_with().get(reverse("rhythms:sounds")).json()
    version, slug = re.search(r"/sounds/([^/]+)/([^/]+)\.mp3", str(sounds)).groups()
    teacher = Teacher.objects.get()
    return {
        "sounds_version": version,
        "sound_slug": slug,
        "uid_of_teacher": urlsafe_base64_encode(force_bytes(teacher.pk)),
        "reset_token": default_token_generator.make_token(teacher),
        "opening_token": opening_token("new@example.org"),
        "link_secret": next(iter(studio["students"].values()))["link"],
    }


def opened(studio: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Open every address that may be read, as everybody who may; say how each answered."""
    everybody = people(studio)
    things = {part: _things_of(part) for part in {part for row in ROWS for part in row.parts}}
    answers = []
    for row in ROWS:
        for role in row.who if "GET" in row.methods else ():
            group = [person for person in everybody if person.role == role]
            answers += [_answer(row, *asked) for asked in _asked(row, group, things)]
    return answers


def _asked(
    row: Row, group: Iterable[Person], things: Mapping[str, list[Any]]
) -> Iterable[tuple[Person, str]]:
    """Who of the group opens which address of the row."""
    asked = ((person, at) for person in group for at in addresses(row, person, things))
    if row.name in ALL:
        return asked
    if row.name in ONCE or not row.parts:
        return islice(asked, 1)
    return islice(asked, MOST) if row.parts == ("student",) else asked


def _answer(row: Row, person: Person, address: str) -> dict[str, Any]:
    answer = person.client.get(address)
    answer.close()
    return {
        "who": str(person),
        "name": row.name,
        "address": address,
        "status": answer.status_code,
        "to": answer.headers.get("Location", ""),
    }


def addresses(row: Row, person: Person, things: Mapping[str, list[Any]]) -> Iterator[str]:
    """The row's address for each of the things that this person has."""
    query = ""
    if row.name in QUERIES:
        ladder = Studio.objects.get().ladders.first()
        query = QUERIES[row.name].format(day=timezone.localdate(), ladder=ladder.pk)
    theirs = [
        [person.secrets[part]]
        if part in person.secrets
        else [one for one in things[part] if _has(person, one)]
        for part in row.parts
    ]
    for values in product(*theirs):
        yield reverse(row.name, args=[getattr(value, "pk", value) for value in values]) + query


def _things_of(part: str) -> list[Any]:
    """What this part of an address may stand for, in this studio."""
    if part == "student":
        return list(Studio.objects.get().students.kept())
    if part in _LIBRARY:
        return list(_LIBRARY[part](Studio.objects.get())[:MOST])
    return list(_OWN[part]()) if part in _OWN else []


_LIBRARY = {
    "kit": lambda studio: studio.kits.kept(),
    "bar": lambda studio: studio.bars.kept().order_by("-pk"),
    "bar_import": lambda studio: studio.bar_imports.all(),
    "rule_set": lambda studio: studio.rule_sets.kept(),
    "ladder": lambda studio: studio.ladders.kept(),
    "step": lambda studio: LadderStep.objects.kept().filter(ladder__in=studio.ladders.kept()),
}


def _one_of_each(things: Iterable[T], kind: Callable[[T], Any]) -> list[T]:
    """The first thing of each kind."""
    found: dict[Any, T] = {}
    for one in things:
        found.setdefault(kind(one), one)
    return list(found.values())


def _fills() -> list[AssignedVariation]:
    """One for each way in which a fill can stand, and for each hand."""
    kept = AssignedVariation.objects.kept().filter(assignment__student__removed_at=None)
    return _one_of_each(
        kept.select_related("assignment__student", "rendering").order_by("pk"),
        lambda one: (bool(one.mastered_at), bool(one.held_at), bool(one.returned_at)),
    )


def _takes() -> list[Take]:
    """One for each way in which a take came in, and for each state."""
    kept = Take.objects.kept().filter(student__removed_at=None).select_related("student")
    return _one_of_each(
        kept.order_by("-day", "pk"), lambda one: (one.source, one.state, one.variation_id is None)
    )


def _entries() -> list[PracticeEntry]:
    """One for each way in which an entry was changed, and for each word of how it felt."""
    kept = PracticeEntry.objects.kept().filter(student__removed_at=None).select_related("student")
    changes = kept.prefetch_related("changes").order_by("-day", "pk")
    return _one_of_each(
        changes, lambda one: (*(change.kind for change in one.changes.all()), one.recheck)
    )


def _assignments() -> list[Assignment]:
    kept = Assignment.objects.kept().filter(student__removed_at=None).select_related("student")
    return _one_of_each(kept.order_by("-pk"), lambda one: (bool(one.away_from), one.block_bars))


_OWN: dict[str, Callable[[], list[Any]]] = {
    "file_kind": lambda: ["musicxml", "mxl", "mid"],
    "library_groove": lambda: ["rock"],
    "assignment": _assignments,
    "variation": _fills,
    "take": _takes,
    "entry": _entries,
    "rendering": lambda: [fill.rendering for fill in _fills()],
}


def _has(person: Person, thing: Any) -> bool:
    """Whether it is the person's; the studio's teacher has all, and a file's kind is anybody's."""
    return person.student is None or isinstance(thing, str) or _whose(thing) == person.student


def _whose(thing: Any) -> Student:
    if isinstance(thing, Rendering):
        return thing.variations.first().assignment.student
    return thing.assignment.student if isinstance(thing, AssignedVariation) else thing.student
