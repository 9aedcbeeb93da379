"""What a studio's programs are told about it, over HTTP, and what its tables hold.

Recorded by the code that made the studio, asked for again after the upgrade.
"""

import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django.apps import apps
from django.db.models import Sum
from django.urls import reverse

from assignments.models import PracticeEntry
from studio.models import Student
from tests.upgrade.visiting import client_with

#: What is said of a fill, an entry and a take: later code may say more.
FILL = (
    "id",
    "bar",
    "rule_set",
    "sentences",
    "position",
    "fills_given",
    "rank",
    "space_size",
    "fill",
    "tempo",
    "block_bars",
    "due_on",
    "state",
    "mastered_at",
)
ENTRY = (
    "id",
    "variation",
    "day",
    "minutes",
    "tempo",
    "loops",
    "clean_loops",
    "felt",
    "recheck",
    "note",
)
TAKE = (
    "id",
    "variation",
    "source",
    "meter",
    "tempo",
    "said_tempo",
    "seconds",
    "click",
    "latency",
    "state",
    "day",
)
PLAYED = ("events", "analysis", "fills")


def counts() -> dict[str, int]:
    """How many rows each table has, those between two models included."""
    found = {}
    for model in apps.get_models(include_auto_created=True):
        found[model._meta.db_table] = model._base_manager.count()
    return found


def told(studio: Mapping[str, Any]) -> dict[str, Any]:
    """What the teacher and each student are told; they come in by the sessions they have."""
    teacher = client_with(studio["teacher"]["session"])
    return {
        "students": len(Student.objects.kept()),
        "minutes": str(_minutes()),
        "by_student": {pk: _of(pk, one, teacher) for pk, one in studio["students"].items()},
    }


def _minutes() -> Decimal:
    return PracticeEntry.objects.kept().aggregate(total=Sum("minutes"))["total"]


def _of(pk: str, one: Mapping[str, Any], teacher) -> dict[str, Any]:
    student = client_with(one["session"])
    return {
        "fills": _only(FILL, _get(student, "assignments:api-variations")),
        "entries": _only(ENTRY, _get(student, "assignments:api-practice-entries")),
        "takes": [_take(take) for take in _get(student, "assignments:api-takes")],
        "progress": _get(teacher, "assignments:api-student-progress", pk),
    }


def _get(client, name: str, *parts: str) -> Any:
    answer = client.get(reverse(name, args=parts))
    assert answer.status_code == 200, (name, answer.status_code)
    found = answer.json()
    while more := re.search('<([^>]+)>; rel="next"', answer.headers.get("Link", "")):
        answer = client.get(more[1])
        found += answer.json()
    return found


def _only(names: Iterable[str], rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [{name: row[name] for name in names} for row in rows]


def _take(row: dict[str, Any]) -> dict[str, Any]:
    """Strokes and what was made of them are long: a hash of them is enough."""
    played = json.dumps([row[name] for name in PLAYED], sort_keys=True)
    return {name: row[name] for name in TAKE} | {
        "played": hashlib.sha256(played.encode()).hexdigest()
    }
