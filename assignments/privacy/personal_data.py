"""Everything that is kept about one student: nothing of theirs is hidden from them."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db.models import QuerySet

from studio.models import Student

#: What leads back from a thing to the student it is about. Whatever model is added with a key to
#: a student, or to one of these, must stand here: a test looks through all models.
PATHS: dict[str, str] = {
    "studio.SignInLink": "student",
    "assignments.Assignment": "student",
    "assignments.AssignedVariation": "assignment__student",
    "assignments.MasteryEvent": "variation__assignment__student",
    "assignments.PracticeEntry": "student",
    "assignments.EntryChange": "entry__student",
    "assignments.Take": "student",
    "assignments.KitMap": "student",
    "assignments.DeviceForm": "student",
    "rhythms.Rendering": "student",
    "assignments.KeptZone": "student",
    "assignments.FillFigures": "student",
    "assignments.StudentGroove": "student",
    "assignments.Reminder": "student",
}
#: Words of the page for each; what is not named here stands by its own name.
NAMES_IN_WORDS = {
    "studio.SignInLink": "Sign-in links",
    "assignments.Assignment": "Assignments from your teacher",
    "assignments.AssignedVariation": "Fills you were given",
    "assignments.PracticeEntry": "Entries of your log",
    "assignments.MasteryEvent": "Steps of mastery",
    "assignments.EntryChange": "Changes of entries",
    "assignments.Take": "Takes: what you played",
    "assignments.KitMap": "What your electronic kit sends",
    "assignments.DeviceForm": "Changes that your devices sent, by number only",
    "rhythms.Rendering": "Sheets and sound files made for you",
    "assignments.KeptZone": "What your takes say you play",
    "assignments.FillFigures": "Figures on the fills you played",
    "assignments.StudentGroove": "Grooves that you work with",
    "assignments.Reminder": "When you are reminded, and on which device",
}
#: Secrets, which would let somebody else in.
_SECRET = {"secret_hash", "endpoint", "p256dh", "auth"}
#: Rows read at a time: of takes, each with up to thousands of strokes, and of all else.
_TAKES_AT_ONCE, _AT_ONCE = 20, 500


@dataclass(frozen=True)
class StoredCount:
    """How many of one sort are kept."""

    words: str
    count: int


def summary(student: Student) -> list[StoredCount]:
    """How many of each sort are kept, removed ones included."""
    return [StoredCount(_name_in_words(name), things.count()) for name, things in _things(student)]


def all_kept(student: Student) -> Iterator[str]:
    """Every value of every row, but secrets, as JSON: a line a row, for there may be thousands.

    Never all of it at once: takes with all their strokes may be hundreds of megabytes.
    """
    everything = [("student", Student.objects.filter(pk=student.pk)), *_things(student)]
    for number, (name, things) in enumerate(everything):
        yield f'{"," if number else "{"}\n"{name.rpartition(".")[2]}": ['
        yield from _lines(things)
        yield "\n]"
    yield "}\n"


def _things(student: Student) -> list[tuple[str, QuerySet[Any]]]:
    return [
        (name, apps.get_model(name)._default_manager.filter(**{path: student}).order_by("pk"))
        for name, path in PATHS.items()
    ]


def _name_in_words(name: str) -> str:
    return (
        NAMES_IN_WORDS.get(name) or str(apps.get_model(name)._meta.verbose_name_plural).capitalize()
    )


def _lines(things: QuerySet[Any]) -> Iterator[str]:
    names = [field.name for field in things.model._meta.concrete_fields]
    kept = [name for name in names if name not in _SECRET]
    at_once = _TAKES_AT_ONCE if things.model._meta.model_name == "take" else _AT_ONCE
    for number, row in enumerate(things.values_list(*kept).iterator(at_once)):
        line = json.dumps(dict(zip(kept, row, strict=True)), default=_as_text)
        yield f"{',' if number else ''}\n{line}"


def _as_text(value: object) -> str:
    """What JSON has no form for: times, ids, numbers in tenths, bytes."""
    return value.hex() if isinstance(value, bytes | memoryview) else str(value)
