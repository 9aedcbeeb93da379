"""Taking bars from files of other programs: a file comes in, is read, and bars are picked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction

from rhythms.bar_imports.tasks import read_file
from rhythms.engine import Bar, EngineError, Fill
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove_of_fill import groove_of_fill
from rhythms.engine.playback.groove_pattern import GroovePattern
from rhythms.models import BarImport, SourceBar, StudioGroove
from rhythms.models.named import LONGEST_NAME
from rhythms.notation.reading import Reading, ReadMeasure
from studio import task_queue
from studio.models import Studio

#: Different bars of one file that are shown; a book comes in chapters.
MOST_BARS = 96
#: Of one rhythm, so many ways to strike it are offered as grooves.
MOST_GROOVES = 4


class FoundGroove(NamedTuple):
    """What some measures strike, drum by drum."""

    pattern: GroovePattern
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
            for fill, measures in list(self.fills.items())[:MOST_GROOVES]
            if (pattern := _as_groove(fill)) is not None
        ]


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
    """What is kept under a name: a bar, or the drums of a groove in its place."""

    name: str
    bar: Bar
    groove: GroovePattern | None = None


@transaction.atomic
def keep(
    studio: Studio, chosen: Iterable[Chosen], reference: str
) -> list[SourceBar | StudioGroove]:
    """Put bars into the library and grooves among the studio's own, all or none.

    Raises IntegrityError where a name is taken.
    """
    return [
        _keep_groove(studio, one.name, one.groove)
        if one.groove
        else SourceBar.objects.create(
            studio=studio,
            name=one.name,
            meter=str(one.bar.meter),
            counts=one.bar.counts(),
            reference=reference,
        )
        for one in chosen
    ]


def _keep_groove(studio: Studio, name: str, pattern: GroovePattern) -> StudioGroove:
    return StudioGroove.objects.create(studio=studio, **pattern.to_json() | {"name": name})
