"""`manage.py fill_names`: how fills are called, drawn ones and those of this database."""

from argparse import ArgumentParser
from collections.abc import Iterator, Sequence
from statistics import median
from typing import Any

from django.core.management.base import BaseCommand

from assignments.models import AssignedVariation
from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet
from rhythms.notation.fill_name import fill_name

_COUNTS = ("1 & 2 & 3 & 4 &", "1 & 2 e & a 3 & 4 e & a", "1 e & a 2 e & a 3 e & a 4 e & a")
_AN_ASSIGNMENT = 8


class Command(BaseCommand):
    help = (
        "Say how often names of fills need a number, how long they are, and whether any is twice."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--drawn", type=int, default=2000, help="fills of each bar, in eights")

    def handle(self, *args: Any, drawn: int, **options: Any) -> None:
        for counts in _COUNTS:
            self.stdout.write(f"{counts}: {figures(list(drawn_names(counts, drawn)))}")
        theirs = AssignedVariation.objects.values_list(
            "name", "assignment", "assignment__student", "assignment__source_bar"
        )
        rows = list(theirs)
        self.stdout.write(f"This database: {figures([name for name, *_ in rows])}")
        in_one = len({(name, assignment) for name, assignment, _, _ in rows})
        of_bar = len({(name, student, bar) for name, _, student, bar in rows})
        self.stdout.write(f"Unique within the assignment {in_one}, within student and bar {of_bar}")


def drawn_names(counts: str, number: int) -> Iterator[str]:
    """The names of fills of a bar, any stroke anywhere, given eight at a time."""
    space = FillSpace(Bar.from_counts(counts), RuleSet(()), Kit.standard())
    fills = list(space.sample(number, seed=7))
    for start in range(0, number, _AN_ASSIGNMENT):
        had: dict[str, Fill] = {}
        for fill in fills[start : start + _AN_ASSIGNMENT]:
            name = fill_name(fill, had)
            had[name] = fill
            yield name


def figures(names: Sequence[str]) -> str:
    """`2000 names, median 17 letters, longest 36, with a number 0`."""
    if not names:
        return "no names"
    lengths = [len(name) for name in names]
    numbered = sum(", no. " in name for name in names)
    return (
        f"{len(names)} names, median {median(lengths):g} letters, longest {max(lengths)}, "
        f"with a number {numbered}"
    )
