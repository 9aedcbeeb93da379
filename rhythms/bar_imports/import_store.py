"""Taking bars from files of other programs: a file comes in, is read, and bars are picked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, NamedTuple

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction

from rhythms.bar_imports.tasks import read_file
from rhythms.engine import Bar, EngineError, Fill
from rhythms.engine import RuleSet as Rules
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove_of_fill import groove_of_fill
from rhythms.engine.playback.groove_pattern import GroovePattern
from rhythms.engine.space.given_fill import rules_of
from rhythms.models import BarImport, RuleSet, SourceBar, StudioGroove
from rhythms.models.named import LONGEST_NAME
from rhythms.notation.reading import Reading, ReadMeasure
from studio import task_queue
from studio.models import Studio

#: What a bar of a file can be kept as.
Kept = SourceBar | StudioGroove | RuleSet
#: Different bars of one file that are shown; a book comes in chapters.
MOST_BARS = 96
#: Of one rhythm, so many ways to strike it are offered.
MOST_WAYS = 4


class FoundGroove(NamedTuple):
    """What some measures strike, drum by drum."""

    pattern: GroovePattern
    measures: list[ReadMeasure]


class FoundFill(NamedTuple):
    """What some measures strike, as rules that lay just that on their bar."""

    rules: Rules
    measures: list[ReadMeasure]


@dataclass
class FoundBar:
    """A bar, and every measure that has it; `known_as` is its name in the library, or ""."""

    bar: Bar
    measures: list[ReadMeasure] = field(default_factory=list)
    known_as: str = ""

    @cached_property
    def fills(self) -> dict[Fill, list[ReadMeasure]]:
        """What is struck in it, with the measures that strike just that; most of them first."""
        found: dict[Fill, list[ReadMeasure]] = {}
        for measure in self.measures:
            if measure.fill is not None:
                found.setdefault(measure.fill, []).append(measure)
        return dict(sorted(found.items(), key=lambda one: -len(one[1])))

    @property
    def shown(self) -> Fill:
        """The bar as most of its measures strike it; on the snare where that is not told."""
        return next(iter(self.fills), snare_fill(self.bar))

    @cached_property
    def grooves(self) -> list[FoundGroove]:
        """Those of its fills that can be kept as grooves."""
        return [
            FoundGroove(pattern, measures)
            for fill, measures in self._offered
            if (pattern := _as_groove(fill)) is not None
        ]

    @cached_property
    def laid(self) -> list[FoundFill]:
        """Those of its fills that rules can lay."""
        return [
            FoundFill(rules, measures)
            for fill, measures in self._offered
            if (rules := rules_of(fill)) is not None
        ]

    @property
    def _offered(self) -> list[tuple[Fill, list[ReadMeasure]]]:
        return list(self.fills.items())[:MOST_WAYS]


def _as_groove(fill: Fill) -> GroovePattern | None:
    try:
        pattern = groove_of_fill(fill, "")
    except EngineError:
        return None
    return None if pattern.problems else pattern


def take_in(studio: Studio, file: UploadedFile, *, hands_only: bool = False) -> BarImport:
    """Keep the bytes, and have a worker read them once the transaction is through."""
    name = (file.name or "").replace("\0", "")[-120:] or "File"
    taken = BarImport.objects.create(
        studio=studio, name=name, data=file.read(), hands_only=hands_only
    )
    task_queue.enqueue_on_commit(read_file, [taken.pk])
    return taken


def different_bars(reading: Reading) -> list[FoundBar]:
    """Each bar once, in the order of the file, up to MOST_BARS."""
    found: dict[Bar, FoundBar] = {}
    for measure in reading.measures:
        if measure.bar is not None and (measure.bar in found or len(found) < MOST_BARS):
            found.setdefault(measure.bar, FoundBar(measure.bar)).measures.append(measure)
    return list(found.values())


def with_names_in(studio: Studio, found: Iterable[FoundBar]) -> list[FoundBar]:
    """The same bars, each with the name that the studio's library has for it already."""
    kept = studio.bars.kept().values_list("meter", "counts", "name")
    names = {(meter, counts): name for meter, counts, name in kept.order_by("-pk")}
    listed = list(found)
    for each in listed:
        each.known_as = names.get((str(each.bar.meter), each.bar.counts()), "")
    return listed


def proposed_names(base: str, number: int) -> list[str]:
    """`Chapter 2, bar 1` and so on; the name alone where there is one bar."""
    if number == 1:
        return [base[:LONGEST_NAME]]
    endings = [f", bar {place}" for place in range(1, number + 1)]
    return [base[: LONGEST_NAME - len(ending)].rstrip() + ending for ending in endings]


class Chosen(NamedTuple):
    """What is kept of a bar under a name: the bar, a groove in its place, or rules beside it."""

    name: str
    found: FoundBar
    groove: GroovePattern | None = None
    rules: Rules | None = None

    @property
    def kinds(self) -> tuple[type[Kept], ...]:
        """What is made of it: a bar that the library has already is not kept again for rules."""
        if self.groove:
            return (StudioGroove,)
        if not self.rules:
            return (SourceBar,)
        return (RuleSet,) if self.found.known_as else (SourceBar, RuleSet)


@transaction.atomic
def keep(studio: Studio, chosen: Iterable[Chosen], reference: str) -> list[Kept]:
    """Put bars and rule sets into the library and grooves among the studio's own, all or none.

    Raises IntegrityError where a name is taken.
    """
    return [_keep(studio, one, kind, reference) for one in chosen for kind in one.kinds]


def _keep(studio: Studio, one: Chosen, kind: type[Kept], reference: str) -> Kept:
    named: dict[str, Any] = {"studio": studio, "name": one.name}
    if one.groove:
        return StudioGroove.objects.create(**one.groove.to_json() | named)
    if one.rules and kind is RuleSet:
        note = f"Lays the strokes of a file on the bar “{one.found.known_as or one.name}”."
        return RuleSet.objects.create(**named, note=note, rules=one.rules.to_json())
    bar = one.found.bar
    written = {"meter": str(bar.meter), "counts": bar.counts(), "reference": reference}
    return SourceBar.objects.create(**named, **written)
