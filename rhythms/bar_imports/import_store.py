"""Taking bars from files of other programs: a file comes in, is read, and bars are picked."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction

from rhythms.bar_imports.tasks import read_file
from rhythms.engine import Bar
from rhythms.models import BarImport, SourceBar
from rhythms.models.named import LONGEST_NAME
from rhythms.notation.reading import Reading, ReadMeasure
from studio import task_queue
from studio.models import Studio

#: Different bars of one file that are shown; a book comes in chapters.
MOST_BARS = 96


@dataclass
class FoundBar:
    """A bar, and every measure that has it; `known_as` is its name in the library, or ""."""

    bar: Bar
    measures: list[ReadMeasure] = field(default_factory=list)
    known_as: str = ""


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


@transaction.atomic
def keep(studio: Studio, chosen: Iterable[tuple[str, Bar]], reference: str) -> list[SourceBar]:
    """Put bars into the library, all or none; raises IntegrityError where a name is taken."""
    return [
        SourceBar.objects.create(
            studio=studio,
            name=name,
            meter=str(bar.meter),
            counts=bar.counts(),
            reference=reference,
        )
        for name, bar in chosen
    ]
